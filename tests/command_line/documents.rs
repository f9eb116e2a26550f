//! Every command that the documents and the help show is understood as it stands there.

use std::path::Path;

use crate::program::run;

fn document(name: &str) -> String {
    std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(name)).unwrap()
}

/// Words of a command line with single quotes, up to a redirection.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (place, part) in line.split('\'').enumerate() {
        if place % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    words.truncate(words.iter().position(|word| word == ">").unwrap_or(words.len()));
    words
}

/// Runs the command lines in `text`, whose set-up is not there: the set-up is what must be missed, no word before it.
/// Returns how many there were.
fn understood(text: &str) -> usize {
    let lines: Vec<&str> = text.lines().map(str::trim).filter(|line| line.starts_with("bellmouth ")).collect();
    for line in &lines {
        // What follows two blanks explains the command.
        let command = line.split("   ").next().unwrap();
        let words = words(command);
        let ran = run(&words[1..].iter().map(String::as_str).collect::<Vec<_>>());
        let missed = ran.code == Some(2) && ran.stderr.contains("cannot read `mine.toml`");
        let plain = ran.code == Some(0) && words[1] == "init" || words.last().unwrap() == "--help";
        assert!(missed || plain, "{line}: {}", ran.stderr);
    }
    lines.len()
}

#[test]
fn the_commands_of_the_readme_are_understood() {
    assert!(understood(&document("README.md")) >= 5);
}

#[test]
fn the_examples_of_the_help_are_understood() {
    for (words, least) in [
        (&["--help"][..], 4),
        (&["init", "-h"], 1),
        (&["check", "-h"], 1),
        (&["map", "-h"], 3),
        (&["cycle", "-h"], 2),
        (&["compare", "-h"], 2),
        (&["supply", "-h"], 3),
        (&["snap", "-h"], 3),
    ] {
        let help = run(words).stdout;
        let examples = &help[..help.find("Usage:").unwrap()];
        assert!(understood(examples) >= least, "{words:?}");
    }
}

#[test]
fn the_continuous_check_runs_both_first_commands_of_the_readme() {
    let (readme, check) = (document("README.md"), document(".ci/run"));
    let commands: Vec<&str> = readme.lines().filter(|line| line.starts_with("cargo ")).collect();
    assert_eq!(commands.len(), 2);
    for command in commands {
        assert!(check.lines().any(|line| line == command), "{command}");
    }
}
