//! The same whatever surrounds it: language of the system, width and kind of the terminal, strange names of files.

use crate::program::{Ran, bellmouth, demo, file, files_in, text};

/// Languages whose decimal sign, capitals or digits differ.
const LOCALES: [&str; 6] = ["C", "de_DE.UTF-8", "tr_TR.UTF-8", "fr_FR.UTF-8", "ar_EG.UTF-8", "de_DE@euro"];

#[test]
fn every_output_is_the_same_in_any_language_of_the_system() {
    let setup = demo();
    let run = |words: &[&str], locale: &str| -> Ran {
        let mut command = bellmouth(words);
        command.envs(["LC_ALL", "LC_NUMERIC", "LANG"].map(|key| (key, locale))).output().unwrap().into()
    };
    let printed = |locale: &str| {
        [&["init"][..], &["check", &setup], &["check", &setup, "--json"]].map(|words| run(words, locale).stdout)
    };
    let usual = printed("C.UTF-8");
    LOCALES.iter().for_each(|locale| assert!(printed(locale) == usual, "{locale}"));
    let written = |locale: &str| {
        let folder = tempfile::tempdir().unwrap();
        let out = text(folder.path());
        let cycle = ["cycle", &setup, "--throttle", "1/2", "--rpm", "7000", "--cell-size", "24 mm", "--out", &out];
        let stdout = run(&cycle, locale).stdout;
        let files = files_in(folder.path());
        assert_eq!(files.len(), 3, "{files:?}");
        let read = |name: String| (name.clone(), std::fs::read(folder.path().join(name)).unwrap());
        (stdout, files.into_iter().map(read).collect::<Vec<_>>())
    };
    let usual = written("C.UTF-8");
    // A comma for the point and a group of digits; another capital of i; digits of their own.
    for locale in ["de_DE.UTF-8", "tr_TR.UTF-8", "ar_EG.UTF-8"] {
        assert!(written(locale) == usual, "{locale}");
    }
}

#[test]
fn without_a_locale_of_utf_8_problems_are_drawn_in_plain_signs() {
    let (_kept, path) = file("bad.toml", b"bore = 88\n[engine]\nbore = \"88\"\n");
    for (locale, plain) in [("C", true), ("de_DE@euro", true), ("C.UTF-8", false), ("tr_TR.utf8", false)] {
        let ran: Ran = bellmouth(&["check", &text(&path)]).env("LC_ALL", locale).output().unwrap().into();
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
        assert_eq!(ran.stderr.is_ascii(), plain, "{locale}: {}", ran.stderr);
    }
}

/// The program behind a terminal that `script` makes; nothing without that program.
#[cfg(unix)]
fn on_a_terminal(words: &[&str], variables: &[(&str, &str)]) -> Option<String> {
    let program = bellmouth(words);
    let quoted = |word: &std::ffi::OsStr| format!("'{}'", word.to_str().unwrap());
    let line: Vec<String> = std::iter::once(program.get_program()).chain(program.get_args()).map(quoted).collect();
    let mut command = std::process::Command::new("script");
    command.args(["-qec", &line.join(" "), "/dev/null"]).stdin(std::process::Stdio::null());
    command.env("LC_ALL", "C.UTF-8").env("TERM", "xterm").env_remove("NO_COLOR").envs(variables.iter().copied());
    Some(String::from_utf8_lossy(&command.output().ok()?.stdout).into_owned())
}

/// `text` without the colours.
fn without_colours(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("\u{1b}[") {
        plain += &rest[..at];
        let end = rest[at..].find(|c: char| c.is_ascii_alphabetic()).map_or(rest.len(), |end| at + end + 1);
        rest = &rest[end..];
    }
    plain + rest
}

#[cfg(unix)]
#[test]
fn colours_only_on_a_terminal_that_wants_them_and_no_line_too_wide_on_any() {
    let (_kept, bad) = file("bad.toml", b"bore = 88\n[engine]\nbore = \"88\"\n");
    let (good, bad) = (demo(), text(&bad));
    for words in [["check", &good], ["check", &bad]] {
        let piped: Ran = bellmouth(&words).output().unwrap().into();
        let piped = piped.stdout + &piped.stderr;
        for (key, value, coloured) in [
            ("TERM", "xterm", true),
            ("COLUMNS", "20", true),
            ("COLUMNS", "200", true),
            ("TERM", "dumb", false),
            ("NO_COLOR", "1", false),
        ] {
            let alone: Ran = bellmouth(&words).env(key, value).output().unwrap().into();
            let both = alone.stdout + &alone.stderr;
            assert_eq!(both, piped, "{key}={value}: a pipe has no width and no colours");
            assert!(!both.contains('\u{1b}') && both.lines().all(|line| line.chars().count() <= 80));
            let Some(seen) = on_a_terminal(&words, &[(key, value)]) else { continue };
            assert_eq!(
                seen.contains('\u{1b}') && words[1] == bad,
                coloured && words[1] == bad,
                "{key}={value}: {seen}"
            );
            assert!(coloured || !seen.contains('\u{1b}'), "{key}={value}: {seen}");
            assert_eq!(without_colours(&seen).replace('\r', ""), piped, "{key}={value}: other words on a terminal");
        }
    }
}

#[cfg(unix)]
#[test]
fn a_folder_behind_a_link_takes_the_files_and_nothing_is_written_beside_it() {
    let folder = tempfile::tempdir().unwrap();
    let (real, link) = (folder.path().join("real"), folder.path().join("link"));
    std::fs::create_dir(&real).unwrap();
    std::os::unix::fs::symlink(&real, &link).unwrap();
    let (setup, out) = (demo(), text(&link));
    let words = ["cycle", &setup, "--throttle", "1", "--rpm", "7000", "--cell-size", "24 mm", "--out", &out];
    let ran: Ran = bellmouth(&words).output().unwrap().into();
    assert!(ran.code.is_some_and(|code| code < 2), "{}", ran.stderr);
    assert_eq!(files_in(&real).len(), 3);
    assert_eq!(files_in(folder.path()), ["link", "real"]);
}

#[cfg(unix)]
#[test]
fn a_file_name_that_is_no_text_is_refused_or_read_like_any_other() {
    use std::os::unix::ffi::OsStrExt;
    let folder = tempfile::tempdir().unwrap();
    let name = folder.path().join(std::ffi::OsStr::from_bytes(b"caf\xe9.toml"));
    let template: Ran = bellmouth(&["init"]).output().unwrap().into();
    for (content, code) in [(template.stdout.as_str(), 0), ("bore = 1\n", 2)] {
        std::fs::write(&name, content).unwrap();
        let ran: Ran = bellmouth(&["check"]).arg(&name).output().unwrap().into();
        assert_eq!(ran.code, Some(code), "{}", ran.stderr);
        assert!(!ran.stderr.contains("a bug in bellmouth"), "{}", ran.stderr);
    }
    let ran: Ran = bellmouth(&["check"]).arg(folder.path().join("nowhere.toml")).output().unwrap().into();
    assert_eq!(ran.code, Some(2));
}
