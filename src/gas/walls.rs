//! Friction and heat at the wall of a duct.

/// Wall friction `f |u|/(2D)` [1/s] and heat conductance per volume and per cp `(f/8) rho |u| 4/D`
/// [kg/(m3 s)] of gas of density `rho` [kg/m3], velocity `u` [m/s] and temperature `t` [K] in a duct of `area` [m2].
///
/// Darcy factor of a smooth round pipe, `f = max(64/Re, 0.316 Re^-1/4)` (Blasius, valid to Re 1e5), heat by the
/// Reynolds analogy `St = f/8`. Viscosity of air, linear between 273 and 500 K within 3 %. Source: textbook relations
/// (White, *Fluid Mechanics*, from memory); unsteadiness of the wall layer is not modelled.
#[inline(always)]
#[must_use]
pub fn walls(rho: f64, u: f64, t: f64, area: f64) -> (f64, f64) {
    let d = (area * (4.0 / std::f64::consts::PI)).sqrt();
    let speed = u.abs();
    let viscosity = 1.72e-5 + 4.3e-8 * (t - 273.15);
    let re = rho * speed * d / viscosity + 1e-3;
    let turbulent = 0.316 / re.sqrt().sqrt();
    let laminar = 64.0 / re;
    let f = if laminar > turbulent { laminar } else { turbulent };
    (f * speed / (2.0 * d), 0.5 * f * rho * speed / d)
}
