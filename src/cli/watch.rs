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

/// Solves the points of `grid`; each one that finishes goes into `journal`.
///
/// # Errors
/// [`Failure::Write`] when the journal cannot be kept; the sweep is then stopped.
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
    std::thread::spawn(move || {
        // A send fails only when the watcher has left after an interruption; the point is then not wanted.
        sweep::each(&solver, &worker_grid, threads, &worker_stop, &|place, point| drop(sender.send((place, point))));
    });
    let mut progress = Progress::start(grid);
    let kept = collect(&receiver, stop, |place, point| {
        progress.advance(point.rpm);
        journal.add(place, point)
    });
    let took = progress.finish();
    let mut kept = kept.inspect_err(|_| stop.store(true, Ordering::Relaxed))?;
    kept.sort_by_key(|&(place, _)| place);
    let interrupted = kept.len() < asked;
    if interrupted {
        say(format_args!("stopping, {} of {} kept", kept.len(), counted(asked, "point")));
    }
    Ok(Reached { points: kept.into_iter().map(|(_, point)| point).collect(), interrupted, took })
}

/// Takes points until the sweep is over or `stop` is set; then what has already arrived.
fn collect(
    receiver: &Receiver<(usize, PointResult)>,
    stop: &AtomicBool,
    mut keep: impl FnMut(usize, &PointResult) -> Result<(), Failure>,
) -> Result<Vec<(usize, PointResult)>, Failure> {
    let mut kept = Vec::new();
    while !stop.load(Ordering::Relaxed) {
        match receiver.recv_timeout(LOOK_EVERY) {
            Ok((place, point)) => {
                keep(place, &point)?;
                kept.push((place, point));
            }
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return Ok(kept),
        }
    }
    for (place, point) in receiver.try_iter() {
        keep(place, &point)?;
        kept.push((place, point));
    }
    Ok(kept)
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::time::Instant;

    use super::*;
    use crate::cli::journal::FILE_NAME;

    /// Solves three points at once and sets `stop`; the fourth would take for ever.
    struct EndlessFourth {
        stop: Arc<AtomicBool>,
    }

    impl PointSolver for EndlessFourth {
        type State = ();

        fn solve(&self, throttle: f64, rpm: f64, _parent: Option<&()>) -> (PointResult, Option<()>) {
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
        Journal::begin(folder, &serde_json::Value::Null, &grid()).unwrap()
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

        fn solve(&self, throttle: f64, rpm: f64, _parent: Option<&()>) -> (PointResult, Option<()>) {
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
}
