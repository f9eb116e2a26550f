//! The bracketed Newton solve of a face.

use super::downstream::{Downstream, Residual};
use super::upstream::{Passage, Upstream};

/// Step that no longer matters, over the unknown [-]: about the square of Newton's step before it, or the product of the two before it.
const ENOUGH: f64 = 1e-11;
/// Residual below which round-off rules, over the upstream pressure [-].
const ROUND_OFF: f64 = 1e-14;
/// Largest number of residuals evaluated in one solve.
const MOST_EVALUATIONS: u32 = 80;
/// Evaluations after which the bracket is halved instead; a bracket of doubles is spent after 60.
const PATIENCE: u32 = 14;
/// Smallest unknown that a solve from a guess may find [-]: below, the direction is not sure.
pub(super) const SLOWEST: f64 = 1e-6;

/// A solution.
pub(super) struct Solved {
    pub passage: Passage,
    pub choked: bool,
    pub evaluations: u32,
    pub clipped: bool,
}

/// Solves in closed form, or from the guess `v` with one step of Newton and one along the same slope where that is enough, else by
/// [`search`]. The direction is that of the guess; a root above 0 proves it, since the residual at 0 is then positive. Without a root
/// there the answer is the number of evaluations.
#[inline]
pub(super) fn follow(up: &Upstream, down: &Downstream, v: f64) -> Result<Solved, u32> {
    if let Some(v) = closed_form(up, down) {
        return if v > SLOWEST { Ok(known(up, v)) } else { Err(1) };
    }
    let passage = up.passage(v);
    if !passage.subsonic() {
        return search(up, down, v, false, 0);
    }
    let Residual { f, slope, room } = down.residual(up, &passage);
    let step = -f / slope;
    let next = v + v * step;
    if next <= SLOWEST {
        return Err(1);
    }
    let passage = up.passage(next);
    let enough = ENOUGH * room * room;
    if step * step < enough {
        return Ok(Solved { passage, choked: false, evaluations: 1, clipped: false });
    }
    if !passage.subsonic() {
        return search(up, down, next, false, 1);
    }
    let chord = -down.miss(up, &passage) / slope;
    let last = next + next * chord;
    if (step * chord).abs() < enough {
        return Ok(Solved { passage: up.passage(last), choked: false, evaluations: 2, clipped: false });
    }
    search(up, down, last, false, 2)
}

/// Solves where the pressures at rest, which differ by `difference` [Pa], prove the direction.
pub(super) fn from_rest(up: &Upstream, down: &Downstream, difference: f64) -> Result<Solved, u32> {
    match closed_form(up, down) {
        Some(v) => Ok(known(up, v)),
        None => search(up, down, up.first(difference, down.wave(up)), true, 0),
    }
}

/// Finds the root of the residual, which falls with the unknown; a throat at which it is not negative when choked is choked.
/// Starts from `v` after `spent` evaluations; in a direction that is not `proven`, without a root above 0, the answer is the number of
/// evaluations.
#[inline(never)]
fn search(up: &Upstream, down: &Downstream, v: f64, proven: bool, spent: u32) -> Result<Solved, u32> {
    let top = up.most();
    let (mut low, mut high) = (0.0, top);
    let mut choke = f64::INFINITY;
    let mut v = v.min(top);
    let mut evaluations = spent;
    loop {
        let mut passage = up.passage(v);
        if choke.is_infinite() && (v >= top || !passage.subsonic()) {
            choke = up.choke();
            (v, high) = (choke, choke);
            passage = up.passage(v);
        }
        let Residual { f, slope, room } = down.residual(up, &passage);
        evaluations += 1;
        let choked = f >= 0.0 && v >= choke;
        let clipped = evaluations >= MOST_EVALUATIONS;
        if choked || clipped || f.abs() <= ROUND_OFF * up.p || high - low <= f64::EPSILON * high {
            return Ok(Solved { passage, choked, evaluations, clipped });
        }
        if f > 0.0 {
            low = v
        } else {
            high = v
        }
        let step = -f / slope;
        let next = v + v * step;
        let inside = next > low && next < high && (proven || next > SLOWEST);
        if inside && step * step < ENOUGH * room * room {
            return Ok(Solved { passage: up.passage(next), choked, evaluations, clipped });
        }
        v = if inside && evaluations < PATIENCE {
            next
        } else if !proven && low <= 0.0 {
            return Err(evaluations);
        } else if next >= top && high >= top {
            top
        } else {
            0.5 * (low + high)
        };
    }
}

/// The unknown in closed form: into a vessel, whose pressure is the throat's, from another or from a duct as wide as the throat.
#[inline]
fn closed_form(up: &Upstream, down: &Downstream) -> Option<f64> {
    match down {
        Downstream::Vessel(still) => up.at_throat(still.p),
        Downstream::Duct(_) => None,
    }
}

/// The flow at the unknown in closed form, choked where that lies beyond.
#[inline]
fn known(up: &Upstream, v: f64) -> Solved {
    let most = up.most();
    let choked = v >= most;
    Solved { passage: up.passage(if choked { most } else { v }), choked, evaluations: 1, clipped: false }
}
