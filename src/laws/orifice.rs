//! Plain holes with a given coefficient, incompressible: the textbook's carburettor.

/// Mass flow [kg/s] of a fluid of `density` [kg/m3] through `effective_area` (discharge coefficient times area [m2]),
/// driven by the pressure difference `dp` [Pa], with its sign: `Cd A sqrt(2 rho dp)`. Source: Bernoulli.
#[must_use]
pub fn mass_flow(effective_area: f64, density: f64, dp: f64) -> f64 {
    (effective_area * (2.0 * density * dp.abs()).sqrt()).copysign(dp)
}

/// Pressure difference [Pa] that drives `mass_flow` [kg/s], with its sign: the inverse of the flow law.
#[must_use]
pub fn pressure_difference(effective_area: f64, density: f64, mass_flow: f64) -> f64 {
    let speed = mass_flow / effective_area;
    0.5 * speed * speed.abs() / density
}

/// Effective area [m2] that passes `mass_flow` [kg/s] at the pressure difference `dp` [Pa], both above zero.
#[must_use]
pub fn effective_area(density: f64, dp: f64, mass_flow: f64) -> f64 {
    mass_flow / (2.0 * density * dp).sqrt()
}

/// Effective area [m2] of two holes in series, the velocity head between them lost: `1/sqrt(1/a^2 + 1/b^2)`; 0 if one
/// of them is 0.
#[must_use]
pub fn series(a: f64, b: f64) -> f64 {
    let total = a * a + b * b;
    if total > 0.0 { a * b / total.sqrt() } else { 0.0 }
}

/// Part of the resistance of two holes in series that the hole of area `a` has [-]: `(1/a^2) / (1/a^2 + 1/b^2)`, equal
/// coefficients taken. It is also the part of its own relative change by which the flow follows a small change of `a`.
/// 1 if `a` is shut.
#[must_use]
pub fn series_share(a: f64, b: f64) -> f64 {
    let (a, b) = (a * a, b * b);
    if a > 0.0 { b / (a + b) } else { 1.0 }
}

/// Air speed [m/s] at which a flush nozzle begins to deliver: the speed whose head lifts the fuel by `lip` [m]
/// above its level, `sqrt(2 rho_f g z / rho_a)`. Without the coefficient of the venturi, which some textbooks include.
#[must_use]
pub fn starting_speed(liquid_density: f64, air_density: f64, gravity: f64, lip: f64) -> f64 {
    (2.0 * liquid_density * gravity * lip / air_density).sqrt()
}
