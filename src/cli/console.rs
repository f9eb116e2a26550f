//! The two streams of the terminal: data goes to stdout, talk to stderr.

use std::fmt::Display;
use std::io::{self, ErrorKind, IsTerminal, Write};

use super::ending::Failure;
use crate::diagnostics::Style;

/// Writes one line of talk to stderr. A closed stderr is no reason to stop.
pub fn say(line: impl Display) {
    let _ = writeln!(io::stderr().lock(), "{line}");
}

/// Writes data to stdout.
///
/// # Errors
/// [`Failure::PipeClosed`] when the reader has left, [`Failure::Write`] for anything else.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut stdout = io::stdout().lock();
    stdout.write_all(text.as_bytes()).and_then(|()| stdout.flush()).map_err(|error| write_failure(&error))
}

/// What an error on stdout means.
#[must_use]
pub fn write_failure(error: &io::Error) -> Failure {
    if error.kind() == ErrorKind::BrokenPipe {
        Failure::PipeClosed
    } else {
        Failure::Write(format!("cannot write to stdout: {error}"))
    }
}

/// Whether a moving progress bar would be seen: stderr is a terminal that can move its cursor.
#[must_use]
pub fn bar_is_welcome() -> bool {
    io::stderr().is_terminal() && std::env::var_os("TERM").is_none_or(|kind| kind != "dumb")
}

/// Whether stderr shows colours and the user has not declined them (`NO_COLOR`).
#[must_use]
pub fn colour_is_welcome() -> bool {
    bar_is_welcome() && std::env::var_os("NO_COLOR").is_none_or(|no| no.is_empty())
}

/// How problems are drawn on stderr.
#[must_use]
pub fn style() -> Style {
    Style { width: 80, colour: colour_is_welcome(), unicode: speaks_unicode() }
}

/// Whether the locale says that the terminal takes more than ASCII.
fn speaks_unicode() -> bool {
    let locale =
        ["LC_ALL", "LC_CTYPE", "LANG"].iter().filter_map(|key| std::env::var(key).ok()).find(|v| !v.is_empty());
    cfg!(windows) || locale.is_some_and(|locale| locale.to_lowercase().replace('-', "").contains("utf8"))
}
