//! What comes up while a file is read: problems, the origin of each value, and one estimate that was moved.

use std::collections::{BTreeMap, BTreeSet};

use super::flow_test::FlowTest;
use super::provenance::{End, EstimateNote, Origin, Provenance};
use super::spec::{Estimate, Spec};
use crate::diagnostics::{Place, Problem, Severity};

/// A value with its place, or NaN when a problem with it has already been noted.
#[derive(Debug, Clone)]
pub struct Figure {
    /// The value in the unit kept inside; NaN after a problem, so that no later check fires on it.
    pub kept: f64,
    /// Where it is given; none for an estimate.
    pub place: Option<Place>,
    /// Dotted key.
    pub key: String,
    /// How it is shown.
    pub spec: Spec,
}

impl Figure {
    /// The value as a person reads it.
    #[must_use]
    pub fn shown(&self) -> String {
        self.spec.show(self.kept)
    }

    /// The value as a label, saying so when it is an estimate.
    #[must_use]
    pub fn label(&self) -> String {
        match self.place {
            Some(_) => self.shown(),
            None => format!("{} (estimated)", self.shown()),
        }
    }
}

/// A key that no table asked for.
#[derive(Debug)]
pub struct Stray {
    /// The table it stands in, dotted.
    pub table: String,
    /// The key.
    pub key: String,
    /// Where.
    pub place: Place,
    /// Keys that the table knows.
    pub known: Vec<String>,
}

/// Problems, origins and the moved estimate of one reading.
#[derive(Debug, Default)]
pub struct Ledger {
    /// Problems so far.
    pub problems: Vec<Problem>,
    /// Origins so far.
    pub origins: Vec<Provenance>,
    /// Places of the values that are given, by dotted key.
    pub places: BTreeMap<String, Place>,
    /// Keys that nobody asked for.
    pub strays: Vec<Stray>,
    /// Every key asked for: table and key.
    pub asked: BTreeSet<(String, String)>,
    /// Jets that were tested at home.
    pub flow_tests: Vec<FlowTest>,
    /// The estimate to move.
    pub moved: Option<(String, End)>,
    /// Whether it was met.
    pub met: bool,
}

impl Ledger {
    /// Notes a problem.
    pub fn note(&mut self, problem: Problem) {
        self.problems.push(problem);
    }

    /// Adds `help` to the problem just noted about `figure`, if there is one and it has none.
    pub fn advise(&mut self, figure: &Figure, help: &str) {
        let about = |p: &&mut Problem| figure.place.is_some() && p.place == figure.place && p.help.is_none();
        if let Some(problem) = self.problems.last_mut().filter(about) {
            *problem = problem.clone().help(help);
        }
    }

    /// Whether no error was noted since `from` problems.
    #[must_use]
    pub fn sound_since(&self, from: usize) -> bool {
        self.problems.iter().skip(from).all(|p| p.severity == Severity::Warning)
    }

    /// Notes where a given value stands.
    pub fn given(&mut self, key: &str, shown: String, value: Option<f64>, unit: &'static str, place: &Place) {
        self.places.insert(key.into(), place.clone());
        let origin = Origin::Given { file: place.source.name.clone(), line: place.line() };
        self.origins.push(Provenance { key: key.into(), shown, value, unit, origin });
    }

    /// Takes an estimate, moved to an end of its range if that was asked, and notes what it rests on.
    pub fn estimated(&mut self, key: &str, spec: &Spec, estimate: Estimate) -> Figure {
        let kept = match &self.moved {
            Some((moved, end)) if moved == key => {
                self.met = true;
                match end {
                    End::Low => estimate.low,
                    End::High => estimate.high,
                }
            }
            _ => estimate.value,
        };
        let note = EstimateNote {
            rule: estimate.rule,
            source: estimate.source,
            low: estimate.low,
            high: estimate.high,
            low_shown: spec.show(estimate.low),
            high_shown: spec.show(estimate.high),
        };
        self.origins.push(Provenance {
            key: key.into(),
            shown: spec.show(kept),
            value: Some(kept),
            unit: spec.dimension.kept_in(),
            origin: Origin::Estimated(note),
        });
        Figure { kept, place: None, key: key.into(), spec: *spec }
    }
}
