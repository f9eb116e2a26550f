//! Where each value of a set-up comes from.

use serde::{Deserialize, Serialize};

/// One value of the set-up and its origin.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Provenance {
    /// Dotted key: `engine.inlet_valve.lift`.
    pub key: String,
    /// The value as a person reads it, with its unit.
    pub shown: String,
    /// The value inside the program; none for a word.
    pub value: Option<f64>,
    /// Its unit inside the program.
    pub unit: &'static str,
    /// Given or estimated.
    pub origin: Origin,
}

/// Who says so.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Origin {
    /// The file says so.
    Given {
        /// File as named.
        file: String,
        /// Line from 1.
        line: usize,
    },
    /// A rule says so, as the file does not.
    Estimated(EstimateNote),
}

/// What an estimate rests on, and how far off it may be.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct EstimateNote {
    /// The rule in words.
    pub rule: String,
    /// Its source, or "common practice, no source".
    pub source: &'static str,
    /// Lowest likely value, in the unit inside the program.
    pub low: f64,
    /// Highest likely value.
    pub high: f64,
    /// Lowest likely value as a person reads it.
    pub low_shown: String,
    /// Highest likely value as a person reads it.
    pub high_shown: String,
}

impl Provenance {
    /// The note of an estimate; none for a given value.
    #[must_use]
    pub fn estimate(&self) -> Option<&EstimateNote> {
        match &self.origin {
            Origin::Estimated(note) => Some(note),
            Origin::Given { .. } => None,
        }
    }
}

/// One end of the range of an estimate.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// The lowest likely value.
    Low,
    /// The highest likely value.
    High,
}
