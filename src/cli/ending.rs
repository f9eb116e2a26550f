//! How a command ended, as an exit code.

use std::process::ExitCode;

use super::console;
use crate::plot::PlotError;
use crate::report::{ReportError, SinkError};

/// A command that ran.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// All that was asked for is there.
    Done,
    /// It ran, but fewer points converged than required, or the one cycle failed.
    NotConverged,
    /// It was interrupted; what was finished is kept.
    Interrupted,
}

/// A command that could not run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Failure {
    /// The set-up or an argument is wrong; the text says what and where.
    Input(String),
    /// A file, a folder or stdout could not be written.
    Write(String),
}

impl From<SinkError> for Failure {
    fn from(error: SinkError) -> Self {
        Self::Write(error.to_string())
    }
}

impl From<ReportError> for Failure {
    fn from(error: ReportError) -> Self {
        Self::Write(error.to_string())
    }
}

impl From<PlotError> for Failure {
    fn from(error: PlotError) -> Self {
        Self::Write(error.to_string())
    }
}

/// Says what is left to say and gives the exit code: 0 done, 1 too little converged, 2 bad input, 3 could not write,
/// 130 interrupted.
pub fn exit_code(outcome: Result<Ending, Failure>) -> ExitCode {
    match outcome {
        Ok(Ending::Done) => ExitCode::SUCCESS,
        Ok(Ending::NotConverged) => ExitCode::from(1),
        Ok(Ending::Interrupted) => ExitCode::from(130),
        Err(Failure::Input(text)) => {
            console::say(text.trim_end());
            ExitCode::from(2)
        }
        Err(Failure::Write(text)) => {
            console::say(format_args!("error: {text}"));
            ExitCode::from(3)
        }
    }
}
