//! Every file of `tests/setup/bad` is refused with exactly the errors it announces.
//!
//! A remark `#! expect: A | B` at the end of a line announces an error whose message contains `A` and one that contains `B`,
//! both on that line; `#! help: T` and `#! allowed: T` below it say what the last of them advises; `#! expect-in FILE: A` announces an
//! error in another file.

use std::path::{Path, PathBuf};

use bellmouth::diagnostics::{Problem, Severity, Style, render};
use bellmouth::setup::load;

struct Expected {
    file: Option<String>,
    line: usize,
    message: String,
    help: Option<String>,
    allowed: Option<String>,
}

fn announced(text: &str) -> Vec<Expected> {
    let mut all: Vec<Expected> = Vec::new();
    for (i, line) in text.lines().enumerate() {
        let Some((_, remark)) = line.split_once("#! ") else { continue };
        let new = |file: Option<&str>, message: &str| Expected {
            file: file.map(String::from),
            line: i + 1,
            message: message.trim().into(),
            help: None,
            allowed: None,
        };
        if let Some(messages) = remark.strip_prefix("expect: ") {
            all.extend(messages.split(" | ").map(|m| new(None, m)));
        } else if let Some(rest) = remark.strip_prefix("expect-in ") {
            let (file, message) = rest.split_once(": ").expect("a file and a message");
            all.push(new(Some(file), message));
        } else if let Some(help) = remark.strip_prefix("help: ") {
            all.last_mut().expect("an error before its help").help = Some(help.into());
        } else if let Some(allowed) = remark.strip_prefix("allowed: ") {
            all.last_mut().expect("an error before its range").allowed = Some(allowed.into());
        } else {
            panic!("unknown remark: {remark}");
        }
    }
    all
}

fn matches(expected: &Expected, problem: &Problem) -> bool {
    let place = match (&problem.place, &expected.file) {
        (Some(place), None) => place.line() == expected.line,
        (Some(place), Some(file)) => place.source.name == *file,
        (None, _) => false,
    };
    let contains = |text: &Option<String>, wanted: &Option<String>| match wanted {
        Some(wanted) => text.as_ref().is_some_and(|t| t.contains(wanted.as_str())),
        None => true,
    };
    place
        && problem.message.contains(&expected.message)
        && contains(&problem.help, &expected.help)
        && contains(&problem.allowed, &expected.allowed)
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/setup/bad")
}

fn files() -> Vec<PathBuf> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder())
        .expect("the folder of bad files")
        .map(|e| e.expect("an entry").path())
        .filter(|p| p.extension().is_some_and(|e| e == "toml"))
        .collect();
    files.sort();
    files
}

#[test]
fn each_bad_file_is_refused_with_exactly_the_errors_it_announces() {
    let files = files();
    assert!(files.len() >= 20, "bad files are missing: {}", files.len());
    let mut wrong = String::new();
    for path in files {
        let text = std::fs::read_to_string(&path).expect("a readable file");
        let expected = announced(&text);
        assert!(!expected.is_empty(), "{} announces nothing", path.display());
        let report = match load(&path, None) {
            Ok(_) => {
                wrong += &format!("{}: loaded\n", path.display());
                continue;
            }
            Err(report) => report,
        };
        let mut left: Vec<&Problem> = report.problems.iter().filter(|p| p.severity == Severity::Error).collect();
        for e in &expected {
            match left.iter().position(|p| matches(e, p)) {
                Some(i) => drop(left.remove(i)),
                None => wrong += &format!("{}:{}: no error \"{}\"\n", path.display(), e.line, e.message),
            }
        }
        for p in left {
            let one = [p.clone()];
            wrong += &format!("{}: not announced:\n{}\n", path.display(), render(&one, Style::plain()));
        }
    }
    assert!(wrong.is_empty(), "{wrong}");
}

#[test]
fn each_drawn_report_fits_its_width_and_names_a_line() {
    for path in files() {
        let Err(report) = load(&path, None) else { continue };
        for width in [60, 80, 120] {
            let drawn = render(&report.problems, Style { width, colour: false, unicode: true });
            for line in drawn.lines() {
                assert!(line.chars().count() <= width, "{} columns:\n{drawn}", line.chars().count());
            }
            assert!(!drawn.contains('\u{1b}'), "an escape without colour");
        }
    }
}
