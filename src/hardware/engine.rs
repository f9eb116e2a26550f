//! The engine: cylinder, valves, inlet boot and port, burning, friction.

use serde::{Deserialize, Serialize};

use super::crank::Crank;
use super::duct::Piece;
use super::exhaust::Exhaust;
use super::poppet_valve::PoppetValve;

/// When the spark comes.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Spark {
    /// The straight line of an advance mechanism between its two stops; it follows neither load nor mixture.
    Advance {
        /// Spark at idle and below [rad before firing top centre].
        slow: f64,
        /// Spark at and above `full_from` [rad before firing top centre].
        full: f64,
        /// Speed up to which it stays at `slow` [rpm].
        slow_until: f64,
        /// Speed from which it stays at `full` [rpm].
        full_from: f64,
    },
    /// For best torque with a mixture of lambda 0.88 at the speed and load; it does not follow the mixture.
    BestTorque,
}

/// How the charge burns: a Wiebe function whose duration follows flame speed, speed and load.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Combustion {
    /// Crank angle from spark to end of burning under the reference conditions of the burn [rad].
    pub duration: f64,
    /// When the spark comes.
    pub spark: Spark,
}

/// Walls of the cylinder.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Walls {
    /// Mean temperature of head, piston and liner [K].
    pub temperature: f64,
    /// Factor on the heat-transfer coefficient [-]: 1 as published, 0 adiabatic.
    pub heat_factor: f64,
}

/// Friction as a mean effective pressure: `a + b p_max + c S_p + d S_p^2` (Chen and Flynn's form), and a constant power.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Friction {
    /// Constant part at high speed [Pa]; it grows towards low speed ([`crate::laws::friction::mixed_lubrication`]).
    pub constant: f64,
    /// Share of the highest cylinder pressure [-].
    pub peak_pressure: f64,
    /// Per mean piston speed [Pa s/m].
    pub speed: f64,
    /// Per mean piston speed squared [Pa s2/m2].
    pub speed_squared: f64,
    /// Power that alternator and pumps take at any speed [W].
    pub accessories: f64,
}

/// One cylinder with its inlet boot and port.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Engine {
    /// Crank, bore, stroke, compression.
    pub crank: Crank,
    /// Inlet valve or valves.
    pub inlet_valve: PoppetValve,
    /// Exhaust valve or valves.
    pub exhaust_valve: PoppetValve,
    /// Boot (manifold) and port, from the carburettor's spigot to the inlet valve.
    pub inlet: Vec<Piece>,
    /// Exhaust port, header, silencer.
    pub exhaust: Exhaust,
    /// Burning.
    pub combustion: Combustion,
    /// Cylinder walls.
    pub walls: Walls,
    /// Friction.
    pub friction: Friction,
    /// Idle speed wanted [rpm].
    pub idle_rpm: f64,
    /// Highest speed of interest [rpm].
    pub highest_rpm: f64,
}
