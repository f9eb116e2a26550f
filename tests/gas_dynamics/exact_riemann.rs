//! Exact solution of the Riemann problem of a perfect gas.
//!
//! Source: Toro, *Riemann Solvers and Numerical Methods for Fluid Dynamics*, 2009, chapter 4 (from memory).

use super::bench::State;

pub const GAMMA: f64 = 1.4;

/// The solution: two states, and pressure and velocity between the waves.
pub struct Exact {
    l: State,
    r: State,
    pub p: f64,
    pub u: f64,
}

fn sound(s: State) -> f64 {
    (GAMMA * s.2 / s.0).sqrt()
}

/// Change of velocity across the wave from `k` to the pressure `p`.
fn wave(p: f64, k: State) -> f64 {
    let (g, c) = (GAMMA, sound(k));
    if p > k.2 {
        let a = 2.0 / ((g + 1.0) * k.0);
        let b = (g - 1.0) / (g + 1.0) * k.2;
        (p - k.2) * (a / (p + b)).sqrt()
    } else {
        2.0 * c / (g - 1.0) * (libm::pow(p / k.2, 0.5 * (g - 1.0) / g) - 1.0)
    }
}

impl Exact {
    pub fn new(l: State, r: State) -> Self {
        let f = |p: f64| wave(p, l) + wave(p, r) + r.1 - l.1;
        // f rises with p: bisection on log p.
        let (mut lo, mut hi) = (1e-12_f64, 1e6_f64);
        for _ in 0..200 {
            let mid = (lo * hi).sqrt();
            if f(mid) > 0.0 { hi = mid } else { lo = mid }
        }
        let p = (lo * hi).sqrt();
        Self { l, r, p, u: 0.5 * (l.1 + r.1 + wave(p, r) - wave(p, l)) }
    }

    /// Density between the contact and the wave on one side.
    pub fn star_density(&self, left: bool) -> f64 {
        let k = if left { self.l } else { self.r };
        let (g, ratio) = (GAMMA, self.p / k.2);
        if ratio > 1.0 {
            let m = (g - 1.0) / (g + 1.0);
            k.0 * (ratio + m) / (m * ratio + 1.0)
        } else {
            k.0 * libm::pow(ratio, 1.0 / g)
        }
    }

    /// State on the ray `s = x/t`.
    pub fn at(&self, s: f64) -> State {
        let left = s < self.u;
        // The right half is the left half seen in a mirror.
        let sign = if left { 1.0 } else { -1.0 };
        let k = if left { self.l } else { (self.r.0, -self.r.1, self.r.2) };
        let (s, u_star, g, c) = (sign * s, sign * self.u, GAMMA, sound(k));
        let star = (self.star_density(left), u_star, self.p);
        let (rho, u, p) = if self.p > k.2 {
            let speed = k.1 - c * (0.5 * (g + 1.0) / g * self.p / k.2 + 0.5 * (g - 1.0) / g).sqrt();
            if s < speed { k } else { star }
        } else {
            let head = k.1 - c;
            let tail = u_star - sound(star);
            if s < head {
                k
            } else if s > tail {
                star
            } else {
                let u = 2.0 / (g + 1.0) * (c + 0.5 * (g - 1.0) * k.1 + s);
                let here = 2.0 / (g + 1.0) * (c + 0.5 * (g - 1.0) * (k.1 - s));
                let p = k.2 * libm::pow(here / c, 2.0 * g / (g - 1.0));
                (k.0 * libm::pow(here / c, 2.0 / (g - 1.0)), u, p)
            }
        };
        (rho, sign * u, p)
    }
}
