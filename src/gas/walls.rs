//! Friction and heat at the wall of a duct.
//!
//! Darcy factor of a smooth round pipe, `f = max(64/Re, 0.316 Re^-1/4)` (Blasius, valid to Re 1e5), heat by the
//! Reynolds analogy `St = f/8`. The friction `f |u|/(2D)` [1/s] is then the larger of
//!
//! ```text
//! laminar    32 nu/D^2
//! turbulent  0.158 (nu |u|^3)^1/4 / D^5/4
//! ```
//!
//! with the kinematic viscosity `nu`, and the heat conductance per volume and per `rho cp`, `(f/8) |u| 4/D`, is the same number. Source:
//! textbook relations (White, *Fluid Mechanics*, from memory); unsteadiness of the wall layer is not modelled.

/// Viscosity of air [Pa s] at `t` [K]: linear, between 273 and 500 K within 3 %.
#[inline(always)]
#[must_use]
pub fn viscosity(t: f64) -> f64 {
    1.72e-5 + 4.3e-8 * (t - 273.15)
}

/// Turbulent friction [1/s] at a speed `|u|` [m/s] and a kinematic viscosity `nu` [m2/s]; `k` is the diameter to the power -5/4.
#[inline(always)]
#[must_use]
pub fn turbulent(k: f64, speed: f64, nu: f64) -> f64 {
    0.158 * k * (speed * (speed * nu).sqrt()).sqrt()
}

/// Laminar friction [1/s]; `k` is one over the square of the diameter [1/m2].
#[inline(always)]
#[must_use]
pub fn laminar(k: f64, nu: f64) -> f64 {
    32.0 * k * nu
}
