//! The throttle at which the running engine gives a wanted torque.

use super::point::{self, PointResult, RigState};
use super::road_error::RoadError;
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;

/// Smallest throttle searched [-].
const LEAST: f64 = 0.004;
/// Factor between throttles while a change of sign is looked for downwards from full throttle without a guess [-].
const STRIDE: f64 = 2.0;
/// The same around a guess.
const NEAR_STRIDE: f64 = 1.2;
/// Throttles below the full one that are tried when that is too weak: a lean or rich full throttle may pull less [-].
const BELOW_FULL: [f64; 2] = [0.7, 0.45];
/// Relative width of the bracket at which the torque is taken to jump [-].
const WIDTH: f64 = 1e-4;
/// Most runs of one search.
const MOST_RUNS: u32 = 40;

/// What is wanted, and where to begin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Start {
    /// Crank speed [rpm].
    pub rpm: f64,
    /// Torque wanted [N m].
    pub wanted: f64,
    /// Largest departure from it [N m].
    pub tolerance: f64,
    /// First guess of the throttle [-]; none begins at full throttle.
    pub guess: Option<f64>,
}

/// A throttle found.
pub struct Found {
    /// The operating point.
    pub point: PointResult,
    /// State of the engine there, if it is periodic.
    pub state: Option<RigState>,
    /// Runs it took.
    pub runs: u32,
}

/// How a search ended.
pub enum Search {
    /// With the throttle.
    Found(Box<Found>),
    /// No throttle gives as much; the most it gave [N m].
    TooWeak {
        /// That torque [N m].
        has_nm: f64,
    },
}

/// How the look for a bracket ended.
enum Bracket {
    Between(End, End),
    Met,
    TooWeak(f64),
}

/// One end of the bracket: throttle, torque above the wanted one, lambda.
#[derive(Debug, Clone, Copy)]
struct End {
    throttle: f64,
    off: f64,
    lambda: Option<f64>,
}

/// Runs the engine, each time from the state before.
struct Runs<'a> {
    machine: &'a Machine,
    settings: &'a Settings,
    start: &'a Start,
    parent: Option<RigState>,
    count: u32,
    found: Option<PointResult>,
}

impl Runs<'_> {
    /// Torque above the wanted one at `throttle`; keeps the point if that is within the tolerance.
    fn run(&mut self, throttle: f64) -> Result<End, RoadError> {
        let (point, state) = point::solve(self.machine, throttle, self.start.rpm, self.parent.as_ref(), self.settings);
        self.parent = state;
        self.count += 1;
        let Some(torque) = point.torque_nm else {
            return Err(RoadError::Failed(point.note.unwrap_or_else(|| "a point without torque".into())));
        };
        let off = torque - self.start.wanted;
        let end = End { throttle, off, lambda: point.lambda };
        if off.abs() <= self.start.tolerance {
            self.found = Some(point);
        }
        Ok(end)
    }

    /// A bracket of the wanted torque; none if a run met it.
    fn bracket(&mut self) -> Result<Bracket, RoadError> {
        let stride = if self.start.guess.is_some() { NEAR_STRIDE } else { STRIDE };
        let mut end = self.run(self.start.guess.map_or(1.0, |g| g.clamp(LEAST, 1.0)))?;
        let mut best = end;
        while self.found.is_none() && end.off < 0.0 && end.throttle < 1.0 {
            let next = self.run((end.throttle * stride).min(1.0))?;
            if next.off >= 0.0 {
                return Ok(Bracket::Between(end, next));
            }
            end = next;
            if end.off > best.off {
                best = end;
            }
        }
        if self.found.is_none() && end.off < 0.0 {
            // at full throttle and too weak
            for throttle in BELOW_FULL {
                end = self.run(throttle)?;
                if end.off > best.off {
                    best = end;
                }
                if end.off >= 0.0 || self.found.is_some() {
                    break;
                }
            }
            if self.found.is_none() && best.off < 0.0 {
                return Ok(Bracket::TooWeak(self.start.wanted + best.off));
            }
        }
        while self.found.is_none() {
            if end.throttle <= LEAST {
                let has = end.off + self.start.wanted;
                return Err(RoadError::Coasts { wanted_nm: self.start.wanted, has_nm: has });
            }
            let next = self.run((end.throttle / stride).max(LEAST))?;
            if next.off < 0.0 {
                return Ok(Bracket::Between(next, end));
            }
            end = next;
        }
        Ok(Bracket::Met)
    }
}

/// Torque at full throttle [N m], or the most at the throttles below it where that is less than `wanted` [N m].
///
/// # Errors
/// A point failed.
pub fn has(machine: &Machine, rpm: f64, wanted: f64, settings: &Settings) -> Result<f64, RoadError> {
    let start = Start { rpm, wanted, tolerance: 0.0, guess: None };
    let mut runs = Runs { machine, settings, start: &start, parent: None, count: 0, found: None };
    let mut best = f64::NEG_INFINITY;
    for throttle in std::iter::once(1.0).chain(BELOW_FULL) {
        best = best.max(runs.run(throttle)?.off + wanted);
        if best >= wanted {
            break;
        }
    }
    Ok(best)
}

/// The throttle that gives the wanted torque.
///
/// # Errors
/// The torque jumps past the wanted one or stays above it, or points failed.
pub fn throttle(machine: &Machine, start: &Start, settings: &Settings) -> Result<Search, RoadError> {
    let mut runs = Runs { machine, settings, start, parent: None, count: 0, found: None };
    let bracket = runs.bracket()?;
    if let Bracket::TooWeak(has_nm) = bracket {
        return Ok(Search::TooWeak { has_nm });
    }
    if let Bracket::Between(mut low, mut high) = bracket {
        let mut step = 0;
        while runs.found.is_none() {
            if high.throttle - low.throttle <= WIDTH * high.throttle || runs.count >= MOST_RUNS {
                let lambda = low.lambda.map_or_else(|| "unknown".to_owned(), |l| format!("{l:.2}"));
                return Err(RoadError::Jumps {
                    low_nm: start.wanted + low.off,
                    high_nm: start.wanted + high.off,
                    wanted_nm: start.wanted,
                    percent: 100.0 * high.throttle,
                    lambda,
                });
            }
            // Torque goes about as the logarithm of a small throttle; every third step halves, so that a bent curve
            // cannot stall the chord.
            let chord = if step % 3 == 2 { 0.5 } else { -low.off / (high.off - low.off) };
            let ratio = libm::log(high.throttle / low.throttle);
            let next = runs.run(low.throttle * libm::exp(ratio * chord))?;
            if next.off >= 0.0 {
                high = next
            } else {
                low = next
            }
            step += 1;
        }
    }
    let point = runs.found.ok_or_else(|| RoadError::Failed("the search ended without a point".into()))?;
    Ok(Search::Found(Box::new(Found { point, state: runs.parent, runs: runs.count })))
}
