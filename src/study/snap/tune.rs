//! Rod gap, stop and nozzle that fill the lean hole best.
//!
//! Sizes as they are set and sold are tried on the bench model ([`super::bench`]) against the fuel that is missing
//! without a pump; the best are run on the engine. What a run gave beyond the model's word corrects the model for the
//! next choice. The best of those that were run counts, by [`super::hole::Misfit::score`].

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use super::bench::added;
use super::hole::Misfit;
use super::result::{PumpParts, SnapRun};
use crate::hardware::accelerator_pump::AcceleratorPump;
use crate::hardware::jet::Jet;
use crate::hardware::machine::Machine;
use crate::rig::transient::Opening;
use crate::study::tasks::in_order;

/// Rod gaps tried, smallest, largest and step [m]. Common practice: set with feelers, 2 mm to start from.
const GAPS: (f64, f64, f64) = (0.5e-3, 5e-3, 0.5e-3);
/// Step of the stop [m], and the shortest stroke of the slide between gap and stop [m].
const STOPS: (f64, f64) = (1e-3, 2e-3);
/// Nozzles tried, smallest, largest and step [m]: sold by hundredths of a millimetre, in fives. Common practice, no
/// source.
const NOZZLES: (f64, f64, f64) = (0.25e-3, 0.9e-3, 0.05e-3);
/// Rounds of choosing and running.
pub const ROUNDS: usize = 3;
/// Pumps run in a round.
pub const IN_A_ROUND: usize = 2;

/// A part of the pump that may be changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Free {
    /// Rod gap.
    Gap,
    /// Stop.
    Stop,
    /// Nozzle.
    Nozzle,
}

impl Free {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Gap, Self::Stop, Self::Nozzle];

    /// Its word on the command line and in reports.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Gap => "gap",
            Self::Stop => "stop",
            Self::Nozzle => "nozzle",
        }
    }
}

/// What is fitted.
#[must_use]
pub fn parts_of(pump: &AcceleratorPump) -> PumpParts {
    PumpParts { rod_gap_m: pump.rod_gap, stop_m: pump.stop, nozzle_m: pump.nozzle.bore }
}

/// The pump with other parts; the nozzle keeps its slenderness.
#[must_use]
pub fn with_parts(pump: &AcceleratorPump, parts: &PumpParts) -> AcceleratorPump {
    let slenderness = pump.nozzle.length / pump.nozzle.bore;
    let nozzle = Jet { bore: parts.nozzle_m, length: slenderness * parts.nozzle_m };
    AcceleratorPump { rod_gap: parts.rod_gap_m, stop: parts.stop_m, nozzle, ..*pump }
}

/// Every pump to try: sizes of the free parts, the others as fitted; gaps, stops and nozzles rising. Gaps that the
/// slide has passed before the opening are all one, and so are stops that it does not reach: of each the size nearest
/// to the `usual` one stays.
#[must_use]
pub fn sizes(
    pump: &AcceleratorPump,
    (bore, opening): (f64, &Opening),
    usual: &PumpParts,
    free: &[Free],
) -> Vec<PumpParts> {
    let own = parts_of(pump);
    let steps = |(low, high, step): (f64, f64, f64)| {
        let count = ((high - low) / step + 0.5) as u32;
        (0..=count).map(move |i| low + step * f64::from(i)).collect::<Vec<f64>>()
    };
    let of = |part: Free, fitted: f64, all: Vec<f64>| if free.contains(&part) { all } else { vec![fitted] };
    let gaps = one_of(steps(GAPS), |gap| gap <= opening.from, usual.rod_gap_m);
    let gaps = of(Free::Gap, own.rod_gap_m, gaps);
    let last = (bore / STOPS.0 + 1e-9).floor() * STOPS.0;
    let stops = steps((3.0 * STOPS.0, last, STOPS.0)).into_iter().filter(|s| *s > opening.from).collect();
    let stops = of(Free::Stop, own.stop_m, one_of(stops, |stop| stop >= opening.to, usual.stop_m));
    let nozzles = of(Free::Nozzle, own.nozzle_m, steps(NOZZLES));
    let mut all = Vec::new();
    for &rod_gap_m in &gaps {
        for &stop_m in stops.iter().filter(|s| **s >= rod_gap_m + STOPS.1 - 1e-9) {
            all.extend(nozzles.iter().map(|&nozzle_m| PumpParts { rod_gap_m, stop_m, nozzle_m }));
        }
    }
    all
}

/// `sizes` with only the one nearest to `usual` of those that are `alike`.
fn one_of(sizes: Vec<f64>, alike: impl Fn(f64) -> bool, usual: f64) -> Vec<f64> {
    let far = |size: &f64| (size - usual).abs();
    let kept = sizes.iter().copied().filter(|s| alike(*s)).min_by(|a, b| far(a).total_cmp(&far(b)));
    sizes.into_iter().filter(|s| !alike(*s) || kept.is_some_and(|k| (s - k).abs() <= 0.0)).collect()
}

/// Fuel that each of `sizes` would add to each cycle [mg]; none when stopped.
#[must_use]
pub fn tried(
    machine: &Machine,
    opening: &Opening,
    (pump, sizes): (&AcceleratorPump, &[PumpParts]),
    without: &SnapRun,
    (threads, stop): (NonZeroUsize, &AtomicBool),
) -> Option<Vec<Vec<f64>>> {
    let act = |i: usize| added(machine, opening, &with_parts(pump, &sizes[i]), without);
    in_order(sizes.len(), threads, stop, &act).into_iter().map(|r| r?.ok()).collect()
}

/// What the run with a pump gave to each charge beyond the run without and the model's word [mg].
#[must_use]
pub fn beyond(with: &SnapRun, without: &SnapRun, model: &[f64]) -> Vec<f64> {
    let pairs = with.cycles.iter().zip(&without.cycles).zip(model);
    pairs.map(|((a, b), m)| a.fuel_mg - b.fuel_mg - m).collect()
}

/// Misfit that the model predicts for a pump that adds `added` [mg], corrected by `beyond` [mg].
#[must_use]
pub fn predicted(without: &SnapRun, added: &[f64], beyond: &[f64]) -> Misfit {
    let mut m = Misfit { lean_s: 0.0, rich_s: 0.0 };
    for (i, (c, added)) in without.cycles.iter().zip(added).enumerate() {
        if c.time_s >= 0.0 && c.needed_mg > 0.0 {
            let fuel = c.fuel_mg + added + beyond.get(i).copied().unwrap_or(0.0);
            m.add(c.lasts_s, c.air_mg, fuel, c.air_mg / c.needed_mg);
        }
    }
    m
}

/// The next pumps to run: the best by the model that was not `run`, and the best with another nozzle, or another stop
/// where there is one nozzle.
#[must_use]
pub fn next(without: &SnapRun, sizes: &[PumpParts], added: &[Vec<f64>], beyond: &[f64], run: &[usize]) -> Vec<usize> {
    let scores: Vec<f64> = added.iter().map(|a| predicted(without, a, beyond).score()).collect();
    let best = |allowed: &dyn Fn(usize) -> bool| {
        (0..sizes.len()).filter(|i| !run.contains(i) && allowed(*i)).min_by(|a, b| scores[*a].total_cmp(&scores[*b]))
    };
    let Some(first) = best(&|_| true) else { return Vec::new() };
    let differs = |a: f64, b: f64| (a - b).abs() > 1e-9;
    let other = best(&|i| differs(sizes[i].nozzle_m, sizes[first].nozzle_m))
        .or_else(|| best(&|i| differs(sizes[i].stop_m, sizes[first].stop_m)))
        .or_else(|| best(&|i| i != first));
    [Some(first), other].into_iter().flatten().take(IN_A_ROUND).collect()
}

/// Parts whose best size is at an end of the sizes tried.
#[must_use]
pub fn at_the_end(best: &PumpParts, sizes: &[PumpParts]) -> Vec<&'static str> {
    type Of = fn(&PumpParts) -> f64;
    let figures: [(Free, Of); 3] =
        [(Free::Gap, |p| p.rod_gap_m), (Free::Stop, |p| p.stop_m), (Free::Nozzle, |p| p.nozzle_m)];
    let mut found = Vec::new();
    for (part, of) in figures {
        let span = sizes.iter().map(of).fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), v| (a.min(v), b.max(v)));
        let meets = |end: f64| (of(best) - end).abs() < 1e-9;
        if span.1 - span.0 > 1e-9 && (meets(span.0) || meets(span.1)) {
            found.push(part.word());
        }
    }
    found
}
