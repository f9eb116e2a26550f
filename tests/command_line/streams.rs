//! What happens when stdout or the output folder cannot be written.
#![cfg(unix)]

use std::fs::OpenOptions;
use std::time::{Duration, Instant};

use crate::program::{Ran, bellmouth, demo, file, run, text};

/// Command lines that print without computing.
fn printing() -> Vec<Vec<String>> {
    let words = |words: &[&str]| words.iter().map(|&word| word.to_owned()).collect();
    vec![
        words(&["--help"]),
        words(&["--version"]),
        words(&["map", "--help"]),
        words(&["init"]),
        words(&["check", &demo()]),
        words(&["check", &demo(), "--json"]),
    ]
}

fn as_words(words: &[String]) -> Vec<&str> {
    words.iter().map(String::as_str).collect()
}

#[test]
fn a_full_disk_behind_stdout_is_exit_code_3_with_one_line() {
    for words in printing() {
        let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
        let ran: Ran = bellmouth(&as_words(&words)).stdout(full).output().unwrap().into();
        assert_eq!(ran.code, Some(3), "{words:?}: {}", ran.stderr);
        assert!(ran.stderr.lines().last().unwrap().contains("cannot write to stdout"), "{words:?}: {}", ran.stderr);
    }
}

#[test]
fn a_reader_that_has_left_is_no_error() {
    for words in printing() {
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let ran: Ran = bellmouth(&as_words(&words)).stdout(writer).output().unwrap().into();
        assert_eq!(ran.code, Some(0), "{words:?}: {}", ran.stderr);
        assert!(!ran.stderr.contains("rror:"), "{words:?}: {}", ran.stderr);
    }
}

#[test]
fn a_folder_that_cannot_be_made_is_exit_code_3_before_anything_is_computed() {
    let (_folder, path) = file("a_file", b"");
    let out = text(&path.join("out"));
    for words in [vec!["map", "--out", &out], vec!["cycle", "--rpm", "3000", "--throttle", "1", "--out", &out]] {
        let (begun, setup) = (Instant::now(), demo());
        let ran = run(&[&words[..1], &[&setup], &words[1..]].concat());
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(3), ""), "{words:?}: {}", ran.stderr);
        assert!(ran.stderr.contains("could not make the folder"), "{}", ran.stderr);
        assert!(begun.elapsed() < Duration::from_secs(3), "it computed first");
    }
}

/// The command line under a shell that first says `before`.
fn behind(before: &str, words: &[&str]) -> Ran {
    let program = bellmouth(words);
    let mut shell = std::process::Command::new("sh");
    shell.args(["-c", &format!("{before}; exec \"$@\""), "sh"]).arg(program.get_program()).args(program.get_args());
    shell.env("LC_ALL", "C.UTF-8").stdin(std::process::Stdio::null()).output().unwrap().into()
}

/// Closed from the start, stdout is what the system gives in its place: nowhere.
#[test]
fn a_stdout_or_stderr_that_is_closed_from_the_start_is_no_bug() {
    for words in printing() {
        for before in ["exec >&-", "exec 2>&-", "exec >&- 2>&-", "exec <&- >&- 2>&-"] {
            let ran = behind(before, &as_words(&words));
            assert_eq!(ran.code, Some(0), "{before} {words:?}: {}", ran.stderr);
        }
    }
    let ran = behind("exec 2>&-", &["check", "/nowhere"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "bad input has its code without a word");
}

#[test]
fn a_cycle_with_nowhere_to_print_has_its_files_and_exit_code_3_and_little_memory_is_enough() {
    let folder = tempfile::tempdir().unwrap();
    let (setup, out) = (demo(), text(folder.path()));
    let words = ["cycle", &setup, "--throttle", "1", "--rpm", "7000", "--cell-size", "24 mm", "--out", &out];
    // 512 MiB of address space
    let ran = behind("ulimit -v 524288; exec >/dev/full", &words);
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    assert!(ran.stderr.contains("cannot write to stdout"), "{}", ran.stderr);
    assert_eq!(crate::program::files_in(folder.path()).len(), 3);
}
