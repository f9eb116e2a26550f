//! Air speed at the slide with the throttle open, before anything is simulated.

use std::f64::consts::PI;

use serde::Serialize;

use crate::hardware::machine::Machine;

/// Filling assumed [-]. Common practice for a mild single: 0.80 to 0.88.
pub const ASSUMED_FILLING: f64 = 0.85;
/// Mean flow coefficient of an inlet valve over its lift, on the head's area [-]. Source: mean of C. F. Taylor's curve
/// over a sine lift to a quarter of the head is 0.36; textbooks use 0.35 (from memory).
pub const MEAN_FLOW_COEFFICIENT: f64 = 0.35;

/// Air speeds at one engine speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SpeedRow {
    /// Engine speed [rpm].
    pub rpm: f64,
    /// Mean over the whole cycle [m/s]: `Q / A` with `Q = V_d rpm / 120 ve`.
    pub cycle_mean: f64,
    /// Mean over the intake stroke [m/s]: `4 Q / A`.
    pub stroke_mean: f64,
    /// Peak if the stroke's flow is a half sine [m/s]: `pi/2` of that mean.
    pub peak: f64,
    /// Air flow [g/s].
    pub air: f64,
    /// Mean inlet Mach index [-]: `(B/D)^2 Sp / (Ci a)`, filling falls when it passes about 0.5.
    pub mach_index: f64,
}

/// Rows at about 0.45, 0.7, 0.85 and 1 of the highest speed, to the nearest 100 rpm.
#[must_use]
pub fn rows(machine: &Machine) -> Vec<SpeedRow> {
    let highest = machine.engine.highest_rpm;
    let parts = [0.45, 0.7, 0.85].map(|s| (s * highest / 100.0).round() * 100.0);
    parts.into_iter().chain([highest]).map(|rpm| row(machine, rpm)).collect()
}

/// Air speeds at `rpm`.
#[must_use]
pub fn row(machine: &Machine, rpm: f64) -> SpeedRow {
    let crank = &machine.engine.crank;
    let valve = &machine.engine.inlet_valve;
    let q = crank.swept_volume() * rpm / 120.0 * ASSUMED_FILLING;
    let area = machine.carburettor.slide.bore_area();
    let sound = (1.4 * machine.air.gas_constant() * machine.air.temperature).sqrt();
    let heads = f64::from(valve.count) * valve.head_diameter * valve.head_diameter;
    SpeedRow {
        rpm,
        cycle_mean: q / area,
        stroke_mean: 4.0 * q / area,
        peak: 2.0 * PI * q / area,
        air: q * machine.air.density() * 1e3,
        mach_index: crank.bore * crank.bore / heads * crank.mean_piston_speed(rpm) / (MEAN_FLOW_COEFFICIENT * sound),
    }
}
