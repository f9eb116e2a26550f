//! The mixture that an opening engine should have.

use serde::Serialize;

use crate::setup::targets::TargetBand;
use crate::study::point::PointResult;

/// Wanted lambda against throttle: from what the engine ran on before to what it settles at, that held inside the
/// wanted band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Goal {
    /// Throttle before [-].
    pub from: f64,
    /// Throttle after [-].
    pub to: f64,
    /// Lambda before the opening [-].
    pub before: f64,
    /// Lambda wanted at the end of the opening [-].
    pub after: f64,
    /// Lambda at which the steady engine settles there [-]; none when it does not fire.
    pub settles: Option<f64>,
    /// Band wanted there [-].
    pub band: (f64, f64),
}

/// Band for a throttle that no band covers [-]: 12.5 to 13.5 over 14.7, under load. Common practice, no source.
const ELSE: (f64, f64) = (0.85, 0.92);

impl Goal {
    /// From the steady engine `before` and `after`, and the wanted bands.
    #[must_use]
    pub fn of(before: &PointResult, after: &PointResult, targets: &[TargetBand]) -> Self {
        let band = |throttle: f64| {
            let covers = |b: &&TargetBand| b.throttle_from <= throttle && throttle <= b.throttle_to;
            targets.iter().rev().find(covers).map_or(ELSE, |b| (b.lambda_rich, b.lambda_lean))
        };
        let lambda = |p: &PointResult| p.lambda.filter(|l| p.fired && l.is_finite());
        let (at_start, at_end) = (band(before.throttle), band(after.throttle));
        let middle = |b: (f64, f64)| 0.5 * (b.0 + b.1);
        let settles = lambda(after);
        Self {
            from: before.throttle,
            to: after.throttle,
            before: lambda(before).unwrap_or_else(|| middle(at_start)),
            after: settles.map_or_else(|| middle(at_end), |l| l.clamp(at_end.0, at_end.1)),
            settles,
            band: at_end,
        }
    }

    /// Wanted lambda at a throttle between the two [-].
    #[must_use]
    pub fn lambda(&self, throttle: f64) -> f64 {
        let opened = ((throttle - self.from) / (self.to - self.from)).clamp(0.0, 1.0);
        self.before + opened * (self.after - self.before)
    }

    /// Whether the steady engine settles leaner than the wanted band, or does not fire: no pump can mend that.
    #[must_use]
    pub fn settles_lean(&self) -> bool {
        self.settles.is_none_or(|l| l > self.band.1)
    }
}
