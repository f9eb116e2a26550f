//! What to do next, said at the end of a command.

use std::path::{Path, PathBuf};

use super::console::say;
use crate::study::fraction::fraction;
use crate::study::map::MapResult;

/// After a map: what was written, and the command that looks at one point more closely.
pub fn after_map(setup: &Path, map: &MapResult, written: &[PathBuf]) {
    for path in written {
        say(format_args!("wrote {}", path.display()));
    }
    if map.interrupted {
        return;
    }
    let middle = |values: &[f64]| values.get(values.len() / 2).copied();
    let (Some(throttle), Some(rpm)) = (middle(&map.grid.throttles), middle(&map.grid.speeds)) else { return };
    let look = written.iter().find(|path| path.extension().is_some_and(|kind| kind == "png"));
    let look = look.map(|path| format!("look at {}; then: ", path.display())).unwrap_or_default();
    let throttle = fraction(throttle).unwrap_or_else(|| throttle.to_string());
    say(format_args!("{look}bellmouth cycle {} --rpm {rpm} --throttle {throttle}", quoted(setup)));
}

/// After a check of a good file.
pub fn after_check(setup: &Path) {
    say(format_args!("next: bellmouth map {}", quoted(setup)));
}

/// After one operating point.
pub fn after_cycle(setup: &Path, written: &[PathBuf]) {
    for path in written {
        say(format_args!("wrote {}", path.display()));
    }
    say(format_args!("for the whole range: bellmouth map {}", quoted(setup)));
}

/// After a snap.
pub fn after_snap(setup: &Path, written: &[PathBuf]) {
    for path in written {
        say(format_args!("wrote {}", path.display()));
    }
    say(format_args!("for what happens within a cycle: bellmouth cycle {} --rpm ... --throttle ...", quoted(setup)));
}

/// A path that can be pasted into a shell.
fn quoted(path: &Path) -> String {
    let text = path.display().to_string();
    let plain = |c: char| c.is_alphanumeric() || matches!(c, '/' | '.' | '-' | '_' | ':' | '\\');
    if !text.is_empty() && text.chars().all(plain) { text } else { format!("'{}'", text.replace('\'', r"'\''")) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_path_with_blanks_or_quotes_can_be_pasted_into_a_shell() {
        assert_eq!(quoted(Path::new("a/mine_38-mm.toml")), "a/mine_38-mm.toml");
        assert_eq!(quoted(Path::new("my bike.toml")), "'my bike.toml'");
        assert_eq!(quoted(Path::new("it's.toml")), r"'it'\''s.toml'");
    }
}
