//! Two-phase outlets: liquid and gas leaving through one hole, with slip.

/// Steps of the search for a slip near another before it is computed anew; one or two are usual.
const MOST_STEPS: u32 = 4;
/// Relative step of the slip after which it is exact to round-off [-].
const TOLERANCE: f64 = 1e-5;

/// Slip ratio [-], speed of the gas over speed of the liquid: `(rho_l / rho_g)^(1/3)`.
///
/// Source: Zivi, J. Heat Transfer 86, 247 (1964) (from memory); recommended for small channels by Abdelall et al. (as
/// quoted in a later review). About 8.5 for petrol and air.
#[must_use]
pub fn zivi_slip(rho_l: f64, rho_g: f64) -> f64 {
    libm::cbrt(rho_l / rho_g)
}

/// The same from a slip that is `near` it, that of the last step [-]; nothing or less is no guess. Halley's method on
/// the cube root, whose relative error after a step is the cube of the one before.
#[must_use]
pub fn zivi_slip_near(rho_l: f64, rho_g: f64, near: f64) -> f64 {
    let ratio = rho_l / rho_g;
    let mut slip = near;
    for _ in 0..MOST_STEPS {
        let cube = slip * slip * slip;
        let change = (ratio - cube) / (2.0 * cube + ratio);
        slip += slip * change;
        if change.abs() < TOLERANCE {
            return slip;
        }
    }
    zivi_slip(rho_l, rho_g)
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

#[cfg(test)]
mod tests {
    use super::{zivi_slip, zivi_slip_near};

    // Exact: the cube root of the mathematical library.
    #[test]
    fn a_slip_sought_from_another_is_the_cube_root() {
        for rho_g in [0.3, 1.2, 7.0] {
            let want = zivi_slip(740.0, rho_g);
            for near in [want, 1.001 * want, 0.9 * want, 3.0 * want, 1e3, 0.0, -1.0, f64::NAN] {
                let got = zivi_slip_near(740.0, rho_g, near);
                assert!((got / want - 1.0).abs() < 5e-15, "{near}: {got} {want}");
            }
        }
    }
}
