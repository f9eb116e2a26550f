//! A carburettor brought to a wanted mixture with main jet, clip and pilot jet alone.
//!
//! The mixture is looked at at full, half and a sixteenth of the throttle, at a few speeds where the engine pulls;
//! what is
//! wanted is the middle of the band. One step of each part gives the change of the logarithm of lambda there; the steps
//! that bring all three to what is wanted solve the three equations, and are rounded to whole ones, since jets and
//! grooves come in
//! whole ones. A part that ends sooner stays at its end.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::point::{self, RigState};
use super::tasks;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::rig::settings::Settings;
use crate::setup::targets::TargetBand;

/// Throttle and part that governs there.
const PLACES: [(f64, Part); 3] = [(1.0, Part::MainJet), (0.5, Part::Clip), (0.0625, Part::PilotJet)];
/// Most steps of one part.
const MOST: i32 = 12;

/// Middle of the band at each place, as the logarithm of lambda; without a band lambda 0.88.
fn wanted(targets: &[TargetBand]) -> [f64; 3] {
    PLACES.map(|(throttle, _)| {
        let band = targets.iter().find(|t| throttle >= t.throttle_from - 1e-9 && throttle <= t.throttle_to + 1e-9);
        libm::log(band.map_or(0.88, |b| 0.5 * (b.lambda_rich + b.lambda_lean)))
    })
}

/// A part that came to an end of its range.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Ended {
    /// The part.
    pub part: Part,
    /// Steps that the mixture asks for, above zero the richer way.
    pub asked: i32,
    /// Steps that there are.
    pub taken: i32,
}

/// A machine brought to a mixture.
#[derive(Debug, Clone, PartialEq)]
pub struct Brought {
    /// The machine.
    pub machine: Machine,
    /// Parts that would have had to go further.
    pub ended: Vec<Ended>,
}

/// `machine` with main jet, clip and pilot jet brought to the middle of `targets`, over `speeds`; none if it was
/// stopped.
/// `on_run` hears of each run.
pub fn brought(
    machine: &Machine,
    targets: &[TargetBand],
    speeds: &[f64],
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Option<Brought> {
    let places: Vec<(f64, f64)> = PLACES.iter().flat_map(|(t, _)| speeds.iter().map(move |rpm| (*t, *rpm))).collect();
    let moved: Vec<Option<(f64, Machine)>> = PLACES
        .iter()
        .map(|(_, part)| [1, -1].into_iter().find_map(|n| Some((f64::from(n), part.moved(machine, n).ok()?))))
        .collect();
    let solve = |machine: &Machine, throttle: f64, rpm: f64, parent: Option<&RigState>| {
        let solved = point::solve(machine, throttle, rpm, parent, settings);
        on_run(rpm);
        let lambda = solved.0.lambda.filter(|l| solved.0.converged && solved.0.fired && *l > 0.0);
        (lambda.map(libm::log), solved.1)
    };
    // lambda as it is, and its change by one step of each part
    let found = tasks::in_order(places.len(), threads, stop, &|i| {
        let (throttle, rpm) = places[i];
        let (own, state) = solve(machine, throttle, rpm, None);
        let by = moved.iter().map(|moved| {
            let (way, moved) = moved.as_ref()?;
            let parent = state.as_ref().and_then(|s| s.refitted(moved));
            Some((solve(moved, throttle, rpm, parent.as_ref()).0? - own?) / way)
        });
        (own, by.collect::<Vec<Option<f64>>>())
    });
    type Row = (Option<f64>, Vec<Option<f64>>);
    let found: Vec<Row> =
        found.into_iter().map(|r| r.map(|r| r.unwrap_or((None, vec![None; 3])))).collect::<Option<_>>()?;
    let mean = |place: usize, of: &dyn Fn(&Row) -> Option<f64>| {
        let own: Vec<f64> = found[place * speeds.len()..(place + 1) * speeds.len()].iter().filter_map(of).collect();
        (!own.is_empty()).then(|| own.iter().sum::<f64>() / own.len() as f64)
    };
    let wanted = wanted(targets);
    let mut rows = [[0.0; 4]; 3];
    for (i, row) in rows.iter_mut().enumerate() {
        for (j, value) in row.iter_mut().take(3).enumerate() {
            *value = mean(i, &|r| r.1[j]).unwrap_or(0.0);
        }
        row[3] = mean(i, &|r| r.0).map_or(0.0, |own| wanted[i] - own);
    }
    // from the top down, each by its own part, then again with what the others did
    let ends = PLACES.map(|(_, part)| {
        let last = |way: i32| (1..=MOST).take_while(|n| part.moved(machine, way * n).is_ok()).count() as f64;
        (-last(-1), last(1))
    });
    let mut steps = [0.0_f64; 3];
    let mut wished = [0.0_f64; 3];
    for _ in 0..ROUNDS {
        for i in 0..3 {
            let others: f64 = (0..3).filter(|j| *j != i).map(|j| rows[i][j] * steps[j]).sum();
            let asked = (rows[i][3] - others) / rows[i][i];
            wished[i] = if rows[i][i] < -LEAST { asked.round() } else { 0.0 };
            steps[i] = wished[i].clamp(ends[i].0, ends[i].1);
        }
    }
    let mut result = machine.clone();
    let mut ended = Vec::new();
    for ((_, part), (asked, wished)) in PLACES.iter().zip(steps.into_iter().zip(wished)) {
        let (count, way) = (asked.abs() as i32, if asked < 0.0 { -1 } else { 1 });
        let found = (1..=count).rev().find_map(|n| part.moved(&result, way * n).ok().map(|m| (way * n, m)));
        let taken = found.as_ref().map_or(0, |f| f.0);
        if let Some((_, next)) = found {
            result = next;
        }
        // beyond a hundred steps the number says nothing
        let asked = wished.clamp(-99.0, 99.0) as i32;
        if asked != taken {
            ended.push(Ended { part: *part, asked, taken });
        }
    }
    Some(Brought { machine: result, ended })
}

/// Times the three equations are gone through: they hang together weakly.
const ROUNDS: usize = 6;
/// Least change of the logarithm of lambda by one step for a part to be used [-].
const LEAST: f64 = 0.002;

/// Runs that [`brought`] takes.
#[must_use]
pub fn runs(speeds: usize) -> usize {
    PLACES.len() * speeds * (1 + PLACES.len())
}
