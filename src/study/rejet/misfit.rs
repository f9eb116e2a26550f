//! How far a map is from its wanted mixture, as one number.
//!
//! At each point with a wanted band of lambda, `m` its middle and `h` half its width, with `off = lambda - m` and
//! `out = max(0, |off| - h)`, the loss is `w (out^2 + 0.1 off^2)`: outside the band the distance from its edge counts,
//! inside a small pull to the middle is left. The misfit is the root of the mean loss over the points, in lambda.
//!
//! The weight `w` is 1 on the rich side, 2 on the lean side, and 4 on the lean side from half throttle on, where lean
//! running overheats piston and exhaust valve while rich running costs fuel and a little torque (common practice, no
//! source). `out` counts in full up to 0.2; beyond, where a charge hardly burns, it counts as
//! `0.25 - 0.05 exp(-(out - 0.2) / 0.2)`, which stays below 0.25: so that a mixture far off still gets better by a
//! step. A point that does not fire, did not converge, or gave no number, counts as 0.25 off: the last cycle of a run that
//! has not settled is no mixture to jet by.

use super::super::map::Grid;
use super::super::point::PointResult;
use crate::setup::targets::TargetBand;

/// Weight of the lean side [-].
pub const LEAN: f64 = 2.0;
/// Weight of the lean side under load [-].
pub const LEAN_AT_LOAD: f64 = 4.0;
/// Throttle from which lean running counts as under load [-].
pub const LOAD_FROM: f64 = 0.5;
/// Pull to the middle of a band against the distance from its edge [-].
pub const PULL: f64 = 0.1;
/// Distance that an unfired point counts as, and the largest that counts [lambda].
pub const UNFIRED: f64 = 0.25;

/// Richest and leanest wanted lambda of a point, the richest minus infinity where it is only to get no leaner; none where
/// nothing is wanted.
pub type Wanted = Option<(f64, f64)>;

/// What is wanted of a point that no jet can cure: no leaner than `lambda`, nothing else.
#[must_use]
pub fn no_leaner(lambda: f64) -> Wanted {
    Some((f64::NEG_INFINITY, lambda))
}

/// Whether a point has a band, and so a part in the mean.
#[must_use]
pub fn has_band(wanted: &Wanted) -> bool {
    wanted.is_some_and(|band| band.0.is_finite())
}

/// What is wanted at each point of `grid`, in its order, by the bands of a set-up.
#[must_use]
pub fn wanted(grid: &Grid, bands: &[TargetBand]) -> Vec<Wanted> {
    let band = |t: f64| {
        let found = bands.iter().find(|b| t >= b.throttle_from - 1e-9 && t <= b.throttle_to + 1e-9);
        found.map(|b| (b.lambda_rich, b.lambda_lean))
    };
    grid.throttles.iter().flat_map(|t| std::iter::repeat_n(band(*t), grid.speeds.len())).collect()
}

/// Mixture of a point as far as the loss asks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mixture {
    /// Throttle [-].
    pub throttle: f64,
    /// Lambda, if there is a number and the point converged.
    pub lambda: Option<f64>,
    /// Whether the charge burns.
    pub fired: bool,
}

impl Mixture {
    /// That of a point.
    #[must_use]
    pub fn of(point: &PointResult) -> Self {
        let lambda = point.lambda.filter(|l| point.converged && l.is_finite() && *l > 0.0);
        Self { throttle: point.throttle, lambda, fired: point.fired }
    }
}

/// Weight of the lean side at `throttle` [-].
#[must_use]
pub fn lean_weight(throttle: f64) -> f64 {
    if throttle >= LOAD_FROM - 1e-9 { LEAN_AT_LOAD } else { LEAN }
}

/// Distance that counts in full [lambda].
const IN_FULL: f64 = 0.2;

/// `out` as it counts.
fn bent(out: f64) -> f64 {
    if out <= IN_FULL { out } else { UNFIRED - (UNFIRED - IN_FULL) * libm::exp(-(out - IN_FULL) / IN_FULL) }
}

/// Loss of one point [lambda squared].
#[must_use]
pub fn loss(mixture: Mixture, (rich, lean): (f64, f64)) -> f64 {
    let lean_side = lean_weight(mixture.throttle);
    let Some(lambda) = mixture.lambda else { return lean_side * UNFIRED * UNFIRED };
    if !rich.is_finite() {
        let out = bent((lambda - lean).max(0.0));
        return lean_side * out * out;
    }
    let off = lambda - 0.5 * (rich + lean);
    let weight = if off > 0.0 { lean_side } else { 1.0 };
    if !mixture.fired {
        return weight * UNFIRED * UNFIRED;
    }
    let out = bent((off.abs() - 0.5 * (lean - rich)).max(0.0));
    let pull = off.abs().min(UNFIRED);
    weight * (out * out + PULL * pull * pull)
}

/// Mean loss [lambda squared]; 0 if nothing is wanted anywhere.
#[must_use]
pub fn mean_loss(mixtures: impl Iterator<Item = Mixture>, wanted: &[Wanted]) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0_f64);
    for (mixture, band) in mixtures.zip(wanted) {
        if let Some(band) = band {
            sum += loss(mixture, *band);
            count += if has_band(&Some(*band)) { 1.0 } else { 0.0 };
        }
    }
    sum / count.max(1.0)
}

/// Misfit of `points` [lambda].
#[must_use]
pub fn misfit(points: &[PointResult], wanted: &[Wanted]) -> f64 {
    mean_loss(points.iter().map(Mixture::of), wanted).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(throttle: f64, lambda: f64) -> f64 {
        loss(Mixture { throttle, lambda: Some(lambda), fired: true }, (0.85, 0.95))
    }

    #[test]
    fn lean_counts_more_than_rich_and_most_under_load() {
        assert!((at(0.25, 1.0) / at(0.25, 0.8) - LEAN).abs() < 1e-9);
        assert!((at(1.0, 1.0) / at(1.0, 0.8) - LEAN_AT_LOAD).abs() < 1e-9);
        // 0.05 outside the edge, 0.1 from the middle
        assert!((at(0.25, 0.8) - (0.0025 + PULL * 0.01)).abs() < 1e-12);
    }

    #[test]
    fn a_mixture_far_off_still_gets_better_by_a_step() {
        for lambda in [1.2, 1.25, 1.3, 1.4] {
            assert!(at(1.0, lambda) > 1.01 * at(1.0, lambda - 0.05), "{lambda}");
        }
    }

    #[test]
    fn a_point_that_is_only_to_get_no_leaner_costs_nothing_else() {
        let held = no_leaner(1.1);
        assert!(held.is_some());
        let of = |lambda: f64| {
            held.map_or(f64::NAN, |h| loss(Mixture { throttle: 1.0, lambda: Some(lambda), fired: false }, h))
        };
        assert!([0.7, 1.0, 1.1].into_iter().all(|l| of(l) < 1e-12) && (of(1.15) / of(1.12) - 6.25).abs() < 1e-9);
        let point = |lambda: f64| Mixture { throttle: 1.0, lambda: Some(lambda), fired: true };
        let alone = mean_loss([point(0.8)].into_iter(), &[Some((0.85, 0.95))]);
        let both = mean_loss([point(0.8), point(1.1)].into_iter(), &[Some((0.85, 0.95)), no_leaner(1.1)]);
        assert!((both - alone).abs() < 1e-15, "{both} {alone}");
    }

    #[test]
    fn the_middle_of_the_band_is_best_and_nothing_is_worse_than_not_firing() {
        assert!(at(1.0, 0.9) < 1e-12 && at(1.0, 0.93) > 0.0 && at(1.0, 0.93) < at(1.0, 0.96));
        let silent = Mixture { throttle: 1.0, lambda: None, fired: false };
        for lambda in [0.3, 0.7, 1.0, 1.15] {
            assert!(at(1.0, lambda) <= loss(silent, (0.85, 0.95)) * (1.0 + PULL), "{lambda}");
        }
    }
    #[test]
    fn a_point_that_did_not_converge_is_no_mixture() {
        let failed = PointResult::failed(1.0, 3000.0, 60, String::new());
        let good = PointResult { lambda: Some(0.9), fired: true, converged: true, ..failed };
        let open = PointResult { converged: false, ..good.clone() };
        assert_eq!((Mixture::of(&good).lambda, Mixture::of(&open).lambda), (Some(0.9), None));
        let band = [Some((0.85, 0.95))];
        assert!(misfit(&[good], &band) < 1e-12 && misfit(&[open], &band) > UNFIRED);
    }
}
