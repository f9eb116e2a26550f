//! Gas through the openings of an emulsion chamber, and the pressure at which as much leaves as enters.

use super::chamber::Opening;

/// Pressure drop below which the orifice law turns linear [Pa]. Common practice, no source: `Re` falls below a few
/// hundred in a half-millimetre hole there.
pub const LAMINAR_DROP: f64 = 2.0;
/// Pressure ratio below which a hole is choked [-]: `(2/(g+1))^(g/(g-1))` for air.
const CRITICAL: f64 = 0.5283;
/// Largest number of steps of the root search; a bisection of 1e7 Pa to the tolerance needs 37.
const MOST_STEPS: u32 = 60;
/// Step of the pressure with which the search ends, over the smallest drop and [`LAMINAR_DROP`] together [-]: Newton's
/// method leaves less than the square of it in the flow of any opening.
const TOLERANCE: f64 = 5e-5;

/// `sqrt(drop)` made linear below [`LAMINAR_DROP`].
fn root(drop: f64) -> f64 {
    drop / (drop + LAMINAR_DROP).sqrt()
}

/// What a hole passes from `from` to `to` [Pa], per effective area and `sqrt(2 rho)` [Pa^1/2]: the root of the drop
/// times the isentropic factor `1 - 0.53 s - 0.18 s^2` with `s = 1 - to/from`, held at the choked value below the
/// critical ratio. The factor is within 0.7 % of the exact one for air; for a two-phase outlet it is taken as it is.
fn passed(from: f64, to: f64) -> f64 {
    let (drop, s, _) = drop_and_share(from, to);
    root(drop) * (1.0 - s * (0.53 + 0.18 * s))
}

/// The drop that makes the flow [Pa], over `from` [-], and whether the hole is choked.
fn drop_and_share(from: f64, to: f64) -> (f64, f64, bool) {
    let drop = from - to;
    let s = drop / from;
    if s < 1.0 - CRITICAL { (drop, s, false) } else { ((1.0 - CRITICAL) * from, 1.0 - CRITICAL, true) }
}

/// The same, and its growth by `from` and by `to` [Pa^-1/2].
fn passed_and_slopes(from: f64, to: f64) -> (f64, f64, f64) {
    let (drop, s, choked) = drop_and_share(from, to);
    let eased = drop + LAMINAR_DROP;
    let per_root = 1.0 / eased.sqrt();
    let (root, grows) = (drop * per_root, (drop + 2.0 * LAMINAR_DROP) * per_root / (2.0 * eased));
    let factor = 1.0 - s * (0.53 + 0.18 * s);
    let value = root * factor;
    if choked {
        return (value, grows * s * factor, 0.0);
    }
    let bend = root * (0.53 + 0.36 * s) / from;
    (value, grows * factor - bend * (1.0 - s), bend - grows * factor)
}

/// Gas that an opening passes at a pressure of the chamber, into it positive.
pub(super) struct Passing {
    /// Flowing share of gas times `sqrt(2 rho_e)` of what leaves with liquid.
    pub(super) wet: f64,
    /// `sqrt(2 rho)` of gas that leaves alone.
    pub(super) dry: f64,
}

impl Passing {
    fn outward(&self, o: &Opening) -> f64 {
        o.effective_area * if o.passes_liquid { self.wet } else { self.dry }
    }

    /// Flow [kg/s] at `x` [Pa].
    pub(super) fn flow(&self, o: &Opening, x: f64) -> f64 {
        if o.outside.p >= x {
            o.effective_area * (2.0 * o.outside.rho).sqrt() * passed(o.outside.p, x)
        } else {
            -self.outward(o) * passed(x, o.outside.p)
        }
    }

    /// The same and its slope by `x` [kg/(s Pa)], never positive.
    fn flow_and_slope(&self, o: &Opening, x: f64) -> (f64, f64) {
        if o.outside.p >= x {
            let scale = o.effective_area * (2.0 * o.outside.rho).sqrt();
            let (value, _, by_to) = passed_and_slopes(o.outside.p, x);
            (scale * value, scale * by_to)
        } else {
            let scale = self.outward(o);
            let (value, by_from, _) = passed_and_slopes(x, o.outside.p);
            (-scale * value, -scale * by_from)
        }
    }
}

/// Pressure between `low` and `high` at which as much gas leaves as enters, from `guess` [Pa]: Newton's method inside a
/// shrinking bracket. At `low` gas only enters, at `high` it only leaves.
pub(super) fn balance(low: f64, high: f64, guess: f64, passing: &Passing, openings: &[Opening]) -> f64 {
    let (mut a, mut b) = (low, high);
    let mut x = if guess > low && guess < high { guess } else { 0.5 * (low + high) };
    for _ in 0..MOST_STEPS {
        let (mut sum, mut slope, mut nearest) = (0.0, 0.0, f64::INFINITY);
        for o in openings.iter().filter(|o| o.effective_area > 0.0) {
            let (flow, grows) = passing.flow_and_slope(o, x);
            sum += flow;
            slope += grows;
            let drop = (o.outside.p - x).abs();
            nearest = if drop < nearest { drop } else { nearest };
        }
        if sum > 0.0 {
            a = x;
        } else {
            b = x;
        }
        let next = x - sum / slope;
        if (next - x).abs() <= TOLERANCE * (nearest + LAMINAR_DROP) {
            return next.clamp(low, high);
        }
        x = if next > a && next < b { next } else { 0.5 * (a + b) };
        if b - a <= TOLERANCE * LAMINAR_DROP {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::metering::surroundings::Outside;

    fn opening(effective_area: f64, p: f64, passes_liquid: bool) -> Opening {
        Opening { effective_area, outside: Outside { p, rho: 1.2 * p / 1e5 }, passes_liquid }
    }

    // Identity: what enters leaves; the slopes are those of the flows themselves.
    #[test]
    fn the_pressure_found_balances_the_gas_from_any_guess() {
        let passing = Passing { wet: 0.3, dry: 1.5 };
        for outlets in [[95e3, 96e3, 97e3], [99.999e3, 100e3, 100.001e3], [20e3, 99e3, 101e3], [1e3, 180e3, 100e3]] {
            let openings = [
                opening(1e-6, 1e5, false),
                opening(7e-7, outlets[0], true),
                opening(3e-7, outlets[1], true),
                opening(3e-7, outlets[2], true),
                opening(0.0, 3e5, true),
            ];
            let low = outlets.iter().fold(1e5_f64, |a, p| a.min(*p));
            let high = outlets.iter().fold(1e5_f64, |a, p| a.max(*p));
            let exact = balance(low, high, 0.5 * (low + high), &passing, &openings);
            for share in [-1.0, 0.0, 1e-9, 0.2, 0.5, 0.999, 1.0, 7.0, f64::NAN] {
                let x = balance(low, high, low + share * (high - low), &passing, &openings);
                let flows = openings.map(|o| passing.flow(&o, x));
                let (sum, all) = flows.iter().fold((0.0, 0.0), |(s, a), f| (s + f, a + f64::abs(*f)));
                assert!(
                    (x - exact).abs() < 1e-6 * (1.0 + high - low) && f64::abs(sum) < 1e-8 * all,
                    "{x} {exact} {sum}"
                );
                for o in &openings {
                    let h = 1e-3 * (x - o.outside.p).abs().min(100.0);
                    let numeric = (passing.flow(o, x + h) - passing.flow(o, x - h)) / (2.0 * h);
                    let (flow, slope) = passing.flow_and_slope(o, x);
                    assert!((flow - passing.flow(o, x)).abs() <= 2e-15 * flow.abs());
                    assert!((slope - numeric).abs() <= 1e-4 * numeric.abs().max(1e-14), "{slope} {numeric}");
                }
            }
        }
    }
}
