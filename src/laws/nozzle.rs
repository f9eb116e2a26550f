//! Isentropic flow of a perfect gas through a restriction, choked or not.

use crate::numeric::power::power;

/// Pressure ratio `pt/p0` [-] at and below which the flow is choked: `(2/(g+1))^(g/(g-1))`.
///
/// Source: Heywood, *Internal Combustion Engine Fundamentals*, 1988, eq. C.9 (from memory); exact.
#[must_use]
pub fn critical_ratio(gamma: f64) -> f64 {
    power(2.0 / (gamma + 1.0), gamma / (gamma - 1.0))
}

/// Choked mass flow over `A p0 / sqrt(R T0)` [-]: `sqrt(g) (2/(g+1))^((g+1)/(2(g-1)))`. Source: as `critical_ratio`.
#[must_use]
pub fn choked_coefficient(gamma: f64) -> f64 {
    gamma.sqrt() * power(2.0 / (gamma + 1.0), 0.5 * (gamma + 1.0) / (gamma - 1.0))
}

/// Critical ratio that no gas exceeds [-]: `exp(-1/2)`, the limit as `gamma` falls to 1, rounded up.
const HIGHEST_CRITICAL: f64 = 0.606_531;

/// Mass flow [kg/s] from rest at `p0` [Pa] and `t0` [K] through `effective_area` (discharge coefficient times area
/// [m2]) to the throat pressure `pt` [Pa], for a gas of constant `r` [J/(kg K)] and heat-capacity ratio `gamma`:
///
/// `Cd A p0/sqrt(R T0) (pt/p0)^(1/g) { 2g/(g-1) [1 - (pt/p0)^((g-1)/g)] }^0.5`, and the choked flow at and below the critical
/// ratio. A throat pressure at or above `p0` gives 0: the caller decides which side is upstream.
///
/// Source: Heywood, eqs C.8 and C.9 (from memory); exact for a perfect gas.
#[must_use]
pub fn mass_flow(effective_area: f64, p0: f64, t0: f64, r: f64, gamma: f64, pt: f64) -> f64 {
    let capacity = effective_area * p0 / (r * t0).sqrt();
    let ratio = pt / p0;
    if ratio >= 1.0 {
        return 0.0;
    }
    if ratio <= HIGHEST_CRITICAL && ratio <= critical_ratio(gamma) {
        return capacity * choked_coefficient(gamma);
    }
    // with z = ratio^((g-1)/g): ratio^(1/g) = ratio/z; expm1 keeps small differences of pressure exact
    let exponent = (gamma - 1.0) / gamma;
    let drop = -libm::expm1(exponent * libm::log(ratio));
    capacity * ratio / (1.0 - drop) * (2.0 / exponent * drop).sqrt()
}

/// Mass flow over the incompressible `Cd A sqrt(2 rho0 (p0 - pt))` [-] at the pressure ratio `ratio = pt/p0`; 1 at no drop.
#[must_use]
pub fn compressibility(ratio: f64, gamma: f64) -> f64 {
    let drop = 1.0 - ratio;
    if drop <= 0.0 {
        return 1.0;
    }
    // unit area, p0 = 1, R T0 = 1, hence rho0 = 1
    mass_flow(1.0, 1.0, 1.0, 1.0, gamma, ratio) / (2.0 * drop).sqrt()
}

/// Flow function [-] `m sqrt(R T0) / (A p0) = M sqrt(g) (1 + (g-1)/2 M^2)^(-(g+1)/(2(g-1)))` at Mach number `mach`.
///
/// Source: Heywood, app. C (from memory); exact.
#[must_use]
pub fn flow_function(mach: f64, gamma: f64) -> f64 {
    let theta = 1.0 + 0.5 * (gamma - 1.0) * mach * mach;
    mach * gamma.sqrt() * power(theta, -0.5 * (gamma + 1.0) / (gamma - 1.0))
}

/// Bound on the steps of `mach_from_flow_function`; bisection alone needs 44 to the tolerance.
const MAX_STEPS: u32 = 60;
/// Error of the Mach number at which the search has converged [-].
const MACH_TOLERANCE: f64 = 1.0e-14;

/// Subsonic Mach number [-] at which the flow function is `d`; 0 for `d <= 0`, 1 at and above the choked value.
///
/// Newton's method on the logarithm of the flow function, which rises and is concave between 0 and 1, inside a shrinking
/// bracket; it starts from the parabola that touches the choked point, `1 - sqrt((g+1)/2 (1 - d/d_choked))`, or from
/// `d/sqrt(g)` for slow flow, takes three to five steps and at most `MAX_STEPS`. Not a number gives not a number.
#[must_use]
pub fn mach_from_flow_function(d: f64, gamma: f64) -> f64 {
    if d.is_nan() {
        return f64::NAN;
    }
    if d <= 0.0 {
        return 0.0;
    }
    let choked = choked_coefficient(gamma);
    if d >= choked {
        return 1.0;
    }
    let root_gamma = gamma.sqrt();
    let exponent = 0.5 * (gamma + 1.0) / (gamma - 1.0);
    let (mut lo, mut hi) = (0.0, 1.0);
    let slow = d / root_gamma;
    let mut mach = (1.0 - (0.5 * (gamma + 1.0) * (1.0 - d / choked)).sqrt()).max(slow).min(1.0 - f64::EPSILON);
    for _ in 0..MAX_STEPS {
        let theta = 1.0 + 0.5 * (gamma - 1.0) * mach * mach;
        let excess = libm::log(mach / slow) - exponent * libm::log(theta);
        if excess > 0.0 {
            hi = mach;
        } else {
            lo = mach;
        }
        // d(ln D)/dM = (1 - M^2) / (M theta)
        let newton = mach - excess * mach * theta / (1.0 - mach * mach);
        let next = if newton >= lo && newton <= hi { newton } else { 0.5 * (lo + hi) };
        let step = next - mach;
        mach = next;
        // quadratic convergence: the error left is about step^2 / (1 - M)
        if step * step < MACH_TOLERANCE * (1.0 - mach) {
            break;
        }
    }
    mach
}
