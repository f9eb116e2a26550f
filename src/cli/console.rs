//! The two streams of the terminal: data goes to stdout, talk to stderr.

use std::fmt::Display;
use std::io::{self, IsTerminal, Write};

use super::ending::Failure;
use crate::diagnostics::Style;
use crate::report::stdout::to_stdout;

/// Writes one line of talk to stderr. A closed stderr is no reason to stop.
pub fn say(line: impl Display) {
    let _ = writeln!(io::stderr().lock(), "{line}");
}

/// Writes data to stdout. A reader that has left is no error.
///
/// # Errors
/// [`Failure::Write`] with the cause.
pub fn print(text: &str) -> Result<(), Failure> {
    to_stdout(text).map_err(|error| Failure::Write(format!("cannot write to stdout: {error}")))
}

/// Whether a moving progress bar would be seen: stderr is a terminal that can move its cursor.
#[must_use]
pub fn bar_is_welcome() -> bool {
    io::stderr().is_terminal() && can_move()
}

/// Whether stdout shows colours and the user has not declined them (`NO_COLOR`).
#[must_use]
pub fn stdout_colour_is_welcome() -> bool {
    io::stdout().is_terminal() && can_move() && wants_colour()
}

/// Whether stderr shows colours and the user has not declined them (`NO_COLOR`).
#[must_use]
pub fn colour_is_welcome() -> bool {
    bar_is_welcome() && wants_colour()
}

fn wants_colour() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|no| no.is_empty())
}

fn can_move() -> bool {
    std::env::var_os("TERM").is_none_or(|kind| kind != "dumb")
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
