//! Where a mixture stands against the wanted band.

use super::map::MapResult;
use super::point::PointResult;
use crate::setup::targets::TargetBand;

/// Where a mixture stands against the wanted band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// Inside the band.
    Within,
    /// Leaner than the lean edge, by this share of it [-].
    Leaner(f64),
    /// Richer than the rich edge, by this share of it [-].
    Richer(f64),
    /// No band counts at this throttle.
    NoBand,
    /// There is no mixture to judge: no fuel, or the point did not converge.
    NoMixture,
}

impl Verdict {
    /// Judge `lambda` [-] against `band`.
    #[must_use]
    pub fn of(band: Option<&TargetBand>, lambda: Option<f64>) -> Self {
        let Some(lambda) = lambda.filter(|l| l.is_finite()) else { return Self::NoMixture };
        match band {
            None => Self::NoBand,
            Some(band) if lambda > band.lambda_lean => Self::Leaner(lambda / band.lambda_lean - 1.0),
            Some(band) if lambda < band.lambda_rich => Self::Richer(1.0 - lambda / band.lambda_rich),
            Some(_) => Self::Within,
        }
    }

    /// Judge a point of a map; a point that is not periodic is not judged.
    #[must_use]
    pub fn of_point(map: &MapResult, point: &PointResult) -> Self {
        let lambda = point.lambda.filter(|_| point.converged);
        Self::of(map.target(point.throttle), lambda)
    }
}
