//! A problem of the user's file, and the report that collects them.

use std::fmt;

use super::clean::clean_line;
use super::render::{Style, render};
use super::source::Place;

/// Whether the program goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Severity {
    /// The set-up cannot be used.
    Error,
    /// The set-up is used, but something in it is unlikely.
    Warning,
}

/// One thing that is wrong or unlikely.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Error or warning.
    pub severity: Severity,
    /// What is wrong, lower case, without a full stop.
    pub message: String,
    /// Where.
    pub place: Option<Place>,
    /// What stands under the caret: what was received.
    pub label: String,
    /// A second place that disagrees with the first, and what stands there.
    pub other: Option<(Place, String)>,
    /// What would be right: the range, the words, the units.
    pub allowed: Option<String>,
    /// What to try.
    pub help: Option<String>,
}

impl Problem {
    /// An error.
    #[must_use]
    pub fn error(message: impl AsRef<str>) -> Self {
        Self {
            severity: Severity::Error,
            message: clean_line(message.as_ref(), 400),
            place: None,
            label: String::new(),
            other: None,
            allowed: None,
            help: None,
        }
    }

    /// A warning.
    #[must_use]
    pub fn warning(message: impl AsRef<str>) -> Self {
        Self { severity: Severity::Warning, ..Self::error(message) }
    }

    /// The same, pointing at `place` with `label` under the caret.
    #[must_use]
    pub fn at(mut self, place: Option<Place>, label: impl AsRef<str>) -> Self {
        self.place = place;
        self.label = clean_line(label.as_ref(), 100);
        self
    }

    /// The same, with the place that disagrees.
    #[must_use]
    pub fn against(mut self, place: Option<Place>, label: impl AsRef<str>) -> Self {
        self.other = place.map(|p| (p, clean_line(label.as_ref(), 100)));
        self
    }

    /// The same, saying what would be right.
    #[must_use]
    pub fn allowed(mut self, allowed: impl AsRef<str>) -> Self {
        self.allowed = Some(clean_line(allowed.as_ref(), 400));
        self
    }

    /// The same, with advice.
    #[must_use]
    pub fn help(mut self, help: impl AsRef<str>) -> Self {
        self.help = Some(clean_line(help.as_ref(), 600));
        self
    }
}

/// Everything that keeps a file from being used, and the warnings found on the way.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Report {
    /// Errors, at least one, and warnings.
    pub problems: Vec<Problem>,
}

impl Report {
    /// A report of one problem.
    #[must_use]
    pub fn one(problem: Problem) -> Self {
        Self { problems: vec![problem] }
    }

    /// Number of errors.
    #[must_use]
    pub fn errors(&self) -> usize {
        self.problems.iter().filter(|p| p.severity == Severity::Error).count()
    }
}

impl fmt::Display for Report {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&render(&self.problems, Style::plain()))
    }
}

impl std::error::Error for Report {}

/// A result, and the warnings that came with it.
#[derive(Debug, Clone, PartialEq)]
pub struct Warned<T> {
    /// The result.
    pub value: T,
    /// Warnings.
    pub warnings: Vec<Problem>,
}
