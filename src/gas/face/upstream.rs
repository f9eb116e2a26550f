//! The upstream side of a face and the flow through the throat, in closed form from one unknown.
//!
//! A duct's end, with the wave that leaves it: entropy and `J = u + 2c/(g-1)` are those of the trace. Between the end (1) and the
//! throat (t) mass, total enthalpy and entropy are kept. With `k = (g-1)/2`, `q = 1/(g-1)`, `r = A_t/A_1` and the unknown
//! `X = (c_t/c_1)^2`, the ratio of the temperatures,
//!
//! ```text
//! rho_t/rho_1 = X^q                      u_1 = r X^q u_t              N = 1 - r^2 X^2q
//! u_t/c_1 = sqrt((1 - X)/(k N)) = T      M_1 = r X^q T                c_1 = J/(M_1 + 2q)
//! rho_1 = rho (c_1/c)^2q
//! ```
//!
//! so that one power serves the throat and one the end. A vessel is `r = 0` with `c_1 = c`, `rho_1 = rho`. The throat is choked
//! where `M_t^2 = T^2/X = 1`.
//!
//! In place of `X` stands `v` with `1 - X = k (1 - r^2) v^2`: near the throat's Mach number, and with `r = 1`, where `X = 1`, just that.

use super::EndState;
use crate::gas::trace::Side;
use crate::numeric::power::PowerOfSum;

/// Largest number of steps to the choked throat.
const MOST_STEPS: u32 = 60;

/// Upstream side prepared for the solve.
pub(super) struct Upstream {
    /// Pressure of the trace, or in the vessel [Pa].
    pub p: f64,
    /// Its density [kg/m3].
    rho: f64,
    /// Its speed of sound [m/s].
    pub c: f64,
    /// Ratio of specific heats [-], and one over it.
    pub gamma: f64,
    pub per_gamma: f64,
    /// `(g-1)/2` and `1/(g-1)` [-].
    pub k: f64,
    pub q: f64,
    /// Area of the throat [m2].
    pub area: f64,
    /// Powers of exponent `q`.
    power: PowerOfSum,
    /// `J` [m/s]; none for a vessel.
    invariant: Option<f64>,
    /// `r` and `1 - r^2` [-].
    ratio: f64,
    narrowing: f64,
}

/// Flow at one value of the unknown.
#[derive(Clone, Copy)]
pub(super) struct Passage {
    /// The unknown [-].
    pub v: f64,
    /// `1 - X`, `X`, `N`, `T` [-].
    z: f64,
    x: f64,
    n: f64,
    t: f64,
    /// Density in the throat over that at the end, `X^q` [-].
    pub phi: f64,
    /// Mach number [-], speed of sound and speed [m/s] at the end.
    mach_1: f64,
    pub c_1: f64,
    pub u_1: f64,
    /// Speed of sound squared [m2/s2] and speed [m/s] in the throat.
    pub c_t2: f64,
    pub u_t: f64,
}

impl Passage {
    /// Whether the throat is below the speed of sound, `M_t^2 = T^2/X < 1`.
    #[inline]
    pub fn subsonic(&self) -> bool {
        self.t * self.t < self.x
    }

    /// Mach number in the throat, squared.
    #[inline]
    pub fn mach_t2(&self) -> f64 {
        self.t * self.t / self.x
    }
}

/// How a passage changes with the logarithm of the unknown, `d/d(ln v)`.
#[derive(Clone, Copy)]
pub(super) struct Rates {
    /// Of the speed at the end [m/s].
    pub u_1: f64,
    /// Of the speed in the throat [m/s].
    pub u_t: f64,
}

impl Upstream {
    /// The side `side` with a throat of `area` [m2], not wider than its duct.
    #[inline]
    pub fn new(side: &Side, area: f64) -> Self {
        let (p, rho, gamma, duct) = match side {
            Side::Duct(t) => (t.p, t.rho, t.gamma, Some((t.u, t.area))),
            Side::Vessel(v) => (v.p, v.rho, v.gamma, None),
        };
        let c = (gamma * p / rho).sqrt();
        let q = 1.0 / (gamma - 1.0);
        let ratio = duct.map_or(0.0, |(_, duct)| (area / duct).min(1.0));
        Self {
            p,
            rho,
            c,
            gamma,
            per_gamma: 1.0 / gamma,
            k: 0.5 * (gamma - 1.0),
            q,
            area,
            power: PowerOfSum::new(q),
            invariant: duct.map(|(u, _)| u + 2.0 * c * q),
            ratio,
            narrowing: (1.0 - ratio) * (1.0 + ratio),
        }
    }

    /// Whether the throat is as wide as the duct.
    #[inline]
    pub fn full(&self) -> bool {
        self.ratio >= 1.0
    }

    /// The flow at `v`; not a number beyond `1 - X = 1`.
    #[inline]
    pub fn passage(&self, v: f64) -> Passage {
        let (z, x, phi, n, t) = if self.full() {
            (0.0, 1.0, 1.0, 1.0, v)
        } else {
            let z = self.k * self.narrowing * v * v;
            let less = self.power.less_one(-z);
            let phi = 1.0 + less;
            let n = self.narrowing - self.ratio * self.ratio * less * (1.0 + phi);
            (z, 1.0 - z, phi, n, v * (self.narrowing / n).sqrt())
        };
        let mach_1 = self.ratio * phi * t;
        let c_1 = self.invariant.map_or(self.c, |j| j / (mach_1 + 2.0 * self.q));
        Passage { v, z, x, phi, n, t, mach_1, c_1, u_1: mach_1 * c_1, c_t2: x * c_1 * c_1, u_t: t * c_1 }
    }

    /// With `D = d/d(ln v)`: `D ln X = -2 (1-X)/X`, `D ln X^q = q D ln X`, `D ln T = 1 + r^2 X^2q D ln X^q/N`,
    /// `D c_1 = -c_1 D M_1/(M_1 + 2q)`, `D u_1 = -2q D c_1` and `D u_t = u_t D ln T + T D c_1`.
    #[inline]
    pub fn rates(&self, at: &Passage) -> Rates {
        let x = -2.0 * at.z / at.x;
        let phi = self.q * x;
        let r_phi = self.ratio * at.phi;
        let t = 1.0 + r_phi * r_phi * phi / at.n;
        let (c_1, u_1) = if self.invariant.is_some() {
            let c_1 = -at.c_1 * at.mach_1 * (phi + t) / (at.mach_1 + 2.0 * self.q);
            (c_1, -2.0 * self.q * c_1)
        } else {
            (0.0, 0.0)
        };
        Rates { u_1, u_t: at.u_t * t + at.t * c_1 }
    }

    /// `v` at which the throat's pressure is `p` [Pa], where that has a closed form: from a vessel, and where the throat is as wide as
    /// the duct. 0 if nothing flows that way. `(c_t/c)^2 = (p_t/p)^((g-1)/g)`.
    #[inline]
    pub fn at_throat(&self, p: f64) -> Option<f64> {
        if self.invariant.is_some() && !self.full() {
            return None;
        }
        let colder = -PowerOfSum::new(1.0 - self.per_gamma).less_one(p / self.p - 1.0);
        Some(match self.invariant {
            None => (colder.max(0.0) / self.k).sqrt(),
            Some(j) => (j / (self.c * (1.0 - colder).sqrt()) - 2.0 * self.q).max(0.0),
        })
    }

    /// Pressure in the throat [Pa] at the density `rho_t` [kg/m3] there.
    #[inline]
    pub fn pressure_in_throat(&self, at: &Passage, rho_t: f64) -> f64 {
        rho_t * at.c_t2 * self.per_gamma
    }

    /// Speed of sound of the gas at rest, squared [m2/s2]: `c_0^2 = c_1^2 + k u_1^2`.
    #[inline]
    pub fn c_02(&self, at: &Passage) -> f64 {
        at.c_1 * at.c_1 + self.k * at.u_1 * at.u_1
    }

    /// Density at the end [kg/m3].
    #[inline]
    pub fn density_at_end(&self, at: &Passage) -> f64 {
        if self.invariant.is_none() {
            return self.rho;
        }
        let half = 1.0 + self.power.less_one(at.c_1 / self.c - 1.0);
        self.rho * half * half
    }

    /// Total density [kg/m3] and pressure [Pa]: `rho_0 = rho_1 (1 + k M_1^2)^q`, `p_0 = rho_0 c_0^2/g`.
    #[inline]
    pub fn total(&self, at: &Passage, rho_1: f64) -> (f64, f64) {
        if self.invariant.is_none() {
            return (self.rho, self.p);
        }
        let d = self.k * at.mach_1 * at.mach_1;
        let rho_0 = rho_1 * (1.0 + self.power.less_one(d));
        (rho_0, rho_0 * self.c_02(at) * self.per_gamma)
    }

    /// State at the end, where the density is `rho_1` [kg/m3].
    #[inline]
    pub fn end(&self, at: &Passage, rho_1: f64) -> EndState {
        if self.invariant.is_none() {
            return EndState { rho: self.rho, u: 0.0, p: self.p };
        }
        EndState { rho: rho_1, u: at.u_1, p: rho_1 * at.c_1 * at.c_1 * self.per_gamma }
    }

    /// Largest `v` that a throat may have, whatever the end: `M_t = 1` at `M_1 = 0`.
    #[inline]
    pub fn most(&self) -> f64 {
        if self.full() { 1.0 } else { (1.0 / ((1.0 + self.k) * self.narrowing)).sqrt() }
    }

    /// `v` at which the throat chokes: `h = z - k (1-z) N = 0`. As `h' = (1+k) N` rises with `z`, Newton's steps from above do not
    /// overshoot.
    pub fn choke(&self) -> f64 {
        if self.full() || self.ratio <= 0.0 {
            return self.most();
        }
        let mut z = self.k / (1.0 + self.k);
        for _ in 0..MOST_STEPS {
            let less = self.power.less_one(-z);
            let n = self.narrowing - self.ratio * self.ratio * less * (2.0 + less);
            let step = (z - self.k * (1.0 - z) * n) / ((1.0 + self.k) * n);
            z -= step;
            if step.abs() <= 1e-15 * z {
                break;
            }
        }
        (z / (self.k * self.narrowing)).sqrt()
    }

    /// `v` at which `difference` [Pa] between the pressures at rest would drive an incompressible flow against the wave that leaves,
    /// `g p r v`, the wave into a duct downstream, `g p wave v`, and its own inertia, `g p (1 - r^2) v^2/2`.
    #[inline]
    pub fn first(&self, difference: f64, wave: f64) -> f64 {
        let drive = difference / (self.gamma * self.p);
        let linear = self.ratio + wave;
        2.0 * drive / (linear + (linear * linear + 2.0 * self.narrowing * drive).sqrt())
    }
}

#[cfg(test)]
mod tests {
    use super::Upstream;
    use crate::gas::trace::{Side, Trace, Vessel};
    use crate::media::composition::Composition;

    const WIDE: f64 = 1e-3;

    fn duct(gamma: f64, u: f64) -> Side {
        Side::Duct(Trace { rho: 1.1, u, p: 1e5, gamma, composition: Composition::default(), area: WIDE })
    }

    #[test]
    fn passage_keeps_mass_energy_entropy_and_the_wave() {
        // Identities of the model, by the mathematical library's powers.
        let mut worst: f64 = 0.0;
        for gamma in [1.2, 1.3, 1.4] {
            for (share, u) in [(0.01, -60.0), (0.3, 0.0), (0.9, 80.0), (0.9999, 20.0), (1.0, -30.0)] {
                let up = Upstream::new(&duct(gamma, u), share * WIDE);
                let top = up.choke();
                for i in 1..=20 {
                    let at = up.passage(0.05 * f64::from(i) * top);
                    let c = (gamma * 1e5 / 1.1_f64).sqrt();
                    let rho_1 = 1.1 * libm::pow(at.c_1 / c, 2.0 / (gamma - 1.0));
                    let rho_t = rho_1 * libm::pow(at.c_t2 / (at.c_1 * at.c_1), 1.0 / (gamma - 1.0));
                    let energy = |c2: f64, u: f64| c2 / (gamma - 1.0) + 0.5 * u * u;
                    let found = [
                        up.density_at_end(&at) / rho_1,
                        up.density_at_end(&at) * at.phi / rho_t,
                        rho_t * at.u_t * share / (rho_1 * at.u_1),
                        energy(at.c_t2, at.u_t) / energy(at.c_1 * at.c_1, at.u_1),
                        (at.u_1 + 2.0 * at.c_1 / (gamma - 1.0)) / (u + 2.0 * c / (gamma - 1.0)),
                    ];
                    worst = found.iter().fold(worst, |w, x| w.max((x - 1.0).abs()));
                }
            }
        }
        assert!(worst < 1e-11, "{worst:e}");
    }

    #[test]
    fn throat_reaches_the_speed_of_sound_where_it_chokes_and_not_before() {
        for share in [0.0, 1e-4, 0.2, 0.8, 0.999, 1.0] {
            let side = if share > 0.0 {
                duct(1.35, 10.0)
            } else {
                Side::Vessel(Vessel { p: 2e5, rho: 1.5, gamma: 1.35, composition: Composition::default() })
            };
            let up = Upstream::new(&side, share * WIDE);
            let top = up.choke();
            assert!((up.passage(top).mach_t2() - 1.0).abs() < 1e-9, "{share} {}", up.passage(top).mach_t2());
            assert!(up.passage(0.999 * top).subsonic() && top <= up.most() * (1.0 + 1e-15), "{share}");
        }
    }
}
