//! `check` says what was given, what was estimated, and what to take care of.

use crate::program::{demo, run};

#[test]
fn check_fits_80_columns_without_escape_sequences() {
    let ran = run(&["check", &demo()]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    assert!(!ran.stdout.contains('\u{1b}'));
}

#[test]
fn check_gives_each_caution_once() {
    let said = run(&["check", &demo()]).stdout.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    for caution in ["vapour", "shut by itself", "lean running", "public roads", "measure before you trust"] {
        assert_eq!(said.matches(caution).count(), 1, "{caution}");
    }
}

#[test]
fn check_as_json_is_one_object_with_its_schema() {
    let ran = run(&["check", &demo(), "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(value["schema"], 1);
}
