//! Ordinary differential equations that run by themselves: a guard around an adaptive Runge-Kutta solver.

use std::cell::Cell;

use nalgebra::SVector;
use ode_solvers::dop_shared::{IntegrationError, OutputType, System};
use ode_solvers::dopri5::Dopri5;
use thiserror::Error;

/// Tolerances and bounds of an integration.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Accuracy {
    /// Relative tolerance per step [-].
    pub relative: f64,
    /// Absolute tolerance per step [unit of the state].
    pub absolute: f64,
    /// Longest step [unit of time]; 0 for no bound. Needed where the driving term has short features.
    pub longest_step: f64,
    /// Bound on the number of steps.
    pub steps: u32,
}

impl Default for Accuracy {
    fn default() -> Self {
        Self { relative: 1.0e-9, absolute: 1.0e-12, longest_step: 0.0, steps: 200_000 }
    }
}

/// What an integration gives: every accepted step.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution<const N: usize> {
    /// Times of the accepted steps, the first the initial one.
    pub t: Vec<f64>,
    /// States at these times.
    pub y: Vec<SVector<f64, N>>,
    /// Evaluations of the right-hand side.
    pub evaluations: u32,
    /// Why it ended.
    pub status: Status,
}

impl<const N: usize> Solution<N> {
    /// Last time and state.
    #[must_use]
    pub fn last(&self) -> Option<(f64, SVector<f64, N>)> {
        self.t.last().copied().zip(self.y.last().copied())
    }
}

/// How an integration ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Status {
    /// At the end time.
    Finished,
    /// At the first accepted step at which the caller's event held.
    Event,
}

/// Why an integration did not end well.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum OdeError {
    /// The right-hand side, or the state, is not finite.
    #[error("the right-hand side or the state is not finite at `{t}`")]
    NotFinite {
        /// Where.
        t: f64,
    },
    /// More steps than allowed.
    #[error("stopped at `{t}` after `{steps}` steps: allow more, or loosen the tolerance")]
    StepLimit {
        /// Where.
        t: f64,
        /// The bound.
        steps: u32,
    },
    /// The step became too small to move on.
    #[error("the step became too small at `{t}`: the right-hand side may jump there")]
    StepTooSmall {
        /// Where.
        t: f64,
    },
    /// The equations are too stiff for an explicit method.
    #[error("the equations become stiff at `{t}`: shorten the interval, or take a semi-implicit method")]
    Stiff {
        /// Where.
        t: f64,
    },
}

/// Step control: safety, damping, smallest and largest factor between two steps [-]. Source: defaults of Dormand and
/// Prince's method in Hairer, Norsett & Wanner, *Solving Ordinary Differential Equations I* (from memory).
const SAFETY: f64 = 0.9;
const BETA: f64 = 0.04;
const SHRINK: f64 = 0.2;
const GROWTH: f64 = 10.0;

/// Steps between two checks for stiffness. Source: default of the solver's authors.
const STIFFNESS_CHECK: u32 = 1_000;

struct Guarded<F, E> {
    rhs: F,
    event: E,
    broken: Cell<Option<f64>>,
    stopped: Cell<bool>,
}

impl<const N: usize, F, E> System<f64, SVector<f64, N>> for &Guarded<F, E>
where
    F: Fn(f64, &SVector<f64, N>) -> SVector<f64, N>,
    E: Fn(f64, &SVector<f64, N>) -> bool,
{
    fn system(&self, t: f64, y: &SVector<f64, N>, dy: &mut SVector<f64, N>) {
        // the right-hand side cannot return an error: after a break the state stands still, and solout stops the run
        if self.broken.get().is_some() {
            dy.fill(0.0);
            return;
        }
        let slope = (self.rhs)(t, y);
        if slope.iter().all(|v| v.is_finite()) {
            *dy = slope;
        } else {
            self.broken.set(Some(t));
            dy.fill(0.0);
        }
    }

    fn solout(&mut self, t: f64, y: &SVector<f64, N>, _dy: &SVector<f64, N>) -> bool {
        if self.broken.get().is_some() {
            return true;
        }
        let stop = (self.event)(t, y);
        if stop {
            self.stopped.set(true);
        }
        stop
    }
}

/// Integrates `dy/dt = rhs(t, y)` from `t0` to `t1 > t0`, or to the first accepted step at which `event` holds.
///
/// Dormand and Prince's method of order 5(4), step by step without interpolation. For smooth right-hand sides; where the
/// driving term jumps, integrate piece by piece. (The order-8 method of `ode_solvers` 0.6.2 falls to first order when the
/// right-hand side depends on time, and its error estimate does not see it: at a tolerance of 1e-6 the sine came out 4e-4
/// wrong. A test here watches that the method in use does not.)
///
/// # Errors
/// A slope or state that is not finite, too many steps, a vanishing step, stiffness.
pub fn integrate<const N: usize>(
    rhs: impl Fn(f64, &SVector<f64, N>) -> SVector<f64, N>,
    t0: f64,
    t1: f64,
    y0: SVector<f64, N>,
    accuracy: Accuracy,
    event: impl Fn(f64, &SVector<f64, N>) -> bool,
) -> Result<Solution<N>, OdeError> {
    if !(t0.is_finite() && t1.is_finite() && y0.iter().all(|v| v.is_finite())) {
        return Err(OdeError::NotFinite { t: t0 });
    }
    if t1 <= t0 {
        return Ok(Solution { t: vec![t0], y: vec![y0], evaluations: 0, status: Status::Finished });
    }
    let guarded = Guarded { rhs, event, broken: Cell::new(None), stopped: Cell::new(false) };
    let span = t1 - t0;
    let longest = if accuracy.longest_step > 0.0 { accuracy.longest_step.min(span) } else { span };
    let mut solver = Dopri5::from_param(
        &guarded,
        t0,
        t1,
        span,
        y0,
        accuracy.relative,
        accuracy.absolute,
        SAFETY,
        BETA,
        SHRINK,
        GROWTH,
        longest,
        0.0,
        accuracy.steps,
        STIFFNESS_CHECK,
        OutputType::Sparse,
    );
    let outcome = solver.integrate();
    if let Some(t) = guarded.broken.get() {
        return Err(OdeError::NotFinite { t });
    }
    let stats = outcome.map_err(|error| match error {
        IntegrationError::MaxNumStepReached { x, n_step } => OdeError::StepLimit { t: x, steps: n_step },
        IntegrationError::StepSizeUnderflow { x } => OdeError::StepTooSmall { t: x },
        IntegrationError::StiffnessDetected { x } => OdeError::Stiff { t: x },
    })?;
    let (t, y) = solver.results().get();
    if let Some((bad, _)) = t.iter().zip(y).find(|(_, y)| !y.iter().all(|v| v.is_finite())) {
        return Err(OdeError::NotFinite { t: *bad });
    }
    let status = if guarded.stopped.get() { Status::Event } else { Status::Finished };
    Ok(Solution { t: t.clone(), y: y.clone(), evaluations: stats.num_eval, status })
}
