//! What the engine asks of the bowl at one operating point, and how that follows the level.

use serde::{Deserialize, Serialize};

use crate::hardware::machine::Machine;
use crate::numeric::table::linear;
use crate::study::point::PointResult;

/// Lambda from which a cruising single surges [-]: 15 parts of air on petrol's 14.7. Common practice, no source.
pub const LEAN: f64 = 15.0 / 14.7;
/// Share by which a mixture that is beyond [`LEAN`] from the start must grow leaner to count [-].
const LEANER: f64 = 0.05;

/// One simulated operating point with the fuel lowered.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LevelPoint {
    /// How far the fuel stands below the set level [m].
    pub fall: f64,
    /// Fuel taken [m3/s].
    pub fuel_m3_s: f64,
    /// Lambda in the cylinder [-]; none without fuel.
    pub lambda: Option<f64>,
    /// Brake torque [N m].
    pub torque_nm: Option<f64>,
    /// Whether the charge burns.
    pub fired: bool,
    /// Whether the point is periodic.
    pub converged: bool,
}

impl LevelPoint {
    /// From a simulated point of `machine`; none if it gave no number.
    #[must_use]
    pub fn of(machine: &Machine, fall: f64, point: &PointResult) -> Option<Self> {
        let fuel_m3_s = 1e-3 * point.fuel_g_s? / machine.fuel.density;
        Some(Self {
            fall,
            fuel_m3_s: fuel_m3_s.max(0.0),
            lambda: point.lambda,
            torque_nm: point.torque_nm,
            fired: point.fired,
            converged: point.converged,
        })
    }
}

/// Fuel and mixture against the level, straight lines between the simulated points and held beyond them.
#[derive(Debug, Clone, PartialEq)]
pub struct Demand {
    fuel: Vec<(f64, f64)>,
    lambda: Vec<(f64, f64)>,
    /// Fall at which the charge burns no longer [m]: the first simulated level at which it does not.
    pub silent: Option<f64>,
}

impl Demand {
    /// From points with the fall rising; none without a point.
    #[must_use]
    pub fn new(levels: &[LevelPoint]) -> Option<Self> {
        let fuel: Vec<_> = levels.iter().map(|l| (l.fall, l.fuel_m3_s)).collect();
        let lambda = levels.iter().filter(|l| l.fired).filter_map(|l| Some((l.fall, l.lambda?))).collect();
        let silent = levels.iter().find(|l| !l.fired).map(|l| l.fall);
        (!fuel.is_empty()).then_some(Self { fuel, lambda, silent })
    }

    /// The same at every level.
    #[must_use]
    pub fn constant(fuel: f64, lambda: f64) -> Self {
        Self { fuel: vec![(0.0, fuel)], lambda: vec![(0.0, lambda)], silent: None }
    }

    /// Fuel [m3/s] at a `fall` [m].
    #[must_use]
    pub fn fuel(&self, fall: f64) -> f64 {
        linear(&self.fuel, fall)
    }

    /// Lambda [-] at a `fall` [m]; none if no point burns.
    #[must_use]
    pub fn lambda(&self, fall: f64) -> Option<f64> {
        Some(linear(&self.lambda, fall)).filter(|l| l.is_finite())
    }

    /// Lambda that counts as leaned out [-].
    #[must_use]
    pub fn lean_limit(&self) -> f64 {
        let full = self.lambda(0.0).unwrap_or(0.0);
        if full < LEAN { LEAN } else { full * (1.0 + LEANER) }
    }
}
