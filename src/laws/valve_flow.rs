//! Discharge coefficients of poppet valves.

use crate::numeric::table;

/// Inlet: lift over head diameter [-] and discharge coefficient on the curtain area `pi Dv L` [-].
///
/// Middles of the ranges of Heywood, *Internal Combustion Engine Fundamentals*, 1988, fig. 6-18 (from memory), smoothed
/// so that they fall; shape +-0.05.
const INLET: [(f64, f64); 6] = [(0.05, 0.68), (0.10, 0.67), (0.15, 0.625), (0.20, 0.585), (0.25, 0.525), (0.30, 0.475)];

/// Discharge coefficient [-] of an inlet valve on its curtain area `pi Dv L`, at `lift_over_diameter` [-].
///
/// Straight lines between the points, constant beyond the ends (0.68 below 0.05; 0.475 above 0.30, where the port
/// decides and the curtain area no longer does). For a 45-degree seat and flow into the cylinder; reversed flow is
/// taken with the same coefficient (no measured table at hand). Not modelled: the regimes of flow separation, the
/// hysteresis between them, Reynolds number, seat and cone shapes.
#[must_use]
pub fn discharge_curtain(lift_over_diameter: f64) -> f64 {
    table::linear(&INLET, lift_over_diameter)
}

/// Discharge coefficient [-] of an exhaust valve on its curtain area: that of the inlet.
///
/// Heywood, fig. 6-21 (from memory) has the same level (0.7 falling to 0.5 to 0.6) and a small dependence on the pressure
/// ratio; within the +-0.05 of the table there is no reason for a second one.
#[must_use]
pub fn discharge_curtain_exhaust(lift_over_diameter: f64) -> f64 {
    discharge_curtain(lift_over_diameter)
}
