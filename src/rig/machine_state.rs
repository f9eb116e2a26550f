//! The state of the running machine.

use std::f64::consts::PI;

use super::books::{MassBooks, Species};
use super::cloud::Cloud;
use super::error::RigError;
use super::intake::{Passage, atmosphere_side};
use super::record::Sums;
use super::settings::{MOST_CELLS, Settings};
use crate::cylinder::combustion_chamber::Cylinder;
use crate::gas::duct_cells::DuctCells;
use crate::gas::trace::Vessel;
use crate::hardware::duct::Duct;
use crate::hardware::machine::Machine;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;
use crate::metering::main_circuit::MainMetering;
use crate::metering::pilot_circuit::PilotMetering;
use crate::metering::surroundings::{Outside, Surroundings};

/// One operating point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OperatingPoint {
    /// Speed [rpm].
    pub rpm: f64,
    /// Slide lift [m].
    pub lift: f64,
}

/// Throat Mach numbers squared of the last two steps at one face: they are drawn on in time to start the next solve.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trend {
    last: f64,
    before: f64,
}

impl Trend {
    /// Where the next value is expected [-].
    pub(super) fn next(self) -> f64 {
        2.0 * self.last - self.before
    }

    pub(super) fn push(&mut self, value: f64) {
        self.before = if self.last > 0.0 { self.last } else { value };
        self.last = value;
    }
}

/// Starting values of the faces' solves.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Guesses {
    pub(super) mouth: Trend,
    pub(super) slide: Trend,
    pub(super) inlet: Trend,
    pub(super) exhaust: Trend,
}

/// Gas behind the exhaust valve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plenum {
    /// Pressure [Pa].
    pub pressure: f64,
    /// Temperature of what comes back: mass mean of the last outflow [K].
    pub temperature: f64,
    /// Outflow since the exhaust valve opened [kg], and its mass times temperature [kg K].
    pub(super) outflow: (f64, f64),
}

/// The running machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Rig {
    pub(super) machine: Machine,
    pub(super) gas: GasModel,
    pub(super) settings: Settings,
    pub(super) point: OperatingPoint,
    pub(super) passage: Passage,
    /// Duct from the mouth to the slide.
    pub upstream: DuctCells,
    /// Duct from the slide to the inlet valve.
    pub downstream: DuctCells,
    /// Cylinder.
    pub cylinder: Cylinder,
    /// Main circuit.
    pub main: MainMetering,
    /// Pilot circuit.
    pub pilot: PilotMetering,
    /// What waits in front of the mouth.
    pub cloud: Cloud,
    pub(super) plenum: Plenum,
    pub(super) around: Surroundings,
    pub(super) guesses: Guesses,
    /// Crank angle [rad after firing top centre], from -pi to 3 pi in a cycle.
    pub(super) phase: f64,
    /// Cycles completed.
    pub cycles: u32,
    pub(super) books: MassBooks,
    pub(super) sums: Sums,
    /// Share of dry air in moist air [-].
    pub(super) dry: f64,
}

/// Crank angle at which a cycle begins [rad after firing top centre]: bottom centre before compression.
pub const CYCLE_START: f64 = -PI;
/// Crank angle of one cycle [rad].
pub const CYCLE_ANGLE: f64 = 4.0 * PI;
/// Temperature of burnt gas behind the exhaust valve before there was an outflow [K]. Common practice; forgotten
/// after the first cycle.
const FIRST_EXHAUST_TEMPERATURE: f64 = 900.0;

impl Rig {
    /// The machine at rest, full of air, circuits full of fuel.
    ///
    /// # Errors
    /// More cells than the limit.
    pub fn cold(machine: &Machine, point: OperatingPoint, settings: &Settings) -> Result<Self, RigError> {
        Self::with_gas(machine, point, settings, GasModel::new(&machine.air, &machine.fuel))
    }

    /// The same with a given gas model; a calorically perfect one serves the exact checks.
    ///
    /// # Errors
    /// More cells than the limit.
    pub fn with_gas(
        machine: &Machine,
        point: OperatingPoint,
        settings: &Settings,
        gas: GasModel,
    ) -> Result<Self, RigError> {
        let c = &machine.carburettor;
        let air = &machine.air;
        let (p, t) = (air.pressure, air.temperature);
        let before = atmosphere_side(c, t);
        let mut behind = c.spigot.clone();
        behind.extend(machine.engine.inlet.iter().cloned());
        let length = |pieces: &[_]| Duct { pieces: pieces.to_vec() }.length();
        let cells = ((length(&before) + length(&behind)) / settings.cell_size) as usize;
        if cells > MOST_CELLS {
            return Err(RigError::TooManyCells { cell_mm: 1e3 * settings.cell_size, cells, limit: MOST_CELLS });
        }
        let level = c.bowl.level_below_bore;
        let free = Outside { p, rho: air.density() };
        Ok(Self {
            gas,
            settings: *settings,
            point,
            passage: Passage::new(c, point.lift),
            upstream: DuctCells::new(&before, settings.cell_size, &gas, p, t),
            downstream: DuctCells::new(&behind, settings.cell_size, &gas, p, t),
            cylinder: Cylinder::new(&machine.engine, &machine.fuel, &gas, p, t, CYCLE_START),
            main: MainMetering::new(&c.main, level, &machine.fuel, p, point.lift),
            pilot: PilotMetering::new(&c.pilot, level, &machine.fuel, p),
            cloud: Cloud::default(),
            plenum: Plenum {
                pressure: p + machine.engine.exhaust_back_pressure,
                temperature: FIRST_EXHAUST_TEMPERATURE,
                outflow: (0.0, 0.0),
            },
            around: Surroundings {
                free_air: free,
                nozzle: free,
                outlet: free,
                bypass: vec![free; c.pilot.bypass.len()],
            },
            guesses: Guesses::default(),
            phase: CYCLE_START,
            cycles: 0,
            books: MassBooks::default(),
            sums: Sums::default(),
            dry: air.dry_share(),
            machine: machine.clone(),
        })
    }

    /// Moves to another point, keeping the state of gas and fuel: a warm start.
    pub fn set_point(&mut self, point: OperatingPoint) {
        self.point = point;
        self.passage = Passage::new(&self.machine.carburettor, point.lift);
        self.main.set_lift(point.lift);
        self.cycles = 0;
    }

    /// The present point.
    #[must_use]
    pub fn point(&self) -> OperatingPoint {
        self.point
    }

    /// The machine.
    #[must_use]
    pub fn machine(&self) -> &Machine {
        &self.machine
    }

    /// Free air in front of the mouth, or what was blown out and waits there.
    pub(super) fn mouth_vessel(&self) -> Vessel {
        let air = &self.machine.air;
        let t = self.cloud.temperature(air.temperature);
        Vessel::new(&self.gas, air.pressure, t, self.cloud.composition())
    }

    /// Burnt gas behind the exhaust valve.
    pub(super) fn exhaust_vessel(&self) -> Vessel {
        let burnt = Composition { burnt: 1.0, ..Composition::default() };
        Vessel::new(&self.gas, self.plenum.pressure, self.plenum.temperature, burnt)
    }

    /// The charge as a valve sees it.
    pub(super) fn cylinder_vessel(&self) -> Vessel {
        let c = &self.cylinder.charge;
        let y = c.composition();
        Vessel {
            p: c.pressure,
            rho: c.gas() / self.cylinder.volume,
            gamma: self.gas.gamma(c.temperature, y.burnt, y.vapour),
            composition: y,
        }
    }

    /// Everything inside the border [kg].
    #[must_use]
    pub fn store(&self) -> Species {
        let c = &self.cylinder.charge;
        let mut s = Species { air: c.air, burnt: c.burnt, fuel: c.vapour + c.liquid };
        for [gas, burnt, vapour, liquid] in [self.upstream.store(), self.downstream.store()] {
            s = s.plus(Species { air: gas - burnt - vapour, burnt, fuel: vapour + liquid });
        }
        let k = &self.cloud;
        s = s.plus(Species { air: k.gas - k.burnt - k.vapour, burnt: k.burnt, fuel: k.fuel() });
        s.plus(Species { fuel: self.fuel_in_circuits(), ..Species::default() })
    }

    /// Liquid in the chambers less what is missing in the columns [kg].
    #[must_use]
    pub fn fuel_in_circuits(&self) -> f64 {
        self.main.chamber.liquid - self.main.column.missing() + self.pilot.chamber.liquid - self.pilot.column.missing()
    }
}
