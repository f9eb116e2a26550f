//! Runs a sweep in the background and watches it: keeps the journal, moves the bar, hears Ctrl-C.
//!
//! The points come back through a channel, so an interruption need not wait for the points in flight: what has
//! arrived is kept, and the rest ends with the program.

use std::num::NonZeroUsize;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{self, Receiver, RecvTimeoutError};
use std::time::Duration;

use super::console::say;
use super::counted::counted;
use super::ending::Failure;
use super::journal::Journal;
use super::progress::Progress;
use crate::study::map::Grid;
use crate::study::point::PointResult;
use crate::study::sweep::{self, PointSolver};

/// How often Ctrl-C is looked for.
const LOOK_EVERY: Duration = Duration::from_millis(50);

/// Points that were reached.
#[derive(Debug)]
pub struct Reached {
    /// In the grid's order.
    pub points: Vec<PointResult>,
    /// Whether some were left out.
    pub interrupted: bool,
    /// Time taken.
    pub took: Duration,
}

/// Solves the points of `grid` that `journal` does not know; each one that finishes goes into it.
///
/// # Errors
/// As [`Journal::add`]; the sweep is then stopped.
pub fn run<S: PointSolver + Send + 'static>(
    solver: S,
    grid: &Grid,
    threads: NonZeroUsize,
    stop: &Arc<AtomicBool>,
    journal: &mut Journal,
) -> Result<Reached, Failure> {
    let asked = grid.throttles.len() * grid.speeds.len();
    let (sender, receiver) = mpsc::channel();
    let (worker_grid, worker_stop) = (grid.clone(), Arc::clone(stop));
    let known = journal.known().to_vec();
    let before: Vec<(usize, PointResult)> =
        known.iter().enumerate().filter_map(|(place, point)| point.clone().map(|point| (place, point))).collect();
    std::thread::spawn(move || {
        // A send fails only when the watcher has left after an interruption; the point is then not wanted.
        let take = |place, point| drop(sender.send((place, point)));
        sweep::each_but(&solver, &worker_grid, threads, &worker_stop, &known, &take);
    });
    let mut progress = Progress::start(grid);
    before.iter().for_each(|(_, point)| progress.there_already(point.rpm));
    let kept = collect(&receiver, stop, before, |place, point| {
        let new = journal.known().get(place).is_none_or(Option::is_none);
        if new {
            progress.advance(point.rpm);
        }
        journal.add(place, point).map(|()| new)
    });
    let took = progress.finish();
    let mut kept = kept.inspect_err(|_| stop.store(true, Ordering::Relaxed))?;
    kept.sort_by_key(|&(place, _)| place);
    let interrupted = kept.len() < asked;
    if interrupted {
        journal.sync()?;
        say(format_args!("stopping, {} of {} kept; `--resume` goes on", kept.len(), counted(asked, "point")));
    }
    Ok(Reached { points: kept.into_iter().map(|(_, point)| point).collect(), interrupted, took })
}

/// Takes points until the sweep is over or `stop` is set; then what has already arrived. `keep` says which are new beside
/// those `kept` from before.
fn collect(
    receiver: &Receiver<(usize, PointResult)>,
    stop: &AtomicBool,
    mut kept: Vec<(usize, PointResult)>,
    mut keep: impl FnMut(usize, &PointResult) -> Result<bool, Failure>,
) -> Result<Vec<(usize, PointResult)>, Failure> {
    while !stop.load(Ordering::Relaxed) {
        match receiver.recv_timeout(LOOK_EVERY) {
            Ok((place, point)) => {
                if keep(place, &point)? {
                    kept.push((place, point));
                }
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return Ok(kept),
        }
    }
    for (place, point) in receiver.try_iter() {
        if keep(place, &point)? {
            kept.push((place, point));
        }
    }
    Ok(kept)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::time::Instant;

    use super::*;
    use crate::cli::journal::FILE_NAME;
    use crate::cli::whose::Whose;
    use crate::report::Sink;
    use crate::rig::settings::Settings;

    /// Solves three points at once and sets `stop`; the fourth would take for ever.
    struct EndlessFourth {
        stop: Arc<AtomicBool>,
    }

    impl PointSolver for EndlessFourth {
        type State = ();

        fn solve(&self, throttle: f64, rpm: f64, _parents: &[()]) -> (PointResult, Option<()>) {
            if throttle < 0.2 {
                self.stop.store(true, Ordering::Relaxed);
                std::thread::sleep(Duration::from_secs(30));
            }
            (PointResult::failed(throttle, rpm, 1, "cheap".to_owned()), None)
        }
    }

    fn grid() -> Grid {
        Grid { throttles: vec![0.1, 0.25, 0.5, 1.0], speeds: vec![3000.0] }
    }

    fn journal(folder: &std::path::Path) -> Journal {
        let whose = Whose::this(Settings::default(), &grid(), serde_json::Value::Null);
        Journal::begin(&Sink::open(folder).unwrap(), &whose, true).unwrap()
    }

    #[test]
    fn an_interruption_keeps_finished_points_and_does_not_wait_for_the_one_in_flight() {
        let folder = tempfile::tempdir().unwrap();
        let (stop, begun) = (Arc::new(AtomicBool::new(false)), Instant::now());
        let solver = EndlessFourth { stop: Arc::clone(&stop) };
        let reached = run(solver, &grid(), NonZeroUsize::MIN, &stop, &mut journal(folder.path())).unwrap();
        assert!(reached.interrupted);
        assert_eq!(reached.points.iter().map(|p| p.throttle).collect::<Vec<_>>(), [0.25, 0.5, 1.0]);
        assert!(begun.elapsed() < Duration::from_secs(5), "it waited for the point in flight");
        let lines = std::fs::read_to_string(folder.path().join(FILE_NAME)).unwrap().lines().count();
        assert_eq!(lines, 4, "a head line and the three points");
    }

    /// Solves every point at once.
    struct Quick;

    impl PointSolver for Quick {
        type State = ();

        fn solve(&self, throttle: f64, rpm: f64, _parents: &[()]) -> (PointResult, Option<()>) {
            (PointResult::failed(throttle, rpm, 1, "cheap".to_owned()), None)
        }
    }

    #[test]
    fn a_sweep_that_ends_by_itself_is_not_interrupted() {
        let folder = tempfile::tempdir().unwrap();
        let stop = Arc::new(AtomicBool::new(false));
        let reached = run(Quick, &grid(), NonZeroUsize::MIN, &stop, &mut journal(folder.path())).unwrap();
        assert!(!reached.interrupted);
        assert_eq!(reached.points.iter().map(|p| p.throttle).collect::<Vec<_>>(), grid().throttles);
    }

    /// Counts what it solves; its points depend on all of the chain above.
    struct Counting(Arc<std::sync::atomic::AtomicUsize>);

    impl PointSolver for Counting {
        type State = u32;

        fn solve(&self, throttle: f64, rpm: f64, parents: &[u32]) -> (PointResult, Option<u32>) {
            self.0.fetch_add(1, Ordering::Relaxed);
            let cycles = parents.first().map_or(1, |above| above * 3 + 1);
            let point = PointResult { converged: true, ..PointResult::failed(throttle, rpm, cycles, "cheap".into()) };
            (point, Some(cycles))
        }
    }

    #[test]
    fn a_run_that_goes_on_gives_what_an_undisturbed_one_gives() {
        let solved = Arc::new(std::sync::atomic::AtomicUsize::new(0));
        let go = |journal: &mut Journal| {
            let stop = Arc::new(AtomicBool::new(false));
            solved.store(0, Ordering::Relaxed);
            run(Counting(Arc::clone(&solved)), &grid(), NonZeroUsize::MIN, &stop, journal).unwrap()
        };
        let undisturbed = tempfile::tempdir().unwrap();
        let wanted = go(&mut journal(undisturbed.path())).points;
        assert_eq!(wanted.iter().map(|p| p.cycles).collect::<Vec<_>>(), [40, 13, 4, 1]);
        for (kept, solving) in [(0, 4), (1, 4), (2, 4), (3, 4), (4, 0)] {
            let folder = tempfile::tempdir().unwrap();
            let mut cut = journal(folder.path());
            for place in (0..4).rev().take(kept) {
                cut.add(place, &wanted[place]).unwrap();
            }
            drop(cut);
            let reached = go(&mut journal(folder.path()));
            assert_eq!((reached.points, reached.interrupted), (wanted.clone(), false), "{kept} were kept");
            assert_eq!(solved.load(Ordering::Relaxed), solving, "a chain known in part is solved from its head");
            let read = |folder: &std::path::Path| std::fs::read_to_string(folder.join(FILE_NAME)).unwrap();
            assert_eq!(read(folder.path()), read(undisturbed.path()), "the journals agree");
        }
    }
}
