//! What the road takes and what the gears give, before anything is simulated.

use serde::Serialize;

use super::super::setup::Setup;
use crate::units::road::SpeedUnit;

/// Highest speed of the table [m/s] whatever the gearing.
const FASTEST: f64 = 60.0;

/// What a speed takes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoadRow {
    /// Road speed [m/s].
    pub speed_m_s: f64,
    /// Resistance [N].
    pub resistance_n: f64,
    /// Power wanted at the crank [kW].
    pub power_kw: f64,
    /// Crank speed in each gear [rpm], the lowest gear first; none outside idle to highest.
    pub rpm: Vec<Option<f64>>,
}

/// Rows of round speeds in km/h up to the engine's highest speed in the highest gear; none without a vehicle.
#[must_use]
pub fn rows(setup: &Setup) -> Vec<RoadRow> {
    let Some(vehicle) = &setup.road else { return Vec::new() };
    let (engine, unit) = (&setup.machine.engine, SpeedUnit::KmPerHour);
    let density = setup.machine.air.density();
    let fastest = vehicle.speed(engine.highest_rpm, vehicle.gears.len()).unwrap_or(0.0).min(FASTEST);
    let last = (unit.from_si(fastest) / unit.mark()).floor() as u32;
    let row = |i: u32| {
        let speed = unit.to_si(f64::from(i) * unit.mark());
        let able = |rpm: &f64| (engine.idle_rpm..=engine.highest_rpm).contains(rpm);
        RoadRow {
            speed_m_s: speed,
            resistance_n: vehicle.resistance(speed, density),
            power_kw: 1e-3 * vehicle.crank_power(speed, density),
            rpm: (1..=vehicle.gears.len()).map(|gear| vehicle.rpm(speed, gear).filter(able)).collect(),
        }
    };
    (1..=last).map(row).collect()
}
