//! `map --most-seconds`: a limit of time for each point, only on request, since such points depend on how busy the
//! computer is.

use std::collections::HashSet;
use std::time::{Duration, Instant};

use crate::study::machine_solver::MachineSolver;
use crate::study::point::{self, PointResult, RigState};
use crate::study::sweep::PointSolver;

/// Longest time that may be asked for [s]: a day.
const LONGEST: f64 = 86_400.0;

/// Solves the points of one machine, each within a time.
#[derive(Debug, Clone)]
pub struct TimeLimit {
    /// What solves them.
    pub solver: MachineSolver,
    /// The time for each; none by default.
    pub most: Option<Duration>,
    /// Points, as throttle and speed, that take the time they need: they are known, and solved again for their state.
    free: HashSet<(u64, u64)>,
}

impl TimeLimit {
    /// With a limit of `most` for all points but the `known`.
    #[must_use]
    pub fn new(solver: MachineSolver, most: Option<Duration>, known: &[Option<PointResult>]) -> Self {
        let free = known.iter().flatten().map(|point| (point.throttle.to_bits(), point.rpm.to_bits())).collect();
        Self { solver, most, free }
    }
}

impl PointSolver for TimeLimit {
    type State = RigState;

    fn solve(&self, throttle: f64, rpm: f64, parents: &[RigState]) -> (PointResult, Option<RigState>) {
        let begun = Instant::now();
        let most = self.most.filter(|_| !self.free.contains(&(throttle.to_bits(), rpm.to_bits())));
        let go_on = || most.is_none_or(|most| begun.elapsed() < most);
        point::solve_from(&self.solver.machine, throttle, rpm, parents, &self.solver.settings, &go_on)
    }
}

/// Reads a number of seconds.
///
/// # Errors
/// A sentence that says what to write.
pub fn seconds(text: &str) -> Result<Duration, String> {
    let read = text.trim().parse().ok().filter(|s: &f64| *s > 0.0 && *s <= LONGEST);
    let read = read.and_then(|s| Duration::try_from_secs_f64(s).ok());
    read.ok_or_else(|| format!("write seconds above 0, up to {LONGEST}, as `--most-seconds 10`"))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::rig::settings::Settings;
    use crate::setup::{load_text, template};
    use crate::study::point::Status;

    #[test]
    fn seconds_are_positive_and_finite() {
        assert_eq!(seconds(" 2.5 ").unwrap(), Duration::from_millis(2500));
        for text in ["0", "-1", "nan", "inf", "1e9", "soon", ""] {
            assert!(seconds(text).unwrap_err().contains("--most-seconds"), "{text}");
        }
    }

    #[test]
    fn a_point_that_takes_too_long_is_marked_and_lends_no_state() {
        let machine = load_text("template", template()).unwrap().value.machine;
        let settings = Settings { cell_size: 0.02, ..Settings::default() };
        let solver = MachineSolver { machine, settings };
        let hurried = TimeLimit::new(solver.clone(), Some(Duration::from_nanos(1)), &[]);
        let (point, state) = hurried.solve(1.0, 6000.0, &[]);
        assert_eq!(
            (point.status, point.converged, point.cycles, state.is_some()),
            (Status::TimeLimit, false, 1, false)
        );
        assert!(point.note.unwrap().contains("limit of time after 1 cycles"));
        let wanted = solver.solve(1.0, 6000.0, &[]).0;
        let known = [None, Some(wanted.clone())];
        for (most, known) in [(None, &known[..1]), (Some(Duration::from_nanos(1)), &known[..])] {
            let free = TimeLimit::new(solver.clone(), most, known).solve(1.0, 6000.0, &[]).0;
            assert_eq!(free, wanted, "without a limit, or known");
        }
    }
}
