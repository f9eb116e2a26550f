//! What one step of each part does to the mixture: finite differences on the running machine.
//!
//! At each operating point the machine is run until periodic, then once more with each part one step richer and one
//! step leaner, speed and lift held. A changed machine goes on from the gas and fuel of the base point
//! ([`crate::rig::machine_state::Rig::refitted`]), or from rest where it cannot. The base points start from each other
//! as in a map; the steps start from their base point alone, so the same input gives the same bits on any number of
//! threads.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;
use std::sync::{Mutex, PoisonError};

use super::hand_over::hand_over;
use super::map::Grid;
use super::point::{self, PointResult, RigState};
use super::steps_result::{Change, Fuelling, PartEffect, PartRow, StepsPoint, StepsResult};
use super::sweep::{self, PointSolver};
use super::tasks;
use crate::hardware::carburettor::BypassHole;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::hardware::part_step::NoStep;
use crate::rig::settings::Settings;

/// Relative change over two cycles below which a run is periodic here [-], a quarter of a map's: its error in fuel over
/// air, up to 0.008 % with a map's tolerance on the demo, counts against steps of 0.05 %.
pub const TOLERANCE: f64 = 5e-5;
/// Most cycles of a run here: the tolerance takes more than a map's.
const MOST_CYCLES: u32 = 120;
/// Most cycles of a run with the slide as good as shut. There the column to the needle jet sinks back to the bowl's
/// level over hundreds of cycles, so that no run is periodic, while what passes the pilot's openings has settled.
const MOST_CYCLES_SHUT: u32 = 60;
/// Throttles below those of the grid at which the pilot's openings are looked at [-].
const SMALL: [f64; 5] = [1.0 / 256.0, 1.0 / 128.0, 1.0 / 64.0, 1.0 / 32.0, 3.0 / 64.0];

/// Settings of these runs: those of a map with a tolerance that resolves a small step.
#[must_use]
pub fn settings(of_map: &Settings) -> Settings {
    Settings { tolerance: of_map.tolerance.min(TOLERANCE), most_cycles: of_map.most_cycles.max(MOST_CYCLES), ..*of_map }
}

/// Throttles below the smallest of `grid`.
fn small(grid: &Grid) -> impl Iterator<Item = f64> {
    let least = grid.throttles.iter().copied().fold(f64::INFINITY, f64::min);
    SMALL.into_iter().filter(move |t| *t < 0.9 * least)
}

/// Runs of a study of `parts` over `grid`.
#[must_use]
pub fn runs(grid: &Grid, parts: usize) -> usize {
    grid.speeds.len() * (small(grid).count() + grid.throttles.len() * (1 + 2 * parts))
}

/// Moves each of `parts` one step both ways at each point of `grid`; `on_run` hears the speed of each run that ends,
/// from any thread. None if it was stopped before its end.
pub fn run(
    machine: &Machine,
    grid: &Grid,
    parts: &[Part],
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Option<StepsResult> {
    let keeping = Keeping { machine, settings, kept: Mutex::new(Vec::new()) };
    let (bases, stopped) = sweep::run(&keeping, grid, threads, stop, &|_, point| on_run(point.rpm));
    if stopped {
        return None;
    }
    let moved = parts.iter().flat_map(|part| [1, -1].map(|n| part.moved(machine, n))).collect();
    let kept = keeping.kept.into_inner().unwrap_or_else(PoisonError::into_inner);
    let work = Work { machine, settings, bases, kept, moved };

    // The slides as good as shut take longest, so they come first.
    let places: Vec<(f64, f64)> = small(grid).flat_map(|t| grid.speeds.iter().map(move |rpm| (t, *rpm))).collect();
    let small = tasks::in_order(places.len(), threads, stop, &|task| {
        let point = work.small(places[task]);
        on_run(point.rpm);
        point
    });
    let failed = |(place, r): (&(f64, f64), Option<Result<PointResult, String>>)| {
        r.map(|r| r.unwrap_or_else(|bug| PointResult::failed(place.0, place.1, 0, a_bug(&bug))))
    };
    let small = places.iter().zip(small).map(failed).collect::<Option<Vec<_>>>()?;

    let sides = work.moved.len();
    let results = tasks::in_order(work.bases.len() * sides, threads, stop, &|task| {
        let fuelling = work.side(task / sides, task % sides);
        on_run(work.bases[task / sides].rpm);
        fuelling
    });
    let fuelling = |r: Option<Result<Fuelling, String>>| r.map(|r| r.unwrap_or_else(|bug| Fuelling::none(a_bug(&bug))));
    let mut results = results.into_iter().map(fuelling).collect::<Option<Vec<_>>>()?.into_iter();
    let mut points = Vec::with_capacity(work.bases.len());
    for base in work.bases {
        let own: Vec<Fuelling> = results.by_ref().take(sides).collect();
        points.push(StepsPoint { parts: effects(&Fuelling::of(&base), parts, own), base });
    }
    let row = |part: &Part| PartRow {
        part: *part,
        name: part.name().to_owned(),
        setting: part.setting(machine),
        step: part.step_label(machine),
    };
    Some(StepsResult {
        grid: grid.clone(),
        parts: parts.iter().map(row).collect(),
        points,
        small,
        openings: openings(machine),
        hand_over: hand_over(machine),
    })
}

/// The pilot's openings into the bore, in plain words.
fn openings(machine: &Machine) -> Vec<String> {
    let pilot = &machine.carburettor.pilot;
    let hole = |hole: &BypassHole| {
        let (bore, ahead) = (1e3 * hole.hole.bore, 1e3 * hole.upstream_of_edge);
        let place = if ahead < 0.0 { "behind" } else { "ahead" };
        format!("by-pass hole, {bore:.2} mm, {:.1} mm {place}", ahead.abs())
    };
    let outlet = format!("pilot outlet, {:.2} mm", 1e3 * pilot.outlet.bore);
    std::iter::once(outlet).chain(pilot.bypass.iter().map(hole)).collect()
}

fn a_bug(text: &str) -> String {
    format!("a bug in bellmouth: {text}")
}

/// The base points with their states, and what is to be run from them.
struct Work<'a> {
    machine: &'a Machine,
    settings: &'a Settings,
    bases: Vec<PointResult>,
    kept: Vec<(f64, f64, RigState)>,
    /// For each part one step up, one step down.
    moved: Vec<Result<Machine, NoStep>>,
}

impl Work<'_> {
    /// The state of a base point, if it is periodic.
    fn state(&self, base: &PointResult) -> Option<&RigState> {
        let same = |a: f64, b: f64| a.to_bits() == b.to_bits();
        self.kept.iter().find(|k| same(k.0, base.throttle) && same(k.1, base.rpm)).map(|k| &k.2)
    }

    /// A changed machine at a base point.
    fn side(&self, base: usize, side: usize) -> Fuelling {
        let base = &self.bases[base];
        match (&self.moved[side], base.converged) {
            (_, false) => Fuelling::none("not run: the point as fitted is not periodic".to_owned()),
            (Err(why), _) => Fuelling::none(why.to_string()),
            (Ok(moved), true) => {
                let parent = self.state(base).and_then(|state| state.refitted(moved));
                Fuelling::of(&point::solve(moved, base.throttle, base.rpm, parent.as_ref(), self.settings).0)
            }
        }
    }

    /// A smaller throttle as fitted, from the smallest base point of its speed.
    fn small(&self, (throttle, rpm): (f64, f64)) -> PointResult {
        let at_speed = self.bases.iter().filter(|b| b.rpm.to_bits() == rpm.to_bits());
        let parent = at_speed.min_by(|a, b| a.throttle.total_cmp(&b.throttle)).and_then(|base| self.state(base));
        let settings = Settings { most_cycles: self.settings.most_cycles.min(MOST_CYCLES_SHUT), ..*self.settings };
        point::solve(self.machine, throttle, rpm, parent, &settings).0
    }
}

/// The effects of all parts from their two sides each, up before down.
fn effects(base: &Fuelling, parts: &[Part], sides: Vec<Fuelling>) -> Vec<PartEffect> {
    let mut sides = sides.into_iter();
    let mut effects: Vec<PartEffect> = Vec::with_capacity(parts.len());
    for part in parts {
        let (Some(up), Some(down)) = (sides.next(), sides.next()) else { break };
        let mixture = Change::between(base.richness(), up.richness(), down.richness());
        let fuel = Change::between(base.fuel(), up.fuel(), down.fuel());
        effects.push(PartEffect { part: *part, up, down, mixture, fuel, share: None });
    }
    // Another taper is another needle, and a quarter of a degree a large step: it has no say among settings and jets.
    let say = |e: &PartEffect| e.mixture.per_step.map(f64::abs).filter(|_| e.part != Part::NeedleTaper);
    let all: f64 = effects.iter().filter_map(say).sum();
    for effect in &mut effects {
        effect.share = say(effect).filter(|_| all > 0.0).map(|s| s / all);
    }
    effects
}

/// Solves points as a map does and keeps their final states.
struct Keeping<'a> {
    machine: &'a Machine,
    settings: &'a Settings,
    kept: Mutex<Vec<(f64, f64, RigState)>>,
}

impl PointSolver for Keeping<'_> {
    type State = RigState;

    fn solve(&self, throttle: f64, rpm: f64, parents: &[Self::State]) -> (PointResult, Option<Self::State>) {
        let (point, state) = point::solve_from(self.machine, throttle, rpm, parents, self.settings, &|| true);
        if let Some(state) = &state {
            self.kept.lock().unwrap_or_else(PoisonError::into_inner).push((throttle, rpm, state.clone()));
        }
        (point, state)
    }
}
