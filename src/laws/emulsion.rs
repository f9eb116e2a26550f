//! Two-phase outlets: liquid and gas leaving through one hole, with slip.

/// Slip ratio [-], speed of the gas over speed of the liquid: `(rho_l / rho_g)^(1/3)`.
///
/// Source: Zivi, J. Heat Transfer 86, 247 (1964) (from memory); recommended for small channels by Abdelall et al. (as
/// quoted in a later review). About 8.5 for petrol and air.
#[must_use]
pub fn zivi_slip(rho_l: f64, rho_g: f64) -> f64 {
    libm::cbrt(rho_l / rho_g)
}

/// Density [kg/m3] that makes `m = Cd A sqrt(2 rho dp)` hold for a stream of gas mass share `q` [-] leaving with slip:
///
/// `1 / { [q/rho_g + S(1-q)/rho_l] [q + (1-q)/S] }`.
///
/// `rho_l` for `q = 0`, `rho_g` for `q = 1`, the homogeneous density for `S = 1`; `q` is held between 0 and 1.
/// Source: momentum flux of separated flow; Abdelall et al., as above.
#[must_use]
pub fn outlet_density(q: f64, rho_g: f64, rho_l: f64, slip: f64) -> f64 {
    let q = q.clamp(0.0, 1.0);
    let liquid = 1.0 - q;
    1.0 / ((q / rho_g + slip * liquid / rho_l) * (q + liquid / slip))
}
