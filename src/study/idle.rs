//! The throttle at which the engine idles: brake torque zero at a given speed. With a vacuum piston that is its butterfly's.

use thiserror::Error;

use super::point::{self, PointResult};
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;

/// Smallest and largest throttle searched [-].
const RANGE: (f64, f64) = (0.004, 0.25);
/// Factor between two throttles of the first search, upwards from the smallest [-].
const STRIDE: f64 = 1.3;
/// Width of the bracket at which the search ends, over the throttle [-].
const WIDTH: f64 = 2e-3;
/// Largest brake torque that still counts as none [N m].
const LARGEST_TORQUE: f64 = 0.5;
/// Most points of the second search.
const MOST_STEPS: u32 = 24;

/// Why no idle was found.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum IdleError {
    /// The engine pulls with the throttle as good as shut.
    #[error(
        "the engine pulls {torque_nm:.1} N m even at {percent:.1} % throttle; less leak past the shut throttle (`leak`) or more friction \
         would let it slow down"
    )]
    Races {
        /// Torque at the smallest throttle [N m].
        torque_nm: f64,
        /// That throttle [%].
        percent: f64,
    },
    /// The engine cannot carry itself at any throttle searched.
    #[error(
        "brake torque stays below zero up to {percent:.0} % throttle; it comes nearest with {torque_nm:.1} N m at {best_percent:.1} % \
         throttle, lambda {lambda}; look at the pilot jet, the mixture screw and the needle's straight part"
    )]
    Stalls {
        /// Largest throttle searched [%].
        percent: f64,
        /// Highest torque met [N m].
        torque_nm: f64,
        /// Where [%].
        best_percent: f64,
        /// Lambda there.
        lambda: String,
    },
    /// The engine does not run at the throttle where torque changes sign: it jumps there.
    #[error(
        "torque jumps from {low_nm:.1} to {high_nm:.1} N m at {percent:.1} % throttle: on one side the charge does not burn steadily \
         (lambda {lambda}); look at the pilot jet, the mixture screw and the needle's straight part"
    )]
    Jumps {
        /// Torque below [N m].
        low_nm: f64,
        /// Torque above [N m].
        high_nm: f64,
        /// Where [%].
        percent: f64,
        /// Lambda below the jump.
        lambda: String,
    },
    /// Points failed.
    #[error("{0}")]
    Failed(String),
}

/// Throttle at which brake torque is zero at `rpm`: upwards from the shut throttle in steps to the first change of
/// sign, then bisection sharpened by the chord.
///
/// # Errors
/// No change of sign, or a point that failed.
pub fn find(machine: &Machine, rpm: f64, settings: &Settings) -> Result<f64, IdleError> {
    // Each point starts from the one before, if that was periodic.
    let mut parent = None;
    let mut torque = |throttle: f64| -> Result<(f64, PointResult), IdleError> {
        let (result, state) = point::solve(machine, throttle, rpm, parent.as_ref(), settings);
        parent = state;
        match result.torque_nm {
            Some(torque) => Ok((torque, result)),
            None => Err(IdleError::Failed(result.note.unwrap_or_else(|| "a point without torque".into()))),
        }
    };
    let (mut low, mut f_low) = (RANGE.0, torque(RANGE.0)?.0);
    if f_low >= 0.0 {
        return Err(IdleError::Races { torque_nm: f_low, percent: 100.0 * low });
    }
    let mut best = (f64::NEG_INFINITY, low, None);
    let mut high = low;
    let f_high = loop {
        high *= STRIDE;
        if high > RANGE.1 {
            let lambda = best.2.map_or_else(|| "unknown".to_owned(), |l: f64| format!("{l:.2}"));
            return Err(IdleError::Stalls {
                percent: 100.0 * RANGE.1,
                torque_nm: best.0,
                best_percent: 100.0 * best.1,
                lambda,
            });
        }
        let (f, result) = torque(high)?;
        if f > best.0 {
            best = (f, high, result.lambda);
        }
        if f >= 0.0 {
            break f;
        }
        (low, f_low) = (high, f);
    };
    let mut f_high = f_high;
    for k in 0..MOST_STEPS {
        if high - low <= WIDTH * high {
            break;
        }
        // Every third step halves, so that a bent curve cannot stall the chord.
        let chord = low - f_low * (high - low) / (f_high - f_low);
        let next = if k % 3 == 2 { 0.5 * (low + high) } else { chord };
        let (f, _) = torque(next)?;
        if f >= 0.0 { (high, f_high) = (next, f) } else { (low, f_low) = (next, f) }
    }
    let (throttle, best) = if f_high.abs() < f_low.abs() { (high, f_high) } else { (low, f_low) };
    let (_, result) = torque(throttle)?;
    if !result.fired || best.abs() > LARGEST_TORQUE {
        let lambda = result.lambda.map_or_else(|| "unknown".to_owned(), |l| format!("{l:.2}"));
        return Err(IdleError::Jumps { low_nm: f_low, high_nm: f_high, percent: 100.0 * throttle, lambda });
    }
    Ok(throttle)
}
