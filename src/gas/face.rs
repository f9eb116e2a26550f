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
//! The unknown is `y = M_t^2` in `0..1`; the residual (pressure delivered minus pressure wanted downstream) falls
//! monotonically in `y`, nearly linearly at low speed, and is positive at `y = 0` by the choice of upstream; if it is
//! still positive at `y = 1` the throat is choked. The secant is bracketed and falls back to halving, so it always ends.
//!
//! An open end with loss coefficient `zeta` is a throat of `A_t = A/(1 + sqrt(zeta))`: the sudden expansion behind it
//! loses `(A/A_t - 1)^2 = zeta` heads. For a plain pipe, `zeta` = 1, this is Borda's mouthpiece.

use super::trace::{Side, Trace};
use crate::media::composition::Composition;
use crate::media::gas::GasModel;
use crate::numeric::power::power;

/// Largest share of a duct's area that a throat towards another duct may have [-]; nearer to 1 the sudden
/// expansion vanishes and the face is no restriction.
const LARGEST_THROAT: f64 = 0.999;
/// Residual at which the solve ends, over the difference of the pressures at rest [-]; the flow is then right to half of it.
const TOLERANCE: f64 = 1e-11;
/// Residual below which round-off rules, over the upstream pressure [-].
const ROUND_OFF: f64 = 1e-14;
/// Largest number of residuals evaluated in one solve.
const MOST_EVALUATIONS: u32 = 80;

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
    /// Mach number in the throat, squared [-]: the starting guess of the next solve.
    pub throat_mach_squared: f64,
    /// Whether the throat is choked.
    pub choked: bool,
    /// Evaluations of the residual.
    pub evaluations: u32,
    /// Whether a bound was hit that the model does not cover (supersonic downstream, thermal choking).
    pub clipped: bool,
}

/// Upstream side prepared for the solve.
struct Upstream {
    p: f64,
    c: f64,
    gamma: f64,
    /// `J = u + 2c/(g-1)`, or none for a vessel.
    invariant: Option<f64>,
    /// Throat area over duct area.
    ratio: f64,
}

/// Flow at one Mach number in the throat.
#[derive(Clone, Copy)]
struct Passage {
    mach_1: f64,
    c0: f64,
    p_t: f64,
    u_t: f64,
    mass_flow: f64,
}

impl Upstream {
    fn new(side: &Side, area: f64) -> Self {
        match side {
            Side::Duct(t) => {
                let c = t.sound();
                Self {
                    p: t.p,
                    c,
                    gamma: t.gamma,
                    invariant: Some(t.u + 2.0 * c / (t.gamma - 1.0)),
                    ratio: (area / t.area).min(1.0),
                }
            }
            Side::Vessel(v) => {
                Self { p: v.p, c: (v.gamma * v.p / v.rho).sqrt(), gamma: v.gamma, invariant: None, ratio: 0.0 }
            }
        }
    }

    /// Mach number at the duct's end for `mach` in the throat: `D(M1) = ratio D(Mt)`.
    fn mach_at_end(&self, mach: f64, guess: f64) -> f64 {
        if self.ratio >= 1.0 {
            return mach;
        }
        let g = self.gamma;
        let k = 0.5 * (g - 1.0);
        let e = 0.5 * (g + 1.0) / (g - 1.0);
        // ratio * Mt * (b1/bt)^e = M1, a contraction iteration sharpened by Newton.
        let scale = self.ratio * mach * power(1.0 + k * mach * mach, -e);
        let mut m = if guess > 0.0 && guess < 1.0 { guess } else { scale };
        for _ in 0..40 {
            let b = 1.0 + k * m * m;
            let rhs = scale * power(b, e);
            let slope = 1.0 - rhs * e * 2.0 * k * m / b;
            let step = (rhs - m) / if slope > 0.05 { slope } else { 0.05 };
            m = (m + step).clamp(0.0, mach);
            if step.abs() < 1e-13 {
                break;
            }
        }
        m
    }

    fn passage(&self, mach: f64, area: f64, guess: f64) -> Passage {
        let g = self.gamma;
        let k = 0.5 * (g - 1.0);
        let e = g / (g - 1.0);
        let b = 1.0 + k * mach * mach;
        let (mach_1, c0) = match self.invariant {
            Some(j) => {
                let m1 = self.mach_at_end(mach, guess);
                let c1 = j / (m1 + 2.0 / (g - 1.0));
                (m1, c1 * (1.0 + k * m1 * m1).sqrt())
            }
            None => (0.0, self.c),
        };
        let s = c0 / self.c;
        let c_t = c0 / b.sqrt();
        // One power serves both: p_t = p s^2e b^-e.
        let p_t = self.p * power(s * s / b, e);
        let u_t = mach * c_t;
        let rho_t = g * p_t / (c_t * c_t);
        Passage { mach_1, c0, p_t, u_t, mass_flow: area * rho_t * u_t }
    }

    fn total_pressure(&self, c0: f64) -> f64 {
        let s = c0 / self.c;
        self.p * power(s * s, self.gamma / (self.gamma - 1.0))
    }

    fn end_state(&self, passage: &Passage) -> EndState {
        let g = self.gamma;
        match self.invariant {
            Some(_) => {
                let c1 = passage.c0 / (1.0 + 0.5 * (g - 1.0) * passage.mach_1 * passage.mach_1).sqrt();
                let s = c1 / self.c;
                let p = self.p * power(s * s, g / (g - 1.0));
                EndState { rho: g * p / (c1 * c1), u: passage.mach_1 * c1, p }
            }
            None => EndState { rho: g * self.p / (self.c * self.c), u: 0.0, p: self.p },
        }
    }
}

/// Downstream duct: velocity of the trace away from the face.
struct Into {
    p: f64,
    u: f64,
    c: f64,
    gamma: f64,
    area: f64,
}

impl Into {
    fn new(t: &Trace) -> Self {
        Self { p: t.p, u: -t.u, c: t.sound(), gamma: t.gamma, area: t.area }
    }

    /// Pressure that the wave into the duct asks for at speed `u` [Pa].
    fn pressure(&self, u: f64) -> f64 {
        let s = 1.0 + 0.5 * (self.gamma - 1.0) * (u - self.u) / self.c;
        self.p * power(s.max(1e-3), 2.0 * self.gamma / (self.gamma - 1.0))
    }

    /// Speed and pressure behind the sudden expansion; the flag tells a thermal choke.
    fn expansion(&self, gamma: f64, passage: &Passage) -> (f64, f64, bool) {
        let m = passage.mass_flow;
        let impulse = passage.p_t * self.area + m * passage.u_t;
        let h0 = passage.c0 * passage.c0 / (gamma - 1.0);
        let b = (gamma - 1.0) / gamma * h0;
        let a = 0.5 * (gamma + 1.0) / gamma;
        let d = impulse * impulse - 4.0 * a * b * m * m;
        let u = 2.0 * b * m / (impulse + d.max(0.0).sqrt());
        (u, (impulse - m * u) / self.area, d < 0.0)
    }

    /// Speed and pressure when `mass_flow` of total enthalpy `c0^2/(g-1)` comes from a choked throat: energy and the
    /// wave only. Bisection-safe Newton on `u` between rest and the speed of sound.
    fn behind_choked(&self, gamma: f64, passage: &Passage) -> (f64, f64, bool) {
        let m = passage.mass_flow;
        let h0 = passage.c0 * passage.c0 / (gamma - 1.0);
        let b = (gamma - 1.0) / gamma;
        let supplied = |u: f64| m * b * (h0 / u - 0.5 * u) / self.area;
        let sonic = passage.c0 * (2.0 / (gamma + 1.0)).sqrt();
        let (mut lo, mut hi) = (1e-9 * sonic, sonic);
        if supplied(hi) - self.pressure(hi) > 0.0 {
            return (hi, supplied(hi), true);
        }
        for _ in 0..100 {
            let mid = 0.5 * (lo + hi);
            if supplied(mid) - self.pressure(mid) > 0.0 {
                lo = mid;
            } else {
                hi = mid;
            }
            if hi - lo < 1e-12 * sonic {
                break;
            }
        }
        let u = 0.5 * (lo + hi);
        (u, supplied(u), false)
    }
}

/// A face through which nothing flows.
fn shut(a: &Side, b: &Side, pa: f64, pb: f64) -> FaceFlow {
    let from_a = pa >= pb;
    let (up, p_up, down, p_down) = if from_a { (a, pa, b, pb) } else { (b, pb, a, pa) };
    let rest = |side: &Side, p: f64| {
        let (rho, gamma, p_side) = match side {
            Side::Duct(t) => (t.rho, t.gamma, t.p),
            Side::Vessel(v) => (v.rho, v.gamma, v.p),
        };
        EndState { rho: rho * power(p / p_side, 1.0 / gamma), u: 0.0, p }
    };
    let upstream = rest(up, p_up);
    let gamma = match up {
        Side::Duct(t) => t.gamma,
        Side::Vessel(v) => v.gamma,
    };
    FaceFlow {
        from_a,
        mass_flow: 0.0,
        upstream,
        downstream: rest(down, p_down),
        p0: p_up,
        rho0: upstream.rho,
        gamma,
        throat_p: p_up,
        throat_u: 0.0,
        throat_mach_squared: 0.0,
        choked: false,
        evaluations: 0,
        clipped: false,
    }
}

/// Solves the face between `a` and `b`.
///
/// `area_ab` and `area_ba` [m2] are the effective throat areas for flow from `a` to `b` and back; zero shuts the
/// face. `guess` is `throat_mach_squared` of the last solve, or 0.
#[must_use]
pub fn restriction(a: &Side, b: &Side, area_ab: f64, area_ba: f64, guess: f64) -> FaceFlow {
    let pa = a.pressure_at_rest();
    let pb = b.pressure_at_rest();
    let from_a = pa >= pb;
    let (up, down, mut area) = if from_a { (a, b, area_ab) } else { (b, a, area_ba) };
    if let (Side::Duct(_) | Side::Vessel(_), Side::Duct(t)) = (up, down) {
        area = area.min(LARGEST_THROAT * t.area);
    }
    if let Side::Duct(t) = up {
        area = area.min(t.area);
    }
    if area <= 0.0 || (pa - pb).abs() <= 1e-14 * pa {
        return shut(a, b, pa, pb);
    }
    let upstream = Upstream::new(up, area);
    let rest = if from_a { (pa, pb) } else { (pb, pa) };
    let solved = solve(&upstream, down, area, rest, guess);
    let Solved { passage, y, choked, evaluations, clipped } = solved;
    let p0 = upstream.total_pressure(passage.c0);
    let rho0 = upstream.gamma * p0 / (passage.c0 * passage.c0);
    let (downstream, clip_down) = match down {
        Side::Duct(t) => {
            let into = Into::new(t);
            let (u, p, clip) = if choked {
                into.behind_choked(upstream.gamma, &passage)
            } else {
                into.expansion(upstream.gamma, &passage)
            };
            let rho = if u > 0.0 { passage.mass_flow / (into.area * u) } else { rho0 };
            (EndState { rho, u, p }, clip)
        }
        Side::Vessel(v) => (EndState { rho: v.rho, u: 0.0, p: v.p }, false),
    };
    FaceFlow {
        from_a,
        mass_flow: passage.mass_flow,
        upstream: upstream.end_state(&passage),
        downstream,
        p0,
        rho0,
        gamma: upstream.gamma,
        throat_p: passage.p_t,
        throat_u: passage.u_t,
        throat_mach_squared: y,
        choked,
        evaluations,
        clipped: clipped || clip_down,
    }
}

struct Solved {
    passage: Passage,
    y: f64,
    choked: bool,
    evaluations: u32,
    clipped: bool,
}

/// Bracketed secant: the chord of the two latest points while it stays inside the bracket, else the middle.
fn solve(upstream: &Upstream, down: &Side, area: f64, rest: (f64, f64), guess: f64) -> Solved {
    let into = match down {
        Side::Duct(t) => Some(Into::new(t)),
        Side::Vessel(_) => None,
    };
    let (scale, wanted) = rest;
    let mut ratio_guess = upstream.ratio;
    let mut evaluations = 0;
    let mut residual = |y: f64| {
        let mach = y.sqrt();
        let passage = upstream.passage(mach, area, ratio_guess * mach);
        if mach > 0.0 {
            ratio_guess = passage.mach_1 / mach;
        }
        let f = match &into {
            Some(into) => {
                let (u, p, _) = into.expansion(upstream.gamma, &passage);
                p - into.pressure(u)
            }
            None => passage.p_t - wanted,
        };
        (f, passage)
    };
    let tolerance = (TOLERANCE * (scale - wanted)).max(ROUND_OFF * scale);
    // At y = 0 the residual is the difference of the pressures at rest.
    let (mut low, mut high) = (0.0, 1.0);
    let (mut y_old, mut f_old) = (0.0, scale - wanted);
    let mut y = if guess > 1e-12 && guess < 1.0 { guess } else { (1.0 - wanted / scale).clamp(1e-9, 1.0) };
    loop {
        let (f, passage) = residual(y);
        evaluations += 1;
        let done = f.abs() <= tolerance || high - low <= f64::EPSILON * high || evaluations >= MOST_EVALUATIONS;
        let choked = y >= 1.0 && f >= 0.0;
        if done || choked {
            return Solved { passage, y, choked, evaluations, clipped: evaluations >= MOST_EVALUATIONS };
        }
        if f > 0.0 {
            low = y
        } else {
            high = y
        }
        let chord = y - f * (y - y_old) / (f - f_old);
        (y_old, f_old) = (y, f);
        // The residual is positive up to the choked end when the chord points beyond it.
        y = if chord > low && chord < high {
            chord
        } else if chord >= 1.0 && high >= 1.0 && low < 1.0 {
            1.0
        } else {
            0.5 * (low + high)
        };
    }
}

/// Throat Mach numbers squared of the last two steps at one face: they are drawn on in time to start the next solve.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trend {
    last: f64,
    before: f64,
}

impl Trend {
    /// Where the next value is expected [-].
    #[must_use]
    pub fn next(self) -> f64 {
        2.0 * self.last - self.before
    }

    /// Takes the latest value [-].
    pub fn push(&mut self, value: f64) {
        self.before = if self.last > 0.0 { self.last } else { value };
        self.last = value;
    }
}

/// Effective area of an opening of `area` [m2] into a duct as wide, with loss coefficient `zeta` [-]:
/// `A/(1 + sqrt(zeta))`, see the head of this file.
#[must_use]
pub fn loss_area(area: f64, zeta: f64) -> f64 {
    area / (1.0 + zeta.max(0.0).sqrt())
}
