//! The accelerator pump: what the slide's rod does to its diaphragm, and the holes of its chamber.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::jet::Jet;

/// Where the squirt goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Aim {
    /// Along the bore, past the needle.
    Bore,
    /// At the needle.
    Needle,
}

/// An accelerator pump with a diaphragm (or a plunger), driven through a spring.
///
/// The slide's rod stays clear of the lever until the slide has risen by the gap, and pushes until the stop. Between rod and
/// diaphragm stands a spring under preload: stiff until the fuel's pressure overcomes the preload, then it yields and drives the
/// diaphragm after the rod. A return spring holds the diaphragm to the rod on the way back.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct AcceleratorPump {
    /// Slide lift at which the rod begins to push [m].
    pub rod_gap: f64,
    /// Slide lift at which the stroke ends [m].
    pub stop: f64,
    /// Travel of the diaphragm over travel of the slide [-].
    pub lever: f64,
    /// Diameter of the plunger, or of one that displaces as much as the diaphragm [m].
    pub diameter: f64,
    /// Force at which the driving spring begins to yield [N].
    pub preload: f64,
    /// Rate of the driving spring [N/m].
    pub rate: f64,
    /// Force of the return spring [N].
    pub return_force: f64,
    /// Nozzle.
    pub nozzle: Jet,
    /// Height of the nozzle's mouth above the floor of the bore [m].
    pub rise: f64,
    /// Leak jet from the chamber back to the bowl; none when there is none.
    pub leak_jet: Option<Jet>,
    /// Seat of the inlet valve.
    pub inlet: Jet,
    /// Pressure difference at which the inlet valve opens [Pa].
    pub inlet_opens: f64,
    /// Pressure difference at which the valve before the nozzle opens, also against suction at the nozzle [Pa].
    pub outlet_opens: f64,
    /// Where the squirt goes.
    pub aim: Aim,
}

impl AcceleratorPump {
    /// Area that displaces [m2].
    #[must_use]
    pub fn area(&self) -> f64 {
        0.25 * PI * self.diameter * self.diameter
    }

    /// Travel of the rod's end of the driving spring at slide `lift` [m] -> [m].
    #[must_use]
    pub fn travel(&self, lift: f64) -> f64 {
        self.lever * (lift.min(self.stop) - self.rod_gap).max(0.0)
    }

    /// Volume of a full stroke [m3].
    #[must_use]
    pub fn stroke_volume(&self) -> f64 {
        self.area() * self.travel(self.stop)
    }
}
