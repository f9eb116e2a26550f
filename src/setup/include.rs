//! Which file `engine = "path"` may name: one inside the root, by a plain relative path.

use std::path::{Component, Path, PathBuf};

use super::limits::{LONGEST_FILE_NAME, LONGEST_PATH};

/// Why a path is refused, in words that never tell what a file outside the root holds.
pub type Refusal = &'static str;

/// The file that `named` means, seen from `folder`, if it lies inside `root`. Both are canonical.
///
/// Refused: absolute paths, drive letters and other colons, backslashes (and with them network names), device names, names that
/// end in a point or a blank, control characters, `..` out of the root, links whose target leaves the root.
///
/// # Errors
/// The reason.
pub fn locate(named: &str, folder: &Path, root: &Path) -> Result<PathBuf, Refusal> {
    check_text(named)?;
    check_depth(named, folder, root)?;
    let found = std::fs::canonicalize(folder.join(named)).map_err(|e| match e.kind() {
        std::io::ErrorKind::NotFound => "no such file",
        std::io::ErrorKind::PermissionDenied => "permission denied",
        _ => "it cannot be followed to a file",
    })?;
    // by component, not by string: `/a/set-up` does not lie in `/a/set`
    if found.starts_with(root) { Ok(found) } else { Err("its target lies outside the set-up's folder") }
}

fn check_text(named: &str) -> Result<(), Refusal> {
    if named.trim().is_empty() {
        return Err("the path is empty");
    }
    if named.len() > LONGEST_PATH {
        return Err("the path is longer than 1024 bytes");
    }
    if named.chars().any(crate::diagnostics::clean::hides) {
        return Err("the path holds a control or invisible character");
    }
    if named.contains('\\') {
        return Err("write `/` between folders, not a backslash");
    }
    if named.contains(':') {
        return Err("no drive letter and no address, only a path relative to this file");
    }
    if named.starts_with('/') {
        return Err("absolute paths are refused, only a path relative to this file will do");
    }
    named.split('/').try_for_each(check_name)
}

fn check_name(name: &str) -> Result<(), Refusal> {
    if name == "." || name == ".." {
        return Ok(());
    }
    if name.is_empty() {
        return Err("two slashes follow each other, or one ends the path");
    }
    if name.len() > LONGEST_FILE_NAME {
        return Err("a name in the path is longer than 255 bytes");
    }
    if name.ends_with(['.', ' ']) || name.starts_with(' ') {
        return Err("a name in the path starts or ends with a blank, or ends with a point");
    }
    let stem = name.split('.').next().unwrap_or(name).trim_end().to_ascii_uppercase();
    let numbered = |port: &str| {
        stem.strip_prefix(port).is_some_and(|n| matches!(n, "0" | "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9"))
    };
    let device = matches!(stem.as_str(), "CON" | "PRN" | "AUX" | "NUL" | "CLOCK$" | "CONIN$" | "CONOUT$");
    if device || numbered("COM") || numbered("LPT") {
        return Err("a name in the path is that of a device");
    }
    Ok(())
}

/// Refuses `..` that climbs out of the root, before anything is opened.
fn check_depth(named: &str, folder: &Path, root: &Path) -> Result<(), Refusal> {
    let inside = folder.strip_prefix(root).map_err(|_| "the set-up file does not lie inside the root")?;
    let mut depth = inside.components().count();
    for part in Path::new(named).components() {
        match part {
            Component::ParentDir => depth = depth.checked_sub(1).ok_or("it climbs out of the set-up's folder")?,
            Component::Normal(_) => depth += 1,
            Component::CurDir => {}
            Component::Prefix(_) | Component::RootDir => return Err("absolute paths are refused"),
        }
    }
    Ok(())
}
