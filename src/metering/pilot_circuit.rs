//! The pilot circuit: pilot jet, pilot air, mixture screw, outlet behind the slide, by-pass holes.

use std::f64::consts::PI;

use super::chamber::{Chamber, Opening, OpeningFlow};
use super::column::Column;
use super::main_circuit::{AIR_JET_DISCHARGE, CircuitStep, OUTLET_DISCHARGE, hole_inertance};
use super::surroundings::Surroundings;
use crate::hardware::carburettor::PilotCircuit;
use crate::hardware::mixture_screw::ScrewKind;
use crate::laws::jet::JetLaw;
use crate::laws::orifice::series;
use crate::media::fuel::Fuel;

/// Share of the pilot passage that is emulsion chamber [-]; the rest is fuel. Common practice, no source.
pub const CHAMBER_SHARE: f64 = 0.5;

/// The pilot circuit in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct PilotMetering {
    jet: JetLaw,
    inertance: f64,
    density: f64,
    openings: Vec<Opening>,
    flows: Vec<OpeningFlow>,
    /// Whether each by-pass hole lies behind the slide, and so works as another outlet.
    behind: Vec<bool>,
    /// Fuel column from the bowl.
    pub column: Column,
    /// Passage where the pilot air joins.
    pub chamber: Chamber,
}

impl PilotMetering {
    /// The circuit at rest, full of fuel, at the free air's `pressure` [Pa].
    #[must_use]
    pub fn new(parts: &PilotCircuit, level_below_bore: f64, fuel: &Fuel, pressure: f64) -> Self {
        let area = 0.25 * PI * parts.passage.bore * parts.passage.bore;
        let inertance = fuel.density
            * (hole_inertance(parts.jet.length, parts.jet.bore) + (1.0 - CHAMBER_SHARE) * parts.passage.length / area);
        let screw = parts.screw.area();
        let mut air = parts.air_jet.map_or(0.0, |j| AIR_JET_DISCHARGE * j.area());
        let mut outlet = OUTLET_DISCHARGE * parts.outlet.area();
        match parts.screw.kind {
            ScrewKind::Fuel => outlet = series(outlet, OUTLET_DISCHARGE * screw),
            ScrewKind::Air => air = series(air, AIR_JET_DISCHARGE * screw),
        }
        let opening = |effective_area, passes_liquid| Opening {
            effective_area,
            outside: super::surroundings::Outside { p: pressure, rho: 1.2 },
            passes_liquid,
        };
        let mut openings = vec![opening(air, false), opening(outlet, true)];
        openings.extend(parts.bypass.iter().map(|b| opening(OUTLET_DISCHARGE * b.hole.area(), true)));
        Self {
            jet: JetLaw::new(parts.jet.bore, parts.jet.length, fuel.density, fuel.viscosity),
            inertance,
            density: fuel.density,
            flows: vec![OpeningFlow::default(); openings.len()],
            openings,
            behind: parts.bypass.iter().map(|b| b.upstream_of_edge < 0.0).collect(),
            column: Column::full(area, (1.0 - CHAMBER_SHARE) * parts.passage.length, level_below_bore, fuel.density),
            chamber: Chamber::new(CHAMBER_SHARE * area * parts.passage.length, pressure, fuel.density),
        }
    }

    /// One step of `dt` [s].
    pub fn step(&mut self, dt: f64, around: &Surroundings) -> CircuitStep {
        let mut column = self.column;
        let jet = &self.jet;
        let drive = around.bowl.p - self.chamber.pressure;
        let s = column.step(dt, drive, self.inertance, |q| jet.loss_and_slope(q));
        self.column = column;
        self.openings[0].outside = around.air_jets;
        self.openings[1].outside = around.outlet;
        for (o, b) in self.openings[2..].iter_mut().zip(&around.bypass) {
            o.outside = *b;
        }
        self.chamber.step(dt, self.density * s.delivered, &self.openings, &mut self.flows);
        let mut out = CircuitStep {
            drawn: self.density * s.drawn,
            fuel: -dt * self.flows[1].liquid,
            air: dt * self.flows[0].gas,
            gas: -dt * self.flows[1].gas,
            emptied: s.emptied,
            ..CircuitStep::default()
        };
        for (f, behind) in self.flows[2..].iter().zip(&self.behind) {
            if *behind {
                out.fuel -= dt * f.liquid;
                out.gas -= dt * f.gas;
                continue;
            }
            out.fuel_bypass -= dt * f.liquid;
            if f.gas < 0.0 {
                out.bypass_out -= dt * f.gas;
            } else {
                out.bypass_in += dt * f.gas;
            }
        }
        out
    }

    /// Sets the area of by-pass hole `i` [m2]: of a hole that a butterfly's edge crosses, each side has a part.
    pub fn set_bypass_area(&mut self, i: usize, area: f64) {
        self.openings[2 + i].effective_area = OUTLET_DISCHARGE * area;
    }

    /// Flow of each opening in the last step, into the circuit positive: air jet, outlet, by-pass holes.
    #[must_use]
    pub fn flows(&self) -> &[OpeningFlow] {
        &self.flows
    }
}
