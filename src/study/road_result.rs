//! What a map says about the road.

use serde::{Deserialize, Serialize};

use super::map::MapResult;
use super::road::{Asked, LEAST_RPM, OnRoad, RoadPoint};
use super::road_line::{Between, GearLine};
use super::top_speed::{self, Ends, TopSpeed};
use crate::hardware::road_vehicle::RoadVehicle;
use crate::units::road::SpeedUnit;

/// A speed that was asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Here {
    /// What was asked.
    pub asked: Asked,
    /// Where the machine rides then, solved on the running engine.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub point: Option<RoadPoint>,
    /// Why it cannot be held.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub refused: Option<String>,
    /// All of it in words.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub sentence: String,
}

/// Where on the map the machine rides.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RoadResult {
    /// The vehicle.
    pub vehicle: RoadVehicle,
    /// Density of the free air [kg/m3].
    pub air_density: f64,
    /// The unit in which speeds are said.
    pub unit: SpeedUnit,
    /// Crank speed from which a rider takes a gear above the first [rpm].
    pub usual_rpm: f64,
    /// The highest speed, between the points of the map; none where the map does not say.
    pub top: Option<TopSpeed>,
    /// The line of each gear, between the points of the map.
    pub lines: Vec<GearLine>,
    /// Speeds that were asked for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub here: Vec<Here>,
}

impl RoadResult {
    /// The lines of `map`, without speeds asked for.
    #[must_use]
    pub fn of(map: &MapResult, road: &OnRoad<'_>, unit: SpeedUnit) -> Self {
        let between = Between::of(map);
        let covers = |top: &TopSpeed| {
            // an end of the map is no end of the engine
            let last = map.grid.speeds.last().copied().unwrap_or(f64::NAN);
            top.ends == Ends::Power || last >= road.machine.engine.highest_rpm * (1.0 - 1e-6)
        };
        let top = between.full_throttle().and_then(|full| top_speed::on_curve(road, &full)).filter(covers);
        Self {
            vehicle: road.vehicle.clone(),
            air_density: road.machine.air.density(),
            unit,
            usual_rpm: LEAST_RPM * road.machine.engine.idle_rpm,
            top,
            lines: between.lines(road, unit),
            here: Vec::new(),
        }
    }
}
