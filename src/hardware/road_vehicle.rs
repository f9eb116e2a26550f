//! What the engine moves: mass, shape, tyre and gears.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::laws::road_load::{climbing, crank_power, drag, rolling};

/// A vehicle on a straight road. Gears count from 1, the lowest first.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RoadVehicle {
    /// Mass with rider and load [kg].
    pub mass: f64,
    /// Drag coefficient times frontal area [m2].
    pub drag_area: f64,
    /// Coefficient of rolling resistance [-].
    pub rolling: f64,
    /// Way per turn of the driven wheel [m].
    pub tyre_circumference: f64,
    /// Turns of the crank per turn of the gearbox input [-].
    pub primary: f64,
    /// Turns of the gearbox input per turn of its output in each gear [-], falling.
    pub gears: Vec<f64>,
    /// Turns of the gearbox output per turn of the wheel [-].
    pub final_drive: f64,
    /// Power on the road over power at the crank [-].
    pub efficiency: f64,
    /// Rise over level distance [-], negative downhill.
    pub grade: f64,
    /// Wind against the vehicle [m/s], negative from behind.
    pub headwind: f64,
}

impl RoadVehicle {
    /// Turns of the crank per turn of the wheel in `gear` [-]; none if there is no such gear.
    #[must_use]
    pub fn overall(&self, gear: usize) -> Option<f64> {
        self.gears.get(gear.checked_sub(1)?).map(|ratio| self.primary * ratio * self.final_drive)
    }

    /// Crank speed [rpm] at `speed` [m/s] in `gear`.
    #[must_use]
    pub fn rpm(&self, speed: f64, gear: usize) -> Option<f64> {
        Some(60.0 * speed / self.tyre_circumference * self.overall(gear)?)
    }

    /// Road speed [m/s] at `rpm` in `gear`.
    #[must_use]
    pub fn speed(&self, rpm: f64, gear: usize) -> Option<f64> {
        Some(rpm / 60.0 * self.tyre_circumference / self.overall(gear)?)
    }

    /// Resistance [N] at `speed` [m/s] in air of `density` [kg/m3].
    #[must_use]
    pub fn resistance(&self, speed: f64, density: f64) -> f64 {
        drag(self.drag_area, density, speed + self.headwind)
            + rolling(self.mass, self.rolling, self.grade)
            + climbing(self.mass, self.grade)
    }

    /// Power wanted at the crank [W] at `speed` [m/s] in air of `density` [kg/m3]; negative where the vehicle drives it.
    #[must_use]
    pub fn crank_power(&self, speed: f64, density: f64) -> f64 {
        crank_power(self.resistance(speed, density), speed, self.efficiency)
    }

    /// Torque wanted at the crank [N m] at `speed` [m/s] in `gear`.
    #[must_use]
    pub fn crank_torque(&self, speed: f64, gear: usize, density: f64) -> Option<f64> {
        Some(self.crank_power(speed, density) / (self.rpm(speed, gear)? * PI / 30.0))
    }

    /// What the mass of the vehicle weighs on the crank in `gear` [kg m2]: `m (C/(2 pi G))^2/e`, with the way `C` per
    /// turn of the wheel, the ratio `G` and the efficiency `e`. Kinetic energy, the loss on the way counted. Wheels,
    /// gears and crank are not in it.
    #[must_use]
    pub fn crank_inertia(&self, gear: usize) -> Option<f64> {
        let arm = self.tyre_circumference / (2.0 * PI * self.overall(gear)?);
        Some(self.mass * arm * arm / self.efficiency)
    }
}
