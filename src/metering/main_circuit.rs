//! The main circuit: bowl, main jet, passage, needle jet with its needle, nozzle with its main air.

use std::f64::consts::PI;

use super::chamber::{Chamber, Opening, OpeningFlow};
use super::column::Column;
use super::surroundings::Surroundings;
use super::well::{Holder, Well};
use crate::hardware::bleed_well::BleedWell;
use crate::hardware::carburettor::MainCircuit;
use crate::hardware::nozzle::NozzleKind;
use crate::laws::annulus::AnnulusLaw;
use crate::laws::jet::JetLaw;
use crate::media::atmosphere::G0;
use crate::media::fuel::Fuel;

/// Discharge coefficient of an air jet [-]. Common practice: short tube, 0.8.
pub const AIR_JET_DISCHARGE: f64 = 0.8;
/// Discharge coefficient of a two-phase outlet or a by-pass hole [-]. Common practice: 0.7.
pub const OUTLET_DISCHARGE: f64 = 0.7;
/// Depth of the shroud of a primary nozzle in its mouth diameters, which gives the chamber's volume [-]. Common
/// practice, no source; it sets only a delay of about a millisecond.
pub const SHROUD_DEPTH: f64 = 1.5;
/// Share of the fuel passage that is emulsion chamber in a bleed nozzle [-]. Common practice, no source.
pub const BLEED_SHARE: f64 = 0.5;
/// Added length of the fuel moved at the two mouths of a hole, over its diameter [-]: `8/(3 pi)`, each mouth
/// adding `8/(3 pi)` radii.
/// Source: Rayleigh, *Theory of Sound* II, art. 307 (flanged opening, from memory).
pub const HOLE_END_LENGTH: f64 = 8.0 / (3.0 * PI);

/// What a circuit did in one step [kg].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CircuitStep {
    /// Fuel drawn from the bowl through the jet.
    pub drawn: f64,
    /// Fuel put into the air stream at the nozzle or pilot outlet.
    pub fuel: f64,
    /// Fuel put into the air stream at by-pass holes.
    pub fuel_bypass: f64,
    /// Gas from the free air through the air jet, negative when blown out.
    pub air: f64,
    /// Gas put into the bore at the nozzle or pilot outlet, negative when taken from it.
    pub gas: f64,
    /// Gas put into the bore at by-pass holes.
    pub bypass_out: f64,
    /// Gas taken from the bore at by-pass holes.
    pub bypass_in: f64,
    /// Whether the column was blown back to its jet.
    pub emptied: bool,
}

/// The main circuit in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct MainMetering {
    parts: MainCircuit,
    jet: JetLaw,
    annulus: AnnulusLaw,
    inertance: f64,
    density: f64,
    viscosity: f64,
    air_area: f64,
    mouth_area: f64,
    /// Depth below the floor of the bore at which air enters a bleed nozzle [m]: fuel below it, emulsion above.
    entry: Option<f64>,
    /// Fuel column from the bowl.
    pub column: Column,
    /// Shroud, or inside of the needle jet's holder, where air joins.
    pub chamber: Chamber,
    /// Well of a bleed nozzle.
    pub well: Option<Well>,
}

/// Depth below the floor of the bore at which air enters the fuel of a bleed nozzle [m]: its highest side hole, or the level of the
/// fuel, `level_below_bore` [m], when nothing is said of holes. None where no air enters below the mouth.
fn air_entry(parts: &MainCircuit, level_below_bore: f64) -> Option<f64> {
    let bleeds = parts.nozzle.kind == NozzleKind::Bleed && parts.air_jet.is_some();
    let highest = |w: &BleedWell| w.holes.iter().fold(f64::INFINITY, |a, h| a.min(h.below));
    bleeds.then(|| parts.well.as_ref().map(highest).filter(|d| d.is_finite()).unwrap_or(level_below_bore))
}

/// Inertance per density of a hole with its two mouths [1/m]: `(L + 8d/(3 pi))/A`.
#[must_use]
pub fn hole_inertance(length: f64, bore: f64) -> f64 {
    (length + HOLE_END_LENGTH * bore) / (0.25 * PI * bore * bore)
}

impl MainMetering {
    /// The circuit at rest, full of fuel, at the free air's `pressure` [Pa], the needle at `lift` [m].
    /// `level_below_bore` [m] is the height of the floor of the bore above the fuel.
    #[must_use]
    pub fn new(parts: &MainCircuit, level_below_bore: f64, fuel: &Fuel, pressure: f64, lift: f64) -> Self {
        let outlet = parts.nozzle.protrusion.max(0.0);
        let entry = air_entry(parts, level_below_bore);
        let area = 0.25 * PI * parts.passage.bore * parts.passage.bore;
        let mouth = 0.25 * PI * parts.nozzle.mouth_diameter * parts.nozzle.mouth_diameter;
        let volume = match parts.nozzle.kind {
            NozzleKind::Primary => SHROUD_DEPTH * mouth * parts.nozzle.mouth_diameter,
            NozzleKind::Bleed => BLEED_SHARE * area * parts.passage.length,
        };
        let mut circuit = Self {
            jet: JetLaw::new(parts.main_jet.bore, parts.main_jet.length, fuel.density, fuel.viscosity),
            annulus: AnnulusLaw::new(1.0, 0.5, 1.0, 0.0, fuel.density, fuel.viscosity),
            inertance: 0.0,
            density: fuel.density,
            viscosity: fuel.viscosity,
            air_area: parts.air_jet.map_or(0.0, |j| AIR_JET_DISCHARGE * j.area()),
            mouth_area: mouth,
            column: Column::full(
                area,
                parts.passage.length,
                level_below_bore + entry.map_or(outlet, |e| -e),
                fuel.density,
            ),
            chamber: Chamber::new(volume, pressure, fuel.density),
            well: match (parts.nozzle.kind, &parts.well, parts.air_jet) {
                (NozzleKind::Bleed, Some(well), Some(jet)) => {
                    Some(Well::new(well, jet.area(), level_below_bore, fuel.density))
                }
                _ => None,
            },
            entry,
            parts: parts.clone(),
        };
        if let Some(entry) = entry {
            // At rest the fuel in the holder stands at the level of the bowl.
            let share = ((entry - level_below_bore) / (entry + outlet)).max(0.0);
            circuit.chamber.liquid = share * volume * fuel.density;
        }
        circuit.set_lift(lift);
        circuit
    }

    /// Moves the needle to the slide's `lift` [m].
    pub fn set_lift(&mut self, lift: f64) {
        let parts = &self.parts;
        let ring = parts.needle_jet.annulus(&parts.needle, lift);
        self.annulus = AnnulusLaw::new(
            ring.outer_diameter,
            ring.inner_diameter,
            ring.length,
            ring.eccentricity,
            self.density,
            self.viscosity,
        );
        let passage = parts.passage.length / self.column.area;
        let jet = hole_inertance(parts.main_jet.length, parts.main_jet.bore);
        let gap = match parts.nozzle.kind {
            NozzleKind::Primary => ring.length / ring.area(),
            NozzleKind::Bleed => 0.0,
        };
        self.inertance = self.density * (passage + jet + gap);
        let needle = 0.25 * PI * ring.inner_diameter * ring.inner_diameter;
        let mouth = 0.25 * PI * parts.nozzle.mouth_diameter * parts.nozzle.mouth_diameter;
        self.mouth_area = OUTLET_DISCHARGE * (mouth - needle).max(0.0);
    }

    /// Signed loss of the column at volume flow `q` [m3/s] -> [Pa] and its slope [Pa s/m3].
    fn loss(&self, q: f64) -> (f64, f64) {
        let jet = self.jet.loss_and_slope(q);
        match self.parts.nozzle.kind {
            NozzleKind::Bleed if self.air_area > 0.0 => jet,
            _ => {
                let ring = self.annulus.loss_and_slope(q);
                (jet.0 + ring.0, jet.1 + ring.1)
            }
        }
    }

    /// Fuel [kg/s] that jet and needle's ring would pass at once, without inertia, under `drive` [Pa], bowl less chamber, with its sign:
    /// the flow whose loss is the drive less the head of the full column. What a quasi-steady law makes of the signal; the running circuit
    /// does not use it.
    #[must_use]
    pub fn without_inertia(&self, drive: f64) -> f64 {
        let lifted = drive - self.density * G0 * self.column.lift;
        let target = lifted.abs();
        let most = (2.0 * target / self.density).sqrt() * self.column.area;
        let miss = |q: f64| self.loss(q).0 - target;
        let q = crate::numeric::root::find(miss, 0.0, most.max(1e-15), 1e-16).map_or(0.0, |r| r.x);
        (self.density * q).copysign(lifted)
    }

    /// One step of `dt` [s].
    pub fn step(&mut self, dt: f64, around: &Surroundings) -> CircuitStep {
        let bowl = around.bowl.p;
        if self.air_area <= 0.0 {
            let mut column = self.column;
            let s = column.step(dt, bowl - around.nozzle.p, self.inertance, |q| self.loss(q));
            self.column = column;
            self.chamber.pressure = around.nozzle.p;
            return CircuitStep {
                drawn: self.density * s.drawn,
                fuel: self.density * s.delivered,
                emptied: s.emptied,
                ..CircuitStep::default()
            };
        }
        let mut column = self.column;
        let s =
            column.step(dt, bowl - self.chamber.pressure - self.emulsion_weight(), self.inertance, |q| self.loss(q));
        self.column = column;
        let from_well = self.step_well(dt, around.air_jets.p);
        let outlet = match self.parts.nozzle.kind {
            NozzleKind::Primary => self.mouth_area,
            NozzleKind::Bleed => self.ring_area(self.chamber.pressure - around.nozzle.p),
        };
        let openings = [
            Opening { effective_area: self.air_opening(), outside: around.air_jets, passes_liquid: false },
            Opening { effective_area: outlet, outside: around.nozzle, passes_liquid: true },
        ];
        let mut flows = [OpeningFlow::default(); 2];
        let supplied = self.density * (s.delivered + from_well);
        if self.entry.is_some() && openings[0].effective_area <= 0.0 {
            // Every side hole is covered: the holder fills, and runs over at its mouth.
            self.chamber.liquid += supplied;
            self.chamber.pressure = around.nozzle.p;
        } else {
            self.chamber.step(dt, supplied, &openings, &mut flows);
        }
        let bore = flows[1];
        CircuitStep {
            drawn: self.density * s.drawn,
            fuel: self.run_over() - dt * bore.liquid,
            fuel_bypass: 0.0,
            air: dt * flows[0].gas,
            gas: -dt * bore.gas,
            bypass_out: 0.0,
            bypass_in: 0.0,
            emptied: s.emptied,
        }
    }

    /// Effective area for main air into the chamber [m2].
    fn air_opening(&self) -> f64 {
        self.well.as_ref().map_or(self.air_area, Well::air_area)
    }

    /// Pressure that the emulsion's weight adds where air enters a bleed nozzle [Pa].
    fn emulsion_weight(&self) -> f64 {
        self.entry.map_or(0.0, |entry| {
            let height = entry + self.parts.nozzle.protrusion.max(0.0);
            self.chamber.liquid / self.chamber.volume * G0 * height
        })
    }

    /// Fuel that the holder of a bleed nozzle can hold above the entry of its air [kg]; 0 for another nozzle.
    #[must_use]
    pub fn most_in_holder(&self) -> f64 {
        if self.entry.is_some() { self.density * self.chamber.volume } else { 0.0 }
    }

    /// Fuel that a full holder of a bleed nozzle gives off at its mouth [kg].
    fn run_over(&mut self) -> f64 {
        if self.entry.is_none() {
            return 0.0;
        }
        let over = (self.chamber.liquid - self.density * self.chamber.volume).max(0.0);
        self.chamber.liquid -= over;
        over
    }

    /// One step of the well; returns the volume that the chamber gets from it [m3]. What flows back comes from the chamber as far as
    /// it has fuel, the rest from the top of the column.
    fn step_well(&mut self, dt: f64, air: f64) -> f64 {
        let weight = self.emulsion_weight();
        let Some(well) = &mut self.well else { return 0.0 };
        let (column, chamber) = (&mut self.column, &mut self.chamber);
        let top = self.entry.unwrap_or(0.0) + column.void / column.area;
        let holder = Holder { pressure: chamber.pressure, weight, top };
        let given = well.step(dt, air, &holder);
        if given >= 0.0 {
            return given;
        }
        let from_chamber = (-self.density * given).min(chamber.liquid);
        chamber.liquid -= from_chamber;
        column.void += -given - from_chamber / self.density;
        0.0
    }

    /// Liquid in chamber and well less what is missing in the column [kg].
    #[must_use]
    pub fn fuel(&self) -> f64 {
        self.chamber.liquid - self.column.missing() - self.well.as_ref().map_or(0.0, Well::missing)
    }

    /// Effective area of the ring for what leaves a bleed nozzle [m2]: area times the coefficient that the fuel
    /// alone would have at this drop [Pa].
    fn ring_area(&self, drop: f64) -> f64 {
        let drop = drop.abs().max(10.0);
        self.annulus.flow(drop) / (2.0 * drop / self.density).sqrt()
    }
}
