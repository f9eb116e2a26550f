//! A restriction between two sides: slide, orifice, poppet valve, open end.
//!
//! Upstream is the side whose pressure at rest is higher. The gas runs isentropically from the upstream side to
//! the throat of effective area `A_t` (a vena contracta), then expands suddenly into the downstream duct, or leaves as
//! a jet into the downstream vessel.
//!
//! * upstream duct, with the wave that leaves it: `u + 2c/(g-1) = J` and constant entropy give the face's state from
//!   its Mach number alone, `c1 = J/(M1 + 2/(g-1))`;
//! * throat: Mach number `M_t` with `A_t D(M_t) = A_1 D(M_1)`;
//! * downstream duct: momentum `p_t A_2 + mdot u_t = p_2 A_2 + mdot u_2` (Borda-Carnot), total enthalpy, and
//!   the wave transmitted into the duct `p_2 = p_d [1 + (g_d-1)/2 (u_2-u_d)/c_d]^(2 g_d/(g_d-1))`;
//! * downstream vessel: `p_t = p_v`.
//!
//! The unknown (`face/upstream.rs`) is about the throat's Mach number, and all the flow up to the throat follows from it in closed form. The
//! residual (pressure delivered minus pressure wanted downstream) falls monotonically in it and is positive at 0 by the choice of
//! upstream; if it is still positive where the throat reaches the speed of sound, the throat is choked. Newton's steps are
//! bracketed and fall back to halving, so that the solve always ends.
//!
//! An open end with loss coefficient `zeta` is a throat of `A_t = A/(1 + sqrt(zeta))`: the sudden expansion behind it
//! loses `(A/A_t - 1)^2 = zeta` heads. For a plain pipe, `zeta` = 1, this is Borda's mouthpiece.

mod downstream;
mod solve;
mod trend;
mod upstream;

use self::downstream::Downstream;
use self::solve::{SLOWEST, Solved, follow, from_rest};
pub use self::trend::Trend;
use self::upstream::Upstream;
use super::trace::Side;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Largest share of a duct's area that a throat towards another duct may have [-]; nearer to 1 the sudden
/// expansion vanishes and the face is no restriction.
const LARGEST_THROAT: f64 = 0.999;
/// Difference of the pressures at rest below which nothing flows, over the pressure [-].
const EQUAL: f64 = 1e-14;
/// How far beyond the choke the solve starts behind a choked one, so that it looks there first [-].
const STILL_CHOKED: f64 = 1.1;

/// The gas on one side of the face, velocity towards the face on the upstream side and away from it downstream.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EndState {
    /// Density [kg/m3].
    pub rho: f64,
    /// Speed in the direction of the flow [m/s].
    pub u: f64,
    /// Pressure [Pa].
    pub p: f64,
}

impl EndState {
    /// Temperature [K] of the gas `y` in this state.
    #[must_use]
    pub fn temperature(&self, gas: &GasModel, y: Composition) -> f64 {
        self.p / (self.rho * gas.r(y.burnt, y.vapour))
    }
}

/// The solved face. Flow runs from the upstream to the downstream side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceFlow {
    /// Whether side `a` is upstream.
    pub from_a: bool,
    /// Mass flow, never negative [kg/s].
    pub mass_flow: f64,
    /// Upstream end.
    pub upstream: EndState,
    /// Downstream end (unused for a vessel).
    pub downstream: EndState,
    /// Total pressure upstream [Pa].
    pub p0: f64,
    /// Total density upstream [kg/m3].
    pub rho0: f64,
    /// Ratio of specific heats of the stream [-].
    pub gamma: f64,
    /// Pressure in the throat [Pa].
    pub throat_p: f64,
    /// Speed in the throat [m/s].
    pub throat_u: f64,
    /// Mach number in the throat, squared [-].
    pub throat_mach_squared: f64,
    /// The solve's unknown, squared, less than 0 when the flow runs from `b` to `a` [-]: what the next solve is started from.
    pub start: f64,
    /// Whether the throat is choked.
    pub choked: bool,
    /// Evaluations of the residual.
    pub evaluations: u32,
    /// Whether a bound was hit that the model does not cover (supersonic downstream, thermal choking).
    pub clipped: bool,
}

/// A face through which nothing flows.
fn shut(a: &Side, b: &Side, evaluations: u32) -> FaceFlow {
    let still = |side: &Side| {
        let (p, rho) = side.at_rest();
        EndState { rho, u: 0.0, p }
    };
    let (at_a, at_b) = (still(a), still(b));
    let from_a = at_a.p >= at_b.p;
    let (upstream, downstream, gamma) = if from_a { (at_a, at_b, a.gamma()) } else { (at_b, at_a, b.gamma()) };
    FaceFlow {
        from_a,
        mass_flow: 0.0,
        upstream,
        downstream,
        p0: upstream.p,
        rho0: upstream.rho,
        gamma,
        throat_p: upstream.p,
        throat_u: 0.0,
        throat_mach_squared: 0.0,
        start: 0.0,
        choked: false,
        evaluations,
        clipped: false,
    }
}

/// Solves the face between `a` and `b`.
///
/// `area_ab` and `area_ba` [m2] are the effective throat areas for flow from `a` to `b` and back; zero shuts the
/// face. `guess` is what [`Trend`] expects of [`FaceFlow::start`], or 0.
#[must_use]
pub fn restriction(a: &Side, b: &Side, area_ab: f64, area_ba: f64, guess: f64) -> FaceFlow {
    if area_ab <= 0.0 && area_ba <= 0.0 {
        return shut(a, b, 0);
    }
    let areas = (area_ab, area_ba);
    let mut spent = 0;
    if guess.abs() > SLOWEST * SLOWEST {
        let from_a = guess > 0.0;
        let (upstream, downstream, area) = ordered(a, b, areas, from_a);
        if area > 0.0 {
            let up = Upstream::new(upstream, area);
            let down = Downstream::new(downstream);
            match follow(&up, &down, guess.abs().sqrt()) {
                Ok(solved) => return flow(&up, &down, from_a, &solved),
                Err(evaluations) => spent = evaluations,
            }
        }
    }
    unguessed(a, b, areas, spent)
}

/// Solves the face from the pressures at rest; `spent` evaluations went before.
#[inline(never)]
fn unguessed(a: &Side, b: &Side, areas: (f64, f64), spent: u32) -> FaceFlow {
    let (pa, pb) = (a.pressure_at_rest(), b.pressure_at_rest());
    let (from_a, difference) = (pa >= pb, (pa - pb).abs());
    let (upstream, downstream, area) = ordered(a, b, areas, from_a);
    if area <= 0.0 || difference <= EQUAL * pa {
        return shut(a, b, spent);
    }
    let (up, down) = (Upstream::new(upstream, area), Downstream::new(downstream));
    match from_rest(&up, &down, difference) {
        Ok(mut solved) => {
            solved.evaluations += spent;
            flow(&up, &down, from_a, &solved)
        }
        Err(evaluations) => shut(a, b, spent + evaluations),
    }
}

/// The sides in the direction of the flow, and the throat's area between them [m2].
#[inline]
fn ordered<'a>(a: &'a Side, b: &'a Side, areas: (f64, f64), from_a: bool) -> (&'a Side, &'a Side, f64) {
    let (up, down, mut area) = if from_a { (a, b, areas.0) } else { (b, a, areas.1) };
    if let Side::Duct(t) = down {
        area = area.min(LARGEST_THROAT * t.area);
    }
    if let Side::Duct(t) = up {
        area = area.min(t.area);
    }
    (up, down, area)
}

/// The solved flow.
#[inline(always)]
fn flow(up: &Upstream, down: &Downstream, from_a: bool, solved: &Solved) -> FaceFlow {
    let at = &solved.passage;
    let rho_1 = up.density_at_end(at);
    let rho_t = rho_1 * at.phi;
    let mass_flow = up.area * rho_t * at.u_t;
    let (rho0, p0) = up.total(at, rho_1);
    let (downstream, clipped) = match down {
        Downstream::Duct(into) => {
            let e = if solved.choked { into.behind_choked(up, at, rho_t) } else { into.expansion(up, at, rho_t) };
            let rho = if e.u > 0.0 { mass_flow / (into.area * e.u) } else { rho0 };
            (EndState { rho, u: e.u, p: e.p }, e.clipped)
        }
        Downstream::Vessel(still) => (*still, false),
    };
    let start = at.v * at.v * if solved.choked { STILL_CHOKED } else { 1.0 };
    FaceFlow {
        from_a,
        mass_flow,
        upstream: up.end(at, rho_1),
        downstream,
        p0,
        rho0,
        gamma: up.gamma,
        throat_p: up.pressure_in_throat(at, rho_t),
        throat_u: at.u_t,
        throat_mach_squared: if solved.choked { 1.0 } else { at.mach_t2() },
        start: if from_a { start } else { -start },
        choked: solved.choked,
        evaluations: solved.evaluations,
        clipped: solved.clipped || clipped,
    }
}

/// Effective area of an opening of `area` [m2] into a duct as wide, with loss coefficient `zeta` [-]:
/// `A/(1 + sqrt(zeta))`, see the head of this file.
#[must_use]
pub fn loss_area(area: f64, zeta: f64) -> f64 {
    area / (1.0 + zeta.max(0.0).sqrt())
}
