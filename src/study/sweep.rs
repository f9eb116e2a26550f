//! Solves the points of a grid in parallel, the same bits on any number of threads.
//!
//! A point that starts from its neighbours' final states converges sooner than a cold one, but its last bits then
//! depend on them. So the grid alone fixes every point's parents, in a table written before the run ([`chains`]):
//! one chain per speed, from the largest throttle downwards; a point's parents are the [`MOST_PARENTS`] before it.
//! A parent that did not converge, or left no state, means a cold start, and no later point looks back beyond it.
//!
//! Not here: what a point is. The driver takes the point function as an argument ([`PointSolver`]).

use std::num::NonZeroUsize;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use super::map::Grid;
use super::point::PointResult;
use super::resume;
use crate::rig::warm_start::MOST_PARENTS;

/// What solves one operating point.
pub trait PointSolver: Sync {
    /// Final state of a point, from which a neighbour may start.
    type State: Send;

    /// Solves the point at `throttle` [lift over bore] and `rpm`, from the states of `parents`, the nearest first, or
    /// cold when there are none. Must depend on its arguments alone.
    fn solve(&self, throttle: f64, rpm: f64, parents: &[Self::State]) -> (PointResult, Option<Self::State>);
}

/// Points of one speed in the order of solving; each starts from those before it.
#[derive(Debug, Clone, PartialEq)]
pub struct Chain {
    /// Speed [rpm].
    pub rpm: f64,
    /// Places in the grid's order of points (for each throttle, each speed).
    pub points: Vec<usize>,
}

/// Relative cost of a point at `rpm` [-]: the time steps of a cycle go as its duration.
#[must_use]
pub fn cost(rpm: f64) -> f64 {
    1.0 / rpm
}

/// The table of parents: one chain per speed, from the largest throttle downwards; longest expected chain first.
#[must_use]
pub fn chains(grid: &Grid) -> Vec<Chain> {
    let mut down: Vec<usize> = (0..grid.throttles.len()).collect();
    down.sort_by(|&a, &b| grid.throttles[b].total_cmp(&grid.throttles[a]));
    let width = grid.speeds.len();
    let chain = |(j, &rpm): (usize, &f64)| Chain { rpm, points: down.iter().map(|i| i * width + j).collect() };
    let mut all: Vec<Chain> = grid.speeds.iter().enumerate().map(chain).collect();
    all.sort_by(|a, b| cost(b.rpm).total_cmp(&cost(a.rpm)));
    all
}

/// Solves every point of `grid` on `threads` threads and hands each finished one to `take` with its place in the grid,
/// in the order of finishing, from any thread; nothing is kept here. When `stop` becomes true no further point is begun.
///
/// A point function that panics gives a failed point, and the next of its chain starts cold.
pub fn each<S: PointSolver>(
    solver: &S,
    grid: &Grid,
    threads: NonZeroUsize,
    stop: &AtomicBool,
    take: &(dyn Fn(usize, PointResult) + Sync),
) {
    each_but(solver, grid, threads, stop, &[], take);
}

/// As [`each`], but for the points that are `known` by their place from an earlier run of the same grid. No state of
/// theirs is kept, so a chain known in part is solved again from its last cold start on ([`resume::goes_on_at`]).
pub fn each_but<S: PointSolver>(
    solver: &S,
    grid: &Grid,
    threads: NonZeroUsize,
    stop: &AtomicBool,
    known: &[Option<PointResult>],
    take: &(dyn Fn(usize, PointResult) + Sync),
) {
    let table = chains(grid);
    let next = AtomicUsize::new(0);
    let work = || {
        while let Some(chain) = table.get(next.fetch_add(1, Ordering::Relaxed)) {
            let from = resume::goes_on_at(chain, known);
            follow(solver, grid, (chain.rpm, &chain.points[from..]), stop, take);
        }
    };
    std::thread::scope(|scope| {
        let workers: Vec<_> = (0..threads.get().min(table.len())).map(|_| scope.spawn(work)).collect();
        workers.into_iter().for_each(|worker| worker.join().unwrap_or_else(|panic| resume_unwind(panic)));
    });
}

/// As [`each`], and keeps the points: `on_point` hears of each, and the points reached come back in the grid's order (for
/// each throttle, each speed), with whether any was left out.
pub fn run<S: PointSolver>(
    solver: &S,
    grid: &Grid,
    threads: NonZeroUsize,
    stop: &AtomicBool,
    on_point: &(dyn Fn(usize, &PointResult) + Sync),
) -> (Vec<PointResult>, bool) {
    let solved = Mutex::new(Vec::new());
    each(solver, grid, threads, stop, &|place, point| {
        on_point(place, &point);
        solved.lock().unwrap_or_else(PoisonError::into_inner).push((place, point));
    });
    let mut solved = solved.into_inner().unwrap_or_else(PoisonError::into_inner);
    solved.sort_by_key(|&(place, _)| place);
    let interrupted = solved.len() < grid.throttles.len() * grid.speeds.len();
    (solved.into_iter().map(|(_, point)| point).collect(), interrupted)
}

/// Solves one chain from its first point on; keeps the states of the parents alone. A number that is not finite
/// fails its point ([`PointResult::sound`]).
fn follow<S: PointSolver>(
    solver: &S,
    grid: &Grid,
    (rpm, points): (f64, &[usize]),
    stop: &AtomicBool,
    take: &dyn Fn(usize, PointResult),
) {
    let mut parents: Vec<S::State> = Vec::with_capacity(MOST_PARENTS);
    for &index in points {
        if stop.load(Ordering::Relaxed) {
            return;
        }
        let throttle = grid.throttles[index / grid.speeds.len()];
        let attempt = catch_unwind(AssertUnwindSafe(|| solver.solve(throttle, rpm, &parents)));
        let (point, state) = attempt.unwrap_or_else(|panic| {
            let note = format!("a bug in bellmouth: {}", panic_text(panic.as_ref()));
            (PointResult::failed(throttle, rpm, 0, note), None)
        });
        let point = point.sound();
        match state.filter(|_| point.converged) {
            Some(state) => {
                parents.truncate(MOST_PARENTS - 1);
                parents.insert(0, state);
            }
            None => parents.clear(),
        }
        take(index, point);
    }
}

/// The text a panic carries.
pub(super) fn panic_text(panic: &(dyn std::any::Any + Send)) -> &str {
    let text = panic.downcast_ref::<&str>().copied();
    text.or_else(|| panic.downcast_ref::<String>().map(String::as_str)).unwrap_or("a panic without a text")
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::float_cmp)]
mod tests {
    use super::*;
    use crate::study::point::Status;

    /// A point function whose result depends on the whole chain above it, so that a wrong parent shows.
    #[derive(Default)]
    struct Cheap {
        /// Point that panics, as throttle and speed.
        panics_at: Option<(f64, f64)>,
        /// Point that does not converge.
        unconverged_at: Option<(f64, f64)>,
        /// States alive, and the most that ever were.
        alive: Mutex<(usize, usize)>,
    }

    struct State<'a> {
        value: f64,
        owner: &'a Cheap,
    }

    impl Drop for State<'_> {
        fn drop(&mut self) {
            self.owner.alive.lock().unwrap().0 -= 1;
        }
    }

    impl<'a> PointSolver for &'a Cheap {
        type State = State<'a>;

        fn solve(&self, throttle: f64, rpm: f64, parents: &[State<'a>]) -> (PointResult, Option<State<'a>>) {
            assert!(self.panics_at != Some((throttle, rpm)), "broken invariant at {throttle}");
            // every parent counts, and its place
            let value = parents.iter().rev().fold(rpm, |value, above| libm::sin(above.value + 0.1 * value) + throttle);
            let converged = self.unconverged_at != Some((throttle, rpm));
            let status = if converged { Status::Converged } else { Status::CycleLimit };
            let afr = Some(value);
            let point = PointResult {
                afr,
                converged,
                status,
                note: None,
                ..PointResult::failed(throttle, rpm, 7, String::new())
            };
            let mut alive = self.alive.lock().unwrap();
            alive.0 += 1;
            alive.1 = alive.1.max(alive.0);
            (point, Some(State { value, owner: self }))
        }
    }

    fn grid() -> Grid {
        Grid { throttles: vec![0.125, 0.25, 0.5, 1.0], speeds: vec![1500.0, 2500.0, 4000.0, 6000.0, 7000.0] }
    }

    fn solve(solver: &Cheap, threads: usize) -> Vec<PointResult> {
        let threads = NonZeroUsize::new(threads).unwrap();
        let (points, interrupted) = run(&solver, &grid(), threads, &AtomicBool::new(false), &|_, _| ());
        assert!(!interrupted);
        points
    }

    fn places(points: &[PointResult]) -> Vec<(f64, f64)> {
        points.iter().map(|p| (p.throttle, p.rpm)).collect()
    }

    #[test]
    fn results_come_in_the_order_of_the_grid() {
        let wanted: Vec<_> =
            grid().throttles.iter().flat_map(|&t| grid().speeds.into_iter().map(move |n| (t, n))).collect();
        assert_eq!(places(&solve(&Cheap::default(), 3)), wanted);
    }

    #[test]
    fn one_two_and_seven_threads_give_the_same_bits() {
        let one = solve(&Cheap::default(), 1);
        for threads in [2, 7] {
            let many = solve(&Cheap::default(), threads);
            assert_eq!(
                one.iter().map(|p| p.afr.map(f64::to_bits)).collect::<Vec<_>>(),
                many.iter().map(|p| p.afr.map(f64::to_bits)).collect::<Vec<_>>()
            );
        }
    }

    #[test]
    fn chains_run_from_full_throttle_down_and_the_slowest_speed_is_handed_out_first() {
        let grid = Grid { throttles: vec![0.5, 1.0], speeds: vec![6000.0, 2000.0] };
        let wanted = [Chain { rpm: 2000.0, points: vec![3, 1] }, Chain { rpm: 6000.0, points: vec![2, 0] }];
        assert_eq!(chains(&grid), wanted);
    }

    #[test]
    fn each_point_starts_from_its_neighbours_of_larger_throttle() {
        let points = solve(&Cheap::default(), 2);
        let at =
            |throttle: f64| points.iter().find(|p| p.throttle == throttle && p.rpm == 4000.0).unwrap().afr.unwrap();
        assert_eq!(at(1.0), 4000.0);
        let from = |above: f64, value: f64, throttle: f64| libm::sin(above + 0.1 * value) + throttle;
        assert_eq!(at(0.5), from(at(1.0), 4000.0, 0.5));
        assert_eq!(at(0.25), from(at(0.5), from(at(1.0), 4000.0, 0.25), 0.25));
        let third = from(at(0.5), from(at(1.0), 4000.0, 0.125), 0.125);
        assert_eq!(at(0.125), from(at(0.25), third, 0.125));
    }

    #[test]
    fn a_parent_that_did_not_converge_means_a_cold_start() {
        let solver = Cheap { unconverged_at: Some((0.5, 4000.0)), ..Cheap::default() };
        let points = solve(&solver, 2);
        let at =
            |throttle: f64| points.iter().find(|p| p.throttle == throttle && p.rpm == 4000.0).unwrap().afr.unwrap();
        assert_eq!(at(0.25), 4000.0);
        assert_eq!(at(0.125), libm::sin(at(0.25) + 400.0) + 0.125, "nor does the next look back beyond it");
    }

    #[test]
    fn a_panic_fails_its_point_and_the_map_goes_on_from_a_cold_start() {
        let solver = Cheap { panics_at: Some((0.5, 2500.0)), ..Cheap::default() };
        let points = solve(&solver, 2);
        let failed: Vec<_> = points.iter().filter(|p| !p.converged).collect();
        assert_eq!(failed.len(), 1);
        assert_eq!((failed[0].status, failed[0].afr), (Status::Failed, None));
        assert_eq!(failed[0].note.as_deref(), Some("a bug in bellmouth: broken invariant at 0.5"));
        assert_eq!(points.iter().find(|p| p.throttle == 0.25 && p.rpm == 2500.0).unwrap().afr, Some(2500.0));
    }

    #[test]
    fn after_a_stop_no_point_is_begun_and_the_finished_ones_stay() {
        let (stop, heard) = (AtomicBool::new(false), AtomicUsize::new(0));
        let on_point =
            |_, _: &PointResult| stop.store(heard.fetch_add(1, Ordering::Relaxed) + 1 >= 6, Ordering::Relaxed);
        let (points, interrupted) = run(&&Cheap::default(), &grid(), NonZeroUsize::MIN, &stop, &on_point);
        assert!(interrupted);
        let wanted = [(0.125, 1500.0), (0.25, 1500.0), (0.5, 1500.0), (0.5, 2500.0), (1.0, 1500.0), (1.0, 2500.0)];
        assert_eq!(places(&points), wanted);
    }

    #[test]
    fn every_point_is_reported_once_with_its_place() {
        let heard = Mutex::new(Vec::new());
        let on_point = |index: usize, point: &PointResult| heard.lock().unwrap().push((index, point.clone()));
        let threads = NonZeroUsize::new(3).unwrap();
        let (points, _) = run(&&Cheap::default(), &grid(), threads, &AtomicBool::new(false), &on_point);
        let mut heard = heard.into_inner().unwrap();
        heard.sort_by_key(|&(index, _)| index);
        assert_eq!(heard, points.into_iter().enumerate().collect::<Vec<_>>());
    }

    #[test]
    fn each_thread_keeps_the_states_of_three_points_beside_the_one_it_is_solving() {
        let solver = Cheap::default();
        solve(&solver, 3);
        let (left, most) = *solver.alive.lock().unwrap();
        assert_eq!(left, 0);
        assert!(most <= 4 * 3, "{most} states were alive at once");
    }
}
