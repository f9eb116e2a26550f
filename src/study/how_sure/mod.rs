//! How sure an answer is: the estimates that say most about it, moved to both ends of their range.
//!
//! Every estimate whose range has a width is moved once, to the end that is further away, and a few points are run on
//! coarse cells ([`screen`]). What that does to the answer ranks them; the first [`MOST`] are moved to both ends and
//! the question is asked again ([`compare`], [`rejet`], [`spots`]). One estimate is moved at a time; two that are wrong
//! together may do more. Screening by one-at-a-time changes: common practice of experiments.

pub mod compare;
pub mod rejet;
pub mod screen;
pub mod spots;

use serde::{Deserialize, Serialize};

use crate::hardware::machine::Machine;
use crate::rig::machine_state::{OperatingPoint, Rig};
use crate::rig::settings::Settings;
use crate::setup::{End, Setup, measure};
use crate::study::point::PointResult;

/// Estimates that are moved to both ends.
pub const MOST: usize = 5;
/// Longest cell that is made coarser [m].
const COARSEST: f64 = 20e-3;

/// An estimate that may be off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Doubtful {
    /// Dotted key in the file.
    pub key: String,
    /// Name of the set-up whose own it is, when there are several and they do not share it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<String>,
    /// The estimate as a person reads it.
    pub shown: String,
    /// The ends of its range.
    pub ends_shown: [String; 2],
    /// With what it can be measured at home; none if it cannot.
    pub tool: Option<String>,
}

impl Doubtful {
    /// The key, with the set-up if there are several.
    #[must_use]
    pub fn name(&self) -> String {
        self.of.as_ref().map_or_else(|| self.key.clone(), |of| format!("{} of {of}", self.key))
    }
}

/// An estimate and the set-ups, by their places, in which it is moved.
#[derive(Debug, Clone)]
pub struct Candidate {
    /// The estimate.
    pub doubtful: Doubtful,
    /// Places of the set-ups.
    pub owners: Vec<usize>,
    /// The end that is further away.
    pub far: End,
}

/// Both ends.
pub const ENDS: [End; 2] = [End::Low, End::High];

/// All estimates of `setups` whose range has a width. Those of a carburettor are moved alone, as two of them are off
/// each by its own; those of engine, air and fuel in all set-ups together.
#[must_use]
pub fn candidates(setups: &[&Setup]) -> Vec<Candidate> {
    let mut found: Vec<Candidate> = Vec::new();
    for (place, setup) in setups.iter().enumerate() {
        for estimate in setup.estimates() {
            let (Some(note), Some(value)) = (estimate.estimate(), estimate.value) else { continue };
            let width = note.high - note.low;
            if !width.is_finite() || width <= 1e-9 * note.high.abs().max(note.low.abs()) {
                continue;
            }
            let own = setups.len() > 1 && estimate.key.starts_with("carburettor.");
            if let Some(same) =
                found.iter_mut().find(|c| !own && c.doubtful.of.is_none() && c.doubtful.key == estimate.key)
            {
                same.owners.push(place);
                continue;
            }
            found.push(Candidate {
                doubtful: Doubtful {
                    key: estimate.key.clone(),
                    of: own.then(|| setup.name.clone()),
                    shown: estimate.shown.clone(),
                    ends_shown: [note.low_shown.clone(), note.high_shown.clone()],
                    tool: measure::tool(&estimate.key).map(str::to_owned),
                },
                owners: vec![place],
                far: if value - note.low > note.high - value { End::Low } else { End::High },
            });
        }
    }
    found
}

/// The machine of `setup` with one estimate moved; none if it does not fit together there. Jets stay what they are: a
/// number read in another fuel would be another jet.
#[must_use]
pub fn moved(setup: &Setup, key: &str, end: End) -> Option<Machine> {
    let mut machine = setup.with_estimate_at(key, end).ok()?.machine;
    let (new, own) = (&mut machine.carburettor, &setup.machine.carburettor);
    new.main.main_jet.bore = own.main.main_jet.bore;
    new.pilot.jet.bore = own.pilot.jet.bore;
    Some(machine)
}

/// `settings` with cells so many times as long, up to 20 mm, if all `machines` can be cut into such.
#[must_use]
pub fn coarser(settings: &Settings, times: f64, machines: &[&Machine]) -> Settings {
    let cell_size = (times * settings.cell_size).min(COARSEST).max(settings.cell_size);
    let coarse = Settings { cell_size, ..*settings };
    let cut = |m: &&Machine| {
        let point = OperatingPoint { rpm: m.engine.highest_rpm, lift: m.carburettor.slide.bore };
        Rig::cold(m, point, &coarse).is_ok()
    };
    if machines.iter().all(cut) { coarse } else { *settings }
}

/// What to measure next: the first of `doubtful`, most influential first, that can be measured.
#[must_use]
pub fn next<'a>(doubtful: impl Iterator<Item = &'a Doubtful>) -> Option<Doubtful> {
    doubtful.into_iter().find(|d| d.tool.is_some()).cloned()
}

/// Change of `ln lambda` between two runs of a point that both converged.
fn change(before: &PointResult, after: &PointResult) -> Option<f64> {
    let good = |p: &PointResult| p.lambda.filter(|l| p.converged && l.is_finite() && *l > 0.0);
    Some(libm::log(good(after)? / good(before)?))
}
