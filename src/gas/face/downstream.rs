//! The downstream side of a face: the sudden expansion into a duct and the wave that it sends, or a vessel's pressure.

use super::EndState;
use super::upstream::{Passage, Rates, Upstream};
use crate::gas::trace::{Side, Trace};
use crate::numeric::power::PowerOfSum;

/// Largest number of steps behind a choked throat; halving alone needs 40.
const MOST_STEPS: u32 = 100;
/// Newton's step behind a choked throat, over the speed, after which no other is needed [-].
const LAST_STEP: f64 = 1e-6;

/// Downstream side prepared for the solve.
pub(super) enum Downstream {
    /// A duct.
    Duct(Into),
    /// A vessel at rest.
    Vessel(EndState),
}

/// A duct.
pub(super) struct Into {
    /// Pressure of the trace [Pa], its velocity away from the face [m/s], its speed of sound [m/s].
    p: f64,
    u: f64,
    c: f64,
    /// Ratio of specific heats [-].
    gamma: f64,
    /// Area [m2], and one over it.
    pub area: f64,
    per_area: f64,
    /// Powers of exponent `1/(g_d-1)`.
    power: PowerOfSum,
}

/// What flows off into a duct.
pub(super) struct Expanded {
    /// Speed [m/s].
    pub u: f64,
    /// Pressure [Pa].
    pub p: f64,
    /// Whether heat would choke it: no such flow, this is the nearest one.
    pub clipped: bool,
}

/// What a flow misses.
pub(super) struct Residual {
    /// Pressure delivered minus pressure wanted [Pa].
    pub f: f64,
    /// Its `d/d(ln v)` [Pa].
    pub slope: f64,
    /// How far the flow is from being choked by heat, where the slope breaks: from 1 to 0.
    pub room: f64,
}

impl Downstream {
    /// The side `side`.
    #[inline]
    pub fn new(side: &Side) -> Self {
        match side {
            Side::Duct(t) => Self::Duct(Into::new(t)),
            Side::Vessel(v) => Self::Vessel(EndState { rho: v.rho, u: 0.0, p: v.p }),
        }
    }

    /// The residual and its slope. The throat's pressure changes at constant entropy, `D p_t = c_t^2 D rho_t`, with the energy of the
    /// wave that leaves: `D p_t = -rho_t [(c_1 - u_1) D u_1 + u_t D u_t]`.
    #[inline]
    pub fn residual(&self, up: &Upstream, at: &Passage) -> Residual {
        let rates = up.rates(at);
        let rho_t = up.density_at_end(at) * at.phi;
        let p_t = -rho_t * ((at.c_1 - at.u_1) * rates.u_1 + at.u_t * rates.u_t);
        match self {
            Self::Duct(into) => into.residual(up, at, rho_t, &rates, p_t),
            Self::Vessel(still) => Residual { f: up.pressure_in_throat(at, rho_t) - still.p, slope: p_t, room: 1.0 },
        }
    }

    /// The residual alone [Pa].
    #[inline]
    pub fn miss(&self, up: &Upstream, at: &Passage) -> f64 {
        let rho_t = up.density_at_end(at) * at.phi;
        match self {
            Self::Duct(into) => {
                let e = into.solved(up, at, rho_t);
                e.p - into.pressure(e.u).0
            }
            Self::Vessel(still) => up.pressure_in_throat(at, rho_t) - still.p,
        }
    }

    /// Pressure of the wave sent downstream per `g p v` of a slow flow from upstream [-].
    #[inline]
    pub fn wave(&self, up: &Upstream) -> f64 {
        match self {
            Self::Duct(into) => into.c / up.c * up.area / into.area,
            Self::Vessel(_) => 0.0,
        }
    }
}

impl Into {
    #[inline]
    fn new(t: &Trace) -> Self {
        Self {
            p: t.p,
            u: -t.u,
            c: t.sound(),
            gamma: t.gamma,
            area: t.area,
            per_area: 1.0 / t.area,
            power: PowerOfSum::new(1.0 / (t.gamma - 1.0)),
        }
    }

    /// Pressure that the wave into the duct asks for at speed `u` [Pa], and its change with `u`: `p_d s^(2g/(g-1))` with
    /// `s = 1 + (g-1)/2 (u-u_d)/c_d`, and `g p/(s c_d)`.
    #[inline]
    fn pressure(&self, u: f64) -> (f64, f64) {
        let d = (0.5 * (self.gamma - 1.0) * (u - self.u) / self.c).max(1e-3 - 1.0);
        let s = 1.0 + d;
        let half = (1.0 + self.power.less_one(d)) * s;
        let p = self.p * half * half;
        (p, self.gamma * p / (s * self.c))
    }

    /// Speed and pressure behind the sudden expansion: momentum and total enthalpy,
    /// `I = p_t A_2 + m u_t = p_2 A_2 + m u_2`, `I u_2 = m (a u_2^2 + b)` with `a = (g+1)/2g`, `b = c_0^2/g`.
    #[inline]
    pub fn expansion(&self, up: &Upstream, at: &Passage, rho_t: f64) -> Expanded {
        let e = self.solved(up, at, rho_t);
        Expanded { u: e.u, p: e.p, clipped: e.d < 0.0 }
    }

    #[inline]
    fn solved(&self, up: &Upstream, at: &Passage, rho_t: f64) -> Expansion {
        let m = up.area * rho_t * at.u_t;
        let impulse = up.pressure_in_throat(at, rho_t) * self.area + m * at.u_t;
        let b = up.c_02(at) * up.per_gamma;
        let a = 0.5 + 0.5 * up.per_gamma;
        let d = impulse * impulse - 4.0 * a * b * m * m;
        let root = d.max(0.0).sqrt();
        let u = 2.0 * b * m / (impulse + root);
        Expansion { m, impulse, b, a, d, root, u, p: (impulse - m * u) * self.per_area }
    }

    /// From the change `p_t` [Pa] of the throat's pressure: `D m`, `D I` and `D b = -2k (c_1 - u_1) D u_1/g`, then
    /// `(I - 2 a m u_2) D u_2 = (a u_2^2 + b) D m + m D b - u_2 D I`, where the bracket is the root of the quadratic's discriminant.
    #[inline]
    fn residual(&self, up: &Upstream, at: &Passage, rho_t: f64, rates: &Rates, p_t: f64) -> Residual {
        let e = self.solved(up, at, rho_t);
        let (asked, slope) = self.pressure(e.u);
        let m = up.area * (at.u_t * p_t / at.c_t2 + rho_t * rates.u_t);
        let impulse = self.area * p_t + at.u_t * m + e.m * rates.u_t;
        let b = -2.0 * up.k * up.per_gamma * (at.c_1 - at.u_1) * rates.u_1;
        let u = (m * (e.a * e.u * e.u + e.b) + e.m * b - e.u * impulse) / e.root;
        let p = (impulse - e.u * m - e.m * u) * self.per_area;
        Residual { f: e.p - asked, slope: p - slope * u, room: e.d.max(0.0) / (e.impulse * e.impulse) }
    }

    /// Speed and pressure when `m` [kg/s] of total enthalpy `h_0` come from a choked throat: energy and the wave only,
    /// `m (g-1)/g (h_0/u - u/2)/A_2 = p_wave(u)`. The left side falls and the right one rises; the root lies between the speed
    /// behind the expansion and that of sound. Newton's step where it stays in the bracket, else the middle.
    pub fn behind_choked(&self, up: &Upstream, at: &Passage, rho_t: f64) -> Expanded {
        let m = up.area * rho_t * at.u_t;
        let c_02 = up.c_02(at);
        let h_0 = c_02 * up.q;
        let b = m * 2.0 * up.k * up.per_gamma * self.per_area;
        let supplied = |u: f64| b * (h_0 / u - 0.5 * u);
        let sonic = (c_02 / (1.0 + up.k)).sqrt();
        if supplied(sonic) - self.pressure(sonic).0 > 0.0 {
            return Expanded { u: sonic, p: supplied(sonic), clipped: true };
        }
        let (mut low, mut high) = (0.0, sonic);
        let mut u = self.solved(up, at, rho_t).u.min(sonic);
        for _ in 0..MOST_STEPS {
            let (asked, slope) = self.pressure(u);
            let f = supplied(u) - asked;
            if f > 0.0 {
                low = u
            } else {
                high = u
            }
            let step = f / (b * (h_0 / (u * u) + 0.5) + slope);
            let next = u + step;
            let inside = next > low && next < high;
            let last = inside && step.abs() <= LAST_STEP * u || high - low <= 1e-14 * sonic;
            u = if inside { next } else { 0.5 * (low + high) };
            if last {
                break;
            }
        }
        Expanded { u, p: supplied(u), clipped: false }
    }
}

/// Flow behind the sudden expansion: mass flow, impulse, coefficients and discriminant of the quadratic and its root, speed, pressure.
struct Expansion {
    m: f64,
    impulse: f64,
    b: f64,
    a: f64,
    d: f64,
    root: f64,
    u: f64,
    p: f64,
}

#[cfg(test)]
mod tests {
    use super::Downstream;
    use crate::gas::face::upstream::Upstream;
    use crate::gas::trace::{Side, Trace, Vessel};
    use crate::media::composition::Composition;

    const AREA: f64 = 1e-3;

    fn duct(rho: f64, u: f64, p: f64, gamma: f64, area: f64) -> Side {
        Side::Duct(Trace { rho, u, p, gamma, composition: Composition::default(), area })
    }

    fn vessel(rho: f64, p: f64, gamma: f64) -> Side {
        Side::Vessel(Vessel { rho, p, gamma, composition: Composition::default() })
    }

    #[test]
    fn slope_of_the_residual_is_its_derivative_and_the_residual_falls() {
        // Central difference, its own error about 1e-9; from and into ducts and vessels, wide and narrow throats.
        let sources =
            [vessel(1.3, 1.2e5, 1.4), duct(1.2, 40.0, 1.1e5, 1.4, AREA), duct(0.4, -30.0, 1.4e5, 1.3, 2.0 * AREA)];
        let sinks =
            [vessel(1.0, 0.9e5, 1.4), duct(1.1, -20.0, 0.8e5, 1.4, 1.5 * AREA), duct(0.5, 50.0, 0.9e5, 1.3, AREA)];
        let mut worst: f64 = 0.0;
        for source in sources {
            for sink in sinks {
                for share in [0.01, 0.5, 0.95, 1.0] {
                    let up = Upstream::new(&source, share * AREA);
                    let down = Downstream::new(&sink);
                    let top = up.choke();
                    for i in 1..20 {
                        let v = 0.05 * f64::from(i) * top;
                        let at = down.residual(&up, &up.passage(v));
                        // Beyond, heat chokes the duct.
                        if at.room < 0.01 {
                            break;
                        }
                        let miss = |v: f64| down.miss(&up, &up.passage(v));
                        let difference = (miss(v * (1.0 + 1e-5)) - miss(v * (1.0 - 1e-5))) / 2e-5;
                        assert!(at.slope < 0.0 && (at.f - miss(v)).abs() <= 0.0);
                        worst = worst.max((at.slope - difference).abs() / (1e5 * v));
                    }
                }
            }
        }
        assert!(worst < 1e-7, "{worst:e}");
    }
}
