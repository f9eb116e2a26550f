//! A broken promise of the program itself: what the person is told.

use crate::again::alone;

/// The child of the test below.
#[test]
#[ignore = "it panics; a_bug_says_what_to_send runs it"]
fn a_bug_itself() {
    bellmouth::cli::bug_report::install_hook();
    panic!("two parts in one place");
}

#[test]
fn a_bug_says_what_to_send_and_is_no_exit_code_of_a_good_run() {
    let ran = alone("bug::a_bug_itself", &[]);
    // Rust's own exit code of a panic, which is none of 0, 1, 2, 3 and 130.
    assert_eq!(ran.code, Some(101), "{}", ran.stderr);
    let version = format!("a bug in bellmouth {}: panicked at ", env!("CARGO_PKG_VERSION"));
    let place = format!("{}:", file!());
    let send = "please report it with this text, the command line and the set-up file";
    for words in [version.as_str(), place.as_str(), "two parts in one place", send] {
        assert_eq!(ran.stderr.matches(words).count(), 1, "{words}: {}", ran.stderr);
    }
    assert!(!ran.stderr.contains("RUST_BACKTRACE"), "{}", ran.stderr);
}
