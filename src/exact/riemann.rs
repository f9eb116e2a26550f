//! Riemann problem: two uniform gases, parted by a membrane at x = 0 that bursts at t = 0.
//!
//! The solution depends on `s = x/t` alone: a wave to either side (a shock or a centred rarefaction), between them two gases
//! of one pressure `p` and one velocity `u`, parted by a contact. `p` is the root of `f_l(p) + f_r(p) + u_r - u_l = 0` with
//!
//! - a shock (`p > p_k`): `f_k = (p - p_k) sqrt(a / (p + b))`, `a = 2/((g+1) rho_k)`, `b = (g-1)/(g+1) p_k`;
//! - a rarefaction: `f_k = 2 c_k/(g-1) ((p/p_k)^((g-1)/2g) - 1)`.
//!
//! Limits: both gases of one constant `gamma`, no vacuum between them: `u_r - u_l < 2 (c_l + c_r)/(g-1)`.
//! Source: Toro, *Riemann Solvers and Numerical Methods for Fluid Dynamics*, 2009, chapter 4 (from memory).

use crate::numeric::root;

use super::error::{Error, need, need_gamma};
use super::state::State;

/// A wave to one side, with its speeds dx/dt [m/s].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Wave {
    /// A jump that compresses.
    Shock {
        /// Speed of the jump.
        speed: f64,
    },
    /// A fan that expands.
    Rarefaction {
        /// Speed of the edge next to the undisturbed gas.
        head: f64,
        /// Speed of the edge next to the contact.
        tail: f64,
    },
}

/// The solution of a Riemann problem.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Riemann {
    /// Heat-capacity ratio [-].
    pub gamma: f64,
    /// Undisturbed gas on the left.
    pub l: State,
    /// Undisturbed gas on the right.
    pub r: State,
    /// Pressure between the waves [Pa].
    pub p: f64,
    /// Velocity between the waves, and so the speed of the contact [m/s].
    pub u: f64,
    /// Density left of the contact [kg/m3].
    pub rho_l: f64,
    /// Density right of the contact [kg/m3].
    pub rho_r: f64,
    /// Wave into the left gas.
    pub wave_l: Wave,
    /// Wave into the right gas.
    pub wave_r: Wave,
}

/// Error of the logarithm of the pressure at which the search ends [-].
const TOLERANCE: f64 = 1.0e-16;
/// Doublings of the pressure in search of an upper bound; doubles end before these do.
const MAX_DOUBLINGS: u32 = 2_000;

/// Change of velocity [m/s] across the wave from `k` to the pressure `p`.
fn change(p: f64, k: State, g: f64) -> f64 {
    if p > k.p {
        let a = 2.0 / ((g + 1.0) * k.rho);
        let b = (g - 1.0) / (g + 1.0) * k.p;
        (p - k.p) * (a / (p + b)).sqrt()
    } else {
        2.0 * k.sound(g) / (g - 1.0) * libm::expm1(0.5 * (g - 1.0) / g * libm::log(p / k.p))
    }
}

/// Density [kg/m3] behind the wave from `k` to the pressure `p`.
fn density_behind(p: f64, k: State, g: f64) -> f64 {
    let ratio = p / k.p;
    if ratio > 1.0 {
        let m = (g - 1.0) / (g + 1.0);
        k.rho * (ratio + m) / (m * ratio + 1.0)
    } else {
        k.rho * libm::pow(ratio, 1.0 / g)
    }
}

/// Wave into `k` on the left, with `star` behind it.
fn wave_left(k: State, star: State, g: f64) -> Wave {
    let c = k.sound(g);
    if star.p > k.p {
        Wave::Shock { speed: k.u - c * (0.5 * (g + 1.0) / g * star.p / k.p + 0.5 * (g - 1.0) / g).sqrt() }
    } else {
        Wave::Rarefaction { head: k.u - c, tail: star.u - star.sound(g) }
    }
}

/// The same wave seen in a mirror.
fn mirrored(wave: Wave) -> Wave {
    match wave {
        Wave::Shock { speed } => Wave::Shock { speed: -speed },
        Wave::Rarefaction { head, tail } => Wave::Rarefaction { head: -head, tail: -tail },
    }
}

impl Riemann {
    /// Solves the problem of `l` and `r`.
    ///
    /// # Errors
    /// A gas that cannot exist, `gamma` not above 1, or gases that part so fast that a vacuum opens between them.
    pub fn new(l: State, r: State, gamma: f64) -> Result<Self, Error> {
        need_gamma(gamma)?;
        l.check()?;
        r.check()?;
        let limit = 2.0 * (l.sound(gamma) + r.sound(gamma)) / (gamma - 1.0);
        need(r.u - l.u < limit, "u_r - u_l", r.u - l.u, "less than 2 (c_l + c_r)/(gamma - 1): a vacuum opens")?;
        let p = pressure_between(l, r, gamma)?;
        let u = 0.5 * (l.u + r.u + change(p, r, gamma) - change(p, l, gamma));
        let (rho_l, rho_r) = (density_behind(p, l, gamma), density_behind(p, r, gamma));
        let wave_l = wave_left(l, State { rho: rho_l, u, p }, gamma);
        let wave_r = mirrored(wave_left(r.mirrored(), State { rho: rho_r, u: -u, p }, gamma));
        Ok(Self { gamma, l, r, p, u, rho_l, rho_r, wave_l, wave_r })
    }

    /// State on the ray `s = x/t` [m/s].
    #[must_use]
    pub fn at(&self, s: f64) -> State {
        if s < self.u {
            left_half(self.l, State { rho: self.rho_l, u: self.u, p: self.p }, self.wave_l, s, self.gamma)
        } else {
            let star = State { rho: self.rho_r, u: -self.u, p: self.p };
            left_half(self.r.mirrored(), star, mirrored(self.wave_r), -s, self.gamma).mirrored()
        }
    }
}

/// State on the ray `s` left of the contact. In the fan `u = 2/(g+1) (c + (g-1)/2 u_k + s)`, and the gas is isentropic.
fn left_half(k: State, star: State, wave: Wave, s: f64, g: f64) -> State {
    match wave {
        Wave::Shock { speed } if s < speed => k,
        Wave::Rarefaction { head, .. } if s < head => k,
        Wave::Rarefaction { tail, .. } if s <= tail => {
            let c = k.sound(g);
            let u = 2.0 / (g + 1.0) * (c + 0.5 * (g - 1.0) * k.u + s);
            let cooled = 2.0 / (g + 1.0) * (c + 0.5 * (g - 1.0) * (k.u - s)) / c;
            State {
                rho: k.rho * libm::pow(cooled, 2.0 / (g - 1.0)),
                u,
                p: k.p * libm::pow(cooled, 2.0 * g / (g - 1.0)),
            }
        }
        Wave::Shock { .. } | Wave::Rarefaction { .. } => star,
    }
}

/// Pressure [Pa] between the waves: of two rarefactions in closed form, else a bracketed root.
fn pressure_between(l: State, r: State, g: f64) -> Result<f64, Error> {
    let f = |p: f64| change(p, l, g) + change(p, r, g) + r.u - l.u;
    let (least, most) = (l.p.min(r.p), l.p.max(r.p));
    if f(least) >= 0.0 {
        let k = 0.5 * (g - 1.0) / g;
        let (c_l, c_r) = (l.sound(g), r.sound(g));
        let over = c_l + c_r - 0.5 * (g - 1.0) * (r.u - l.u);
        // both pressures over the larger one, so that no unit overflows
        let under = c_l * libm::pow(l.p / most, -k) + c_r * libm::pow(r.p / most, -k);
        return Ok(most * libm::pow(over / under, 1.0 / k));
    }
    let mut hi = most;
    for _ in 0..MAX_DOUBLINGS {
        if f(hi) >= 0.0 {
            break;
        }
        hi *= 2.0;
    }
    let root = root::find(|x| f(most * libm::exp(x)), libm::log(least / most), libm::log(hi / most), TOLERANCE)?;
    Ok(most * libm::exp(root.x))
}
