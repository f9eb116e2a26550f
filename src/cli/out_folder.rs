//! The folder that takes a command's files.

use std::path::{Path, PathBuf};

/// Longest folder name made from a set-up's name [bytes].
const NAME_LIMIT: usize = 100;

/// Where the files go: `asked`, or `out/<set-up name>`.
#[must_use]
pub fn choose(asked: Option<&Path>, name: &str) -> PathBuf {
    asked.map_or_else(|| Path::new("out").join(file_safe(name)), Path::to_path_buf)
}

/// A name that every file system takes: letters, digits, `-`, `_` and inner dots; each run of other characters becomes
/// one `_`, none at the ends.
#[must_use]
pub fn file_safe(name: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.');
    let mut safe = String::new();
    let mut replaced = false;
    for c in name.chars().take(NAME_LIMIT) {
        if plain(c) {
            safe.push(c);
        } else if !replaced {
            safe.push('_');
        }
        replaced = !plain(c);
    }
    let safe = safe.trim_matches(['.', '_']);
    if safe.is_empty() {
        "unnamed".to_owned()
    } else if is_device(safe) {
        format!("{safe}_")
    } else {
        safe.to_owned()
    }
}

/// Whether the name, up to its first dot, means a device on some systems.
fn is_device(name: &str) -> bool {
    let stem = name.split('.').next().unwrap_or(name).to_ascii_lowercase();
    let numbered = |kind| stem.strip_prefix(kind).is_some_and(|rest: &str| rest.len() == 1 && rest != "0");
    matches!(stem.as_str(), "con" | "prn" | "aux" | "nul") || numbered("com") || numbered("lpt")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_set_up_name_becomes_a_name_that_stays_inside_its_folder() {
        let cases = [
            ("Sidecar 38 mm", "Sidecar_38_mm"),
            ("../../etc", "etc"),
            ("a/../b", "a_.._b"),
            ("my single, 38 mm (new!)", "my_single_38_mm_new"),
            (" ?! ", "unnamed"),
            ("a/b\\c", "a_b_c"),
            ("..", "unnamed"),
            ("", "unnamed"),
            ("con", "con_"),
            ("COM1.x", "COM1.x_"),
            ("Bögen", "B_gen"),
        ];
        for (name, wanted) in cases {
            assert_eq!(file_safe(name), wanted, "{name}");
        }
        assert_eq!(file_safe(&"x".repeat(300)).len(), NAME_LIMIT);
    }
}
