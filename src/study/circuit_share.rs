//! Which circuit gives how much of the fuel.

use super::point::PointResult;

/// Names of the circuits, in the order of [`circuit_shares`].
pub const CIRCUITS: [&str; 3] = ["pilot", "needle jet", "starter"];

/// Share of pilot, needle jet (main jet included) and starter in the fuel of a point [-]; nothing if there is no fuel
/// to share. A circuit that took in air over the cycle counts as 0.
#[must_use]
pub fn circuit_shares(point: &PointResult) -> Option<[f64; 3]> {
    let part = |v: Option<f64>| v.filter(|v| v.is_finite()).map_or(0.0, |v| v.clamp(0.0, 1e12));
    let parts = [part(point.fuel_pilot_g_s), part(point.fuel_main_g_s), part(point.fuel_starter_g_s)];
    let sum: f64 = parts.iter().sum();
    (sum > 0.0).then(|| parts.map(|p| p / sum))
}
