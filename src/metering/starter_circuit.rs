//! The starter circuit: starter jet, well, air of its own, plunger, outlet behind the slide.
//!
//! A column in the well and an emulsion chamber under the plunger, as in the pilot circuit. The outlet lies behind the slide, so that
//! its suction is that of the manifold: large with the slide shut, next to nothing once it has risen. A shut plunger passes nothing,
//! and such a circuit is not made at all.
//!
//! Not modelled: the stock of fuel that stands in a well before the first turns of a cold engine; fuel that does not evaporate
//! in the cold.

use std::f64::consts::PI;

use super::chamber::{Chamber, Opening, OpeningFlow};
use super::column::Column;
use super::main_circuit::{AIR_JET_DISCHARGE, CircuitStep, OUTLET_DISCHARGE, hole_inertance};
use super::surroundings::Surroundings;
use crate::hardware::starter::Starter;
use crate::laws::jet::JetLaw;
use crate::media::fuel::Fuel;

/// The starter circuit in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct StarterMetering {
    jet: JetLaw,
    inertance: f64,
    density: f64,
    air_area: f64,
    outlet_area: f64,
    /// Fuel column from the bowl, in the well.
    pub column: Column,
    /// Plunger's chamber, where the air joins.
    pub chamber: Chamber,
}

impl StarterMetering {
    /// The circuit at rest, its well full, at the free air's `pressure` [Pa]; none while the plunger is shut. [`Self::settle`] lowers
    /// the well to the bowl's level.
    /// `level_below_bore` [m] is the height of the floor of the bore above the fuel.
    #[must_use]
    pub fn new(parts: &Starter, level_below_bore: f64, fuel: &Fuel, pressure: f64) -> Option<Self> {
        if !parts.is_open() {
            return None;
        }
        let uncovered = parts.uncovered();
        let area = 0.25 * PI * parts.well.bore * parts.well.bore;
        let jet = hole_inertance(parts.jet.length, parts.jet.bore);
        Some(Self {
            jet: JetLaw::new(parts.jet.bore, parts.jet.length, fuel.density, fuel.viscosity),
            inertance: fuel.density * (jet + parts.well.length / area),
            density: fuel.density,
            air_area: uncovered * AIR_JET_DISCHARGE * parts.air.area(),
            outlet_area: uncovered * OUTLET_DISCHARGE * parts.outlet.area(),
            column: Column::full(area, parts.well.length, level_below_bore + parts.rise, fuel.density),
            chamber: Chamber::new(parts.chamber, pressure, fuel.density),
        })
    }

    /// Lets the well stand at the level of the bowl, as it does on an engine at rest.
    pub fn settle(&mut self) {
        let c = &mut self.column;
        (c.flow, c.void) = (0.0, (c.area * c.lift).clamp(0.0, c.passage_volume));
    }

    /// One step of `dt` [s].
    pub fn step(&mut self, dt: f64, around: &Surroundings) -> CircuitStep {
        let mut column = self.column;
        let jet = &self.jet;
        let drive = around.bowl.p - self.chamber.pressure;
        let s = column.step(dt, drive, self.inertance, |q| jet.loss_and_slope(q));
        self.column = column;
        let openings = [
            Opening { effective_area: self.air_area, outside: around.air_jets, passes_liquid: false },
            Opening { effective_area: self.outlet_area, outside: around.outlet, passes_liquid: true },
        ];
        let mut flows = [OpeningFlow::default(); 2];
        self.chamber.step(dt, self.density * s.delivered, &openings, &mut flows);
        CircuitStep {
            drawn: self.density * s.drawn,
            fuel: -dt * flows[1].liquid,
            air: dt * flows[0].gas,
            gas: -dt * flows[1].gas,
            emptied: s.emptied,
            ..CircuitStep::default()
        }
    }

    /// Liquid in the chamber less what is missing in the well [kg].
    #[must_use]
    pub fn fuel(&self) -> f64 {
        self.chamber.liquid - self.column.missing()
    }
}
