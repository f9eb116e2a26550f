//! Help comes with examples first and fits 80 columns.

use crate::program::{bellmouth, run};

const HELPS: [&[&str]; 8] = [
    &["--help"],
    &["init", "--help"],
    &["check", "--help"],
    &["map", "--help"],
    &["cycle", "--help"],
    &["rejet", "--help"],
    &["compare", "--help"],
    &["snap", "--help"],
];

#[test]
fn every_help_fits_80_columns_and_goes_to_stdout() {
    for words in HELPS {
        let ran = run(words);
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""), "{words:?}");
        for line in ran.stdout.lines() {
            assert!(line.chars().count() <= 80, "{words:?}: {line}");
        }
    }
}

#[test]
fn every_help_shows_an_example_before_its_usage() {
    for words in HELPS {
        let help = run(words).stdout;
        let (example, usage) = (help.find("Example").unwrap(), help.find("Usage:").unwrap());
        assert!(example < usage, "{words:?}");
    }
}

#[test]
fn the_short_help_has_the_examples_too() {
    assert!(run(&["map", "-h"]).stdout.contains("bellmouth map mine.toml"));
}

#[test]
fn help_in_a_pipe_has_no_escape_sequences() {
    for words in HELPS {
        assert!(!run(words).stdout.contains('\u{1b}'), "{words:?}");
    }
}

#[test]
fn help_on_a_narrow_terminal_wraps_its_own_text() {
    let output = bellmouth(&["map", "--help"]).env("COLUMNS", "60").output().unwrap();
    let help = String::from_utf8(output.stdout).unwrap();
    let options = &help[help.find("Options:").unwrap()..];
    assert!(options.lines().all(|line| line.chars().count() <= 60), "{options}");
}

#[test]
fn the_version_is_the_packages() {
    assert_eq!(run(&["--version"]).stdout, format!("bellmouth {}\n", env!("CARGO_PKG_VERSION")));
}
