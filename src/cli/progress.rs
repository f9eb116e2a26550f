//! How far a map has come: a bar on a terminal, two lines elsewhere.

use std::sync::{Mutex, PoisonError};
use std::time::{Duration, Instant};

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

use super::counted::counted;
use super::{clock, console};
use crate::study::map::Grid;
use crate::study::sweep::cost;

/// Steps of the bar; work is counted by cost, not by points.
const STEPS: f64 = 1000.0;
/// No time left is told before this much of the run: it would be a guess.
const SETTLING: Duration = Duration::from_secs(2);

/// Progress of one map.
#[derive(Debug)]
pub struct Progress {
    bar: ProgressBar,
    started: Instant,
    done: f64,
    /// What was done before the clock was started.
    before: f64,
    whole: f64,
    finished: usize,
    points: usize,
    noun: &'static str,
}

impl Progress {
    /// Starts the clock and draws an empty bar if stderr is a terminal.
    #[must_use]
    pub fn start(grid: &Grid) -> Self {
        let whole = grid.throttles.len() as f64 * grid.speeds.iter().map(|&rpm| cost(rpm)).sum::<f64>();
        Self::over(grid.throttles.len() * grid.speeds.len(), "point", whole)
    }

    /// The same for so many of the `noun`, of the cost `whole` in all.
    #[must_use]
    pub fn over(points: usize, noun: &'static str, whole: f64) -> Self {
        let target =
            if console::bar_is_welcome() { ProgressDrawTarget::stderr() } else { ProgressDrawTarget::hidden() };
        let bar = ProgressBar::with_draw_target(Some(STEPS as u64), target);
        if let Ok(style) = ProgressStyle::with_template("[{bar:30}] {msg}") {
            bar.set_style(style.progress_chars("#>-"));
        }
        let progress = Self { bar, started: Instant::now(), done: 0.0, before: 0.0, whole, finished: 0, points, noun };
        progress.draw();
        progress
    }

    /// Counts one finished point.
    pub fn advance(&mut self, rpm: f64) {
        self.done += cost(rpm);
        self.finished += 1;
        self.draw();
    }

    /// Counts one point that an earlier run finished.
    pub fn there_already(&mut self, rpm: f64) {
        self.before += cost(rpm);
        self.advance(rpm);
    }

    /// Takes the bar away; returns the time taken.
    #[must_use]
    pub fn finish(self) -> Duration {
        self.bar.finish_and_clear();
        self.started.elapsed()
    }

    fn draw(&self) {
        self.bar.set_position((STEPS * self.done / self.whole) as u64);
        self.bar.set_message(text(self.finished, counted(self.points, self.noun), self.time_left()));
    }

    fn time_left(&self) -> Option<Duration> {
        let elapsed = self.started.elapsed();
        let share = (self.done - self.before) / (self.whole - self.before);
        let left = elapsed.as_secs_f64() * (1.0 - share) / share;
        if elapsed < SETTLING { None } else { Duration::try_from_secs_f64(left).ok() }
    }
}

fn text(finished: usize, points: String, left: Option<Duration>) -> String {
    let left = left.map(|left| format!(", {} left", clock::rounded(left))).unwrap_or_default();
    format!("{finished} of {points}{left}")
}

/// Progress that any thread may tell.
#[derive(Debug)]
pub struct SharedProgress(Mutex<Progress>);

impl SharedProgress {
    /// As [`Progress::over`].
    #[must_use]
    pub fn over(points: usize, noun: &'static str, whole: f64) -> Self {
        Self(Mutex::new(Progress::over(points, noun, whole)))
    }

    /// As [`Progress::advance`].
    pub fn advance(&self, rpm: f64) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).advance(rpm);
    }

    /// As [`Progress::finish`].
    #[must_use]
    pub fn finish(self) -> Duration {
        self.0.into_inner().unwrap_or_else(PoisonError::into_inner).finish()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn work_is_counted_by_cost_so_a_slow_point_moves_the_bar_further() {
        let grid = Grid { throttles: vec![0.5, 1.0], speeds: vec![1500.0, 6000.0] };
        let mut progress = Progress::start(&grid);
        progress.advance(1500.0);
        assert!((progress.done / progress.whole - 0.4).abs() < 1e-12);
        progress.advance(6000.0);
        assert!((progress.done / progress.whole - 0.5).abs() < 1e-12);
    }

    #[test]
    fn time_left_is_told_only_when_known() {
        assert_eq!(text(3, counted(8, "point"), None), "3 of 8 points");
        assert_eq!(text(3, counted(8, "point"), Some(Duration::from_secs(61))), "3 of 8 points, about 1 min left");
    }
}
