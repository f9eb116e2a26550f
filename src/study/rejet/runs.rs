//! Runs of the machine with chosen parts over the grid, each from the state of the parts before where it can.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;
use std::sync::{Mutex, PoisonError};

use super::super::map::Grid;
use super::super::point::{self, PointResult, RigState};
use super::super::sweep::{self, PointSolver};
use super::super::tasks;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::hardware::part_size::fitted_with;
use crate::hardware::part_step::NoStep;
use crate::hardware::stock::Stock;
use crate::rig::settings::Settings;

/// The machine with its free parts, and how it is run.
pub struct Bench<'a> {
    /// The machine as fitted.
    pub machine: &'a Machine,
    /// The free parts.
    pub stocks: &'a [Stock],
    /// Throttles and speeds.
    pub grid: &'a Grid,
    /// How finely and how long.
    pub settings: &'a Settings,
    /// Threads.
    pub threads: NonZeroUsize,
    /// Becomes true when it is to stop.
    pub stop: &'a AtomicBool,
    /// Hears the speed of each run that ends, from any thread.
    pub heard: &'a (dyn Fn(f64) + Sync),
}

/// The parts chosen, by their places in the stocks, and the map they give.
#[derive(Debug, Clone)]
pub struct Fitting {
    /// Place in each stock.
    pub places: Vec<usize>,
    /// Points in the order of the grid.
    pub points: Vec<PointResult>,
    states: Vec<Option<RigState>>,
}

/// Points of one part moved by one size, in the order of the grid; none where there is no such size.
pub type Side = Option<Vec<PointResult>>;

impl Bench<'_> {
    /// Points of the grid.
    #[must_use]
    pub fn points(&self) -> usize {
        self.grid.throttles.len() * self.grid.speeds.len()
    }

    /// The machine with the parts at `places`.
    ///
    /// # Errors
    /// The parts do not go together.
    pub fn fitted(&self, places: &[usize]) -> Result<Machine, NoStep> {
        let size = |(stock, place): (&Stock, &usize)| (stock.part, stock.sizes[*place].value);
        let sizes: Vec<(Part, f64)> = self.stocks.iter().zip(places).map(size).collect();
        fitted_with(self.machine, &sizes)
    }

    /// The parts as fitted, each point from its neighbour as in a map; none if it was stopped.
    #[must_use]
    pub fn first(&self) -> Option<Fitting> {
        let places: Vec<usize> = self.stocks.iter().map(|s| s.fitted).collect();
        let keeping = Keeping { bench: self, kept: Mutex::new(Vec::new()) };
        let (points, stopped) = sweep::run(&keeping, self.grid, self.threads, self.stop, &|_, p| (self.heard)(p.rpm));
        if stopped {
            return None;
        }
        let mut kept = keeping.kept.into_inner().unwrap_or_else(PoisonError::into_inner);
        let same = |a: f64, b: f64| a.to_bits() == b.to_bits();
        let mut state = |p: &PointResult| {
            let place = kept.iter().position(|k| same(k.0, p.throttle) && same(k.1, p.rpm))?;
            Some(kept.swap_remove(place).2)
        };
        let states = points.iter().map(&mut state).collect();
        Some(Fitting { places, points, states })
    }

    /// Other parts, each point from the state of `from`; none if it was stopped, or the parts do not go together.
    #[must_use]
    pub fn moved(&self, from: &Fitting, places: &[usize]) -> Option<Fitting> {
        let machine = self.fitted(places).ok()?;
        let solved = tasks::in_order(self.points(), self.threads, self.stop, &|i| self.solve(&machine, from, i));
        let (mut points, mut states) = (Vec::with_capacity(solved.len()), Vec::with_capacity(solved.len()));
        for (i, result) in solved.into_iter().enumerate() {
            let (point, state) = result?.unwrap_or_else(|bug| (a_bug(&from.points[i], &bug), None));
            points.push(point);
            states.push(state);
        }
        Some(Fitting { places: places.to_vec(), points, states })
    }

    /// Each part one size richer and one leaner than in `from`; none if it was stopped.
    #[must_use]
    pub fn sides(&self, from: &Fitting) -> Option<Vec<[Side; 2]>> {
        let machines: Vec<Option<Machine>> = (0..self.stocks.len())
            .flat_map(|part| {
                [neighbour(self.stocks, &from.places, part, true), neighbour(self.stocks, &from.places, part, false)]
            })
            .map(|places| places.and_then(|p| self.fitted(&p).ok()))
            .collect();
        let count = self.points();
        let real: Vec<usize> = (0..machines.len()).filter(|side| machines[*side].is_some()).collect();
        let solved = tasks::in_order(real.len() * count, self.threads, self.stop, &|task| {
            let machine = machines[real[task / count]].as_ref()?;
            Some(self.solve(machine, from, task % count).0)
        });
        let mut sides: Vec<Side> = vec![None; machines.len()];
        for (task, result) in solved.into_iter().enumerate() {
            let base = &from.points[task % count];
            let point = result?.unwrap_or_else(|bug| Some(a_bug(base, &bug)))?;
            sides[real[task / count]].get_or_insert_default().push(point);
        }
        let mut sides = sides.into_iter();
        let mut pairs = Vec::with_capacity(self.stocks.len());
        while let (Some(up), Some(down)) = (sides.next(), sides.next()) {
            pairs.push([up, down]);
        }
        Some(pairs)
    }

    fn solve(&self, machine: &Machine, from: &Fitting, place: usize) -> (PointResult, Option<RigState>) {
        let base = &from.points[place];
        let parent = from.states[place].as_ref().and_then(|s| s.refitted(machine));
        let solved = point::solve(machine, base.throttle, base.rpm, parent.as_ref(), self.settings);
        (self.heard)(base.rpm);
        solved
    }
}

/// `places` with `part` one size richer or leaner; none at the end of its stock.
#[must_use]
pub fn neighbour(stocks: &[Stock], places: &[usize], part: usize, richer: bool) -> Option<Vec<usize>> {
    let here = *places.get(part)?;
    let there = if richer { here + 1 } else { here.checked_sub(1)? };
    let mut places = places.to_vec();
    (there < stocks.get(part)?.sizes.len()).then(|| {
        places[part] = there;
        places
    })
}

fn a_bug(base: &PointResult, text: &str) -> PointResult {
    PointResult::failed(base.throttle, base.rpm, 0, format!("a bug in bellmouth: {text}"))
}

/// Solves points as a map does and keeps their final states.
struct Keeping<'a, 'b> {
    bench: &'a Bench<'b>,
    kept: Mutex<Vec<(f64, f64, RigState)>>,
}

impl PointSolver for Keeping<'_, '_> {
    type State = RigState;

    fn solve(&self, throttle: f64, rpm: f64, parents: &[Self::State]) -> (PointResult, Option<Self::State>) {
        let (point, state) =
            point::solve_from(self.bench.machine, throttle, rpm, parents, self.bench.settings, &|| true);
        if let Some(state) = &state {
            self.kept.lock().unwrap_or_else(PoisonError::into_inner).push((throttle, rpm, state.clone()));
        }
        (point, state)
    }
}
