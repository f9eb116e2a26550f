//! The layers look only down: reads every source file and fails on an upward or sideways import.
#![allow(missing_docs, clippy::unwrap_used)]

use std::fs;
use std::path::{Path, PathBuf};

/// Layers from the bottom; a module may use those of lower layers and its own, never a neighbour on the same line.
const LAYERS: [&[&str]; 10] = [
    &["units", "diagnostics"],
    &["numeric"],
    &["media"],
    &["laws", "exact"],
    &["hardware"],
    &["setup", "gas", "metering", "cylinder"],
    &["rig"],
    &["study"],
    &["report", "plot"],
    &["cli"],
];

fn layer(module: &str) -> Option<usize> {
    LAYERS.iter().position(|names| names.contains(&module))
}

fn rust_files(folder: &Path, into: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            rust_files(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
}

/// Source without comments, on one line.
fn code(text: &str) -> String {
    text.lines().map(|line| line.split("//").next().unwrap_or("")).collect::<Vec<_>>().join(" ")
}

/// The names that follow each `prefix` in `text`, grouped imports (`crate::{a::b, c}`) taken apart.
fn roots(text: &str, prefix: &str) -> Vec<String> {
    let name = |s: &str| s.trim_start().chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect::<String>();
    let mut found = Vec::new();
    for (at, _) in text.match_indices(prefix) {
        let before = text[..at].chars().next_back();
        if before.is_some_and(|c| c.is_alphanumeric() || c == '_' || c == ':' || c == '$') {
            continue;
        }
        let rest = text[at + prefix.len()..].trim_start();
        if let Some(group) = rest.strip_prefix('{') {
            let (mut depth, mut start) = (0, 0);
            for (i, c) in group.char_indices() {
                match c {
                    '{' => depth += 1,
                    '}' | ',' if depth == 0 => {
                        found.push(name(&group[start..i]));
                        start = i + 1;
                        if c == '}' {
                            break;
                        }
                    }
                    '}' => depth -= 1,
                    _ => {}
                }
            }
        } else {
            found.push(name(rest));
        }
    }
    found.retain(|n| !n.is_empty());
    found
}

/// What is wrong with the imports of `text`, the source of a file of `module`, `depth` modules below the root.
fn violations(module: &str, depth: usize, text: &str) -> Vec<String> {
    let Some(own) = layer(module) else { return vec![format!("module `{module}` is in no layer")] };
    let text = code(text);
    let mut used: Vec<(String, bool)> = roots(&text, "crate::").into_iter().map(|n| (n, true)).collect();
    // `super::super::x` from the right depth is the root's `x`; from an inner test module it may be anything else
    used.extend(roots(&text, &"super::".repeat(depth)).into_iter().map(|n| (n, false)));
    let mut wrong = Vec::new();
    for (name, certain) in used {
        match layer(&name) {
            _ if name == module => {}
            Some(other) if other < own => {}
            Some(other) if other == own => wrong.push(format!("`{module}` uses its neighbour `{name}`")),
            Some(_) => wrong.push(format!("`{module}` looks up to `{name}`")),
            None if certain => wrong.push(format!("`{module}` uses `crate::{name}`, which is in no layer")),
            None => {}
        }
    }
    wrong
}

#[test]
fn every_module_looks_only_down() {
    let source = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    rust_files(&source, &mut files);
    files.sort();
    let mut wrong = Vec::new();
    let mut seen = 0;
    for file in &files {
        let path = file.strip_prefix(&source).unwrap();
        let parts: Vec<String> = path.with_extension("").iter().map(|p| p.to_string_lossy().into_owned()).collect();
        if parts == ["lib"] || parts == ["main"] {
            continue;
        }
        let depth = parts.iter().filter(|p| *p != "mod").count();
        for problem in violations(&parts[0], depth, &fs::read_to_string(file).unwrap()) {
            wrong.push(format!("{}: {problem}", path.display()));
        }
        seen += 1;
    }
    assert!(seen > 0, "no source was read");
    assert!(wrong.is_empty(), "\n{}", wrong.join("\n"));
}

#[test]
fn the_check_sees_upward_sideways_and_unknown_imports() {
    let count = |module: &str, depth: usize, text: &str| violations(module, depth, text).len();
    assert_eq!(count("laws", 2, "use crate::numeric::table;\nuse crate::media::{gas, fuel};\nuse super::jet;"), 0);
    assert_eq!(count("laws", 2, "use crate::hardware::jet::Jet;"), 1);
    assert_eq!(count("laws", 2, "fn f() { crate::rig::run(); }"), 1);
    assert_eq!(count("laws", 2, "use crate::{numeric::{ode, root}, rig, study::map};"), 2);
    assert_eq!(count("gas", 2, "use crate::metering::column;"), 1);
    assert_eq!(count("units", 1, "use crate::diagnostics::Problem;"), 1);
    assert_eq!(count("laws", 2, "use super::super::hardware::jet;"), 1);
    assert_eq!(count("laws", 2, "use crate::helpers::x;"), 1);
    assert_eq!(count("laws", 2, "/// see [`crate::hardware`]\n// use crate::rig;"), 0);
    assert_eq!(count("elsewhere", 1, ""), 1);
}
