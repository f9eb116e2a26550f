//! The state of the running machine.

use std::f64::consts::PI;

use super::air_side::AirSide;
use super::books::{MassBooks, Species};
use super::closed_part::TrappedState;
use super::error::RigError;
use super::exchange::MeteredFuel;
use super::exhaust_side::{ExhaustSide, LONGER_CELLS};
use super::intake::{Passage, atmosphere_side};
use super::record::Sums;
use super::settings::{MOST_CELLS, Settings};
use super::transient::Transient;
use super::vacuum_piston::{VacuumSide, twofold};
use crate::cylinder::combustion_chamber::Cylinder;
use crate::gas::duct_cells::{DuctCells, Fallbacks};
use crate::gas::face::Trend;
use crate::gas::grid::GridError;
use crate::gas::trace::Vessel;
use crate::hardware::duct::Duct;
use crate::hardware::machine::Machine;
use crate::laws::stream::Local;
use crate::media::gas::GasModel;
use crate::metering::main_circuit::MainMetering;
use crate::metering::pilot_circuit::PilotMetering;
use crate::metering::starter_circuit::StarterMetering;
use crate::metering::surroundings::{Outside, Surroundings};

/// One operating point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OperatingPoint {
    /// Speed [rpm].
    pub rpm: f64,
    /// Slide lift [m]. With a vacuum piston, what the hand opens: angle of the butterfly over its full angle, times the bore.
    pub lift: f64,
}

/// Starting values of the faces' solves.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Guesses {
    pub(super) mouth: Trend,
    pub(super) slide: Trend,
    pub(super) inlet: Trend,
    pub(super) exhaust: Trend,
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
    /// Duct from slide or butterfly to the inlet valve.
    pub downstream: DuctCells,
    /// Cylinder.
    pub cylinder: Cylinder,
    /// Main circuit.
    pub main: MainMetering,
    /// Pilot circuit.
    pub pilot: PilotMetering,
    /// Starter circuit; none when there is none or its plunger is shut.
    pub starter: Option<StarterMetering>,
    /// What the mouth draws from.
    pub air_side: AirSide,
    /// What the exhaust valve opens to.
    pub exhaust_side: ExhaustSide,
    pub(super) around: Surroundings,
    /// The stream at the nozzle in this step.
    pub(super) at_nozzle: Local,
    pub(super) guesses: Guesses,
    /// Crank angle [rad after firing top centre], from -pi to 3 pi in a cycle.
    pub(super) phase: f64,
    /// Cycles completed.
    pub cycles: u32,
    pub(super) books: MassBooks,
    pub(super) sums: Sums,
    /// The last charge when it was trapped.
    pub(super) trapped: Option<Box<TrappedState>>,
    /// What the cells of each duct were owed when the last cycle ended [J].
    pub(super) owed_before: [f64; MOST_DUCTS],
    /// Floors and fallbacks when the last cycle ended.
    pub(super) fallbacks_before: Fallbacks,
    /// Share of dry air in moist air [-].
    pub(super) dry: f64,
    /// Fuel as the circuits put it into the air.
    pub(super) metered: MeteredFuel,
    /// Vacuum piston and butterfly, with the passage between them.
    pub vacuum: Option<Box<VacuumSide>>,
    /// Opening of the throttle, film and accelerator pump; none in a steady run.
    pub transient: Option<Box<Transient>>,
}

/// The ducts, as errors name them.
pub(super) const UPSTREAM: &str = "passage before the slide";
pub(super) const DOWNSTREAM: &str = "manifold and port";
pub(super) const BETWEEN: &str = "passage between piston and butterfly";
pub(super) const AIR_BOX: &str = "air box's inlet";
pub(super) const EXHAUST: &str = "exhaust";

/// Ducts that a machine may have at most.
const MOST_DUCTS: usize = 5;

/// Crank angle at which a cycle begins [rad after firing top centre]: bottom centre before compression.
pub const CYCLE_START: f64 = -PI;
/// Crank angle of one cycle [rad].
pub const CYCLE_ANGLE: f64 = 4.0 * PI;
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
        let box_inlet = machine.air_box.as_ref().map_or(0.0, |b| length(&b.inlet));
        let exhaust = length(&machine.engine.exhaust.pieces) / LONGER_CELLS;
        let between = c.between().map_or(0.0, |p| p.length);
        let cells = ((length(&before) + between + length(&behind) + box_inlet + exhaust) / settings.cell_size) as usize;
        if cells > MOST_CELLS {
            return Err(RigError::TooManyCells { cell_mm: 1e3 * settings.cell_size, cells, limit: MOST_CELLS });
        }
        let level = c.bowl.level_below_bore;
        let free = Outside { p, rho: air.density() };
        let placed = |part: &'static str| move |error: GridError| RigError::Grid { part, error };
        let cell = settings.cell_size;
        let vacuum = VacuumSide::new(c, air, &gas, cell).map_err(placed(BETWEEN))?.map(Box::new);
        // The piston begins on its lower stop.
        let lift = vacuum.as_ref().map_or(point.lift, |v| v.piston.lift);
        let pilot = twofold(c);
        let mut rig = Self {
            gas,
            settings: *settings,
            point,
            passage: Passage::new(c, lift),
            upstream: DuctCells::new(&before, cell, &gas, p, t).map_err(placed(UPSTREAM))?,
            downstream: DuctCells::new(&behind, cell, &gas, p, t).map_err(placed(DOWNSTREAM))?,
            cylinder: Cylinder::new(&machine.engine, &machine.fuel, &gas, p, t, CYCLE_START),
            main: MainMetering::new(&c.main, level, &machine.fuel, p, lift),
            pilot: PilotMetering::new(&pilot, level, &machine.fuel, p),
            starter: c.starter.as_ref().and_then(|s| StarterMetering::new(s, level, &machine.fuel, p)),
            air_side: AirSide::new(machine.air_box.as_ref(), air, &gas, cell).map_err(placed(AIR_BOX))?,
            exhaust_side: ExhaustSide::new(&machine.engine.exhaust, air, &gas, cell).map_err(placed(EXHAUST))?,
            around: Surroundings {
                bowl: free,
                air_jets: free,
                nozzle: free,
                outlet: free,
                bypass: vec![free; pilot.bypass.len()],
            },
            at_nozzle: Local { p, rho: free.rho, u: 0.0 },
            guesses: Guesses::default(),
            phase: CYCLE_START,
            cycles: 0,
            books: MassBooks::default(),
            sums: Sums::default(),
            trapped: None,
            owed_before: [0.0; MOST_DUCTS],
            fallbacks_before: Fallbacks::default(),
            dry: air.dry_share(),
            metered: MeteredFuel::new(machine, &gas),
            vacuum,
            transient: None,
            machine: machine.clone(),
        };
        rig.open_throttle();
        rig.stand();
        if let Some(starter) = &mut rig.starter {
            starter.settle();
        }
        Ok(rig)
    }

    /// Sets each column to how it stands on a machine that is tilted or accelerated.
    pub(super) fn stand(&mut self) {
        let Some(attitude) = self.machine.carburettor.bowl.attitude else { return };
        let level = self.main.column.lift;
        let starter = self.starter.as_mut().map(|s| (&mut s.column, attitude.starter));
        let columns = [(&mut self.main.column, attitude.nozzle), (&mut self.pilot.column, attitude.pilot)];
        for (column, place) in columns.into_iter().chain(starter) {
            let standing = attitude.standing(place, column.lift);
            (column.lift, column.gravity) = (standing.lift, standing.gravity);
        }
        let lowered = self.main.column.lift - level;
        if let Some(well) = &mut self.main.well {
            well.lower(lowered);
        }
    }

    /// Moves to another point, keeping the state of gas and fuel: a warm start.
    pub fn set_point(&mut self, point: OperatingPoint) {
        self.point = point;
        self.open_throttle();
        self.cycles = 0;
    }

    /// The present point.
    #[must_use]
    pub fn point(&self) -> OperatingPoint {
        self.point
    }

    /// Crank angle [rad after firing top centre], from -pi to 3 pi in a cycle.
    #[must_use]
    pub fn phase(&self) -> f64 {
        self.phase
    }

    /// What the circuits met in the last step.
    #[must_use]
    pub fn surroundings(&self) -> &Surroundings {
        &self.around
    }

    /// The machine.
    #[must_use]
    pub fn machine(&self) -> &Machine {
        &self.machine
    }

    /// The charge as a valve sees it.
    #[must_use]
    pub fn cylinder_vessel(&self) -> Vessel {
        let c = &self.cylinder.charge;
        let y = c.composition();
        Vessel {
            p: c.pressure,
            rho: c.gas() / self.cylinder.volume,
            gamma: self.gas.gamma(c.temperature, y.burnt, y.vapour),
            composition: y,
        }
    }

    /// Every duct, from the free air to the open end of the exhaust; last the passage between piston and butterfly.
    pub fn ducts(&self) -> impl Iterator<Item = &DuctCells> {
        let intake = [&self.upstream, &self.downstream];
        let between = self.vacuum.as_ref().map(|v| &v.between);
        self.air_side.duct().into_iter().chain(intake).chain(self.exhaust_side.duct.as_ref()).chain(between)
    }

    /// Folds over [`Self::ducts`]; for use in each step, where the iterator costs more than the ducts.
    pub(super) fn fold_ducts(&self, start: f64, with: impl Fn(f64, &DuctCells) -> f64) -> f64 {
        let mut x = with(with(start, &self.upstream), &self.downstream);
        if let Some(inlet) = self.air_side.duct() {
            x = with(x, inlet);
        }
        if let Some(exhaust) = &self.exhaust_side.duct {
            x = with(x, exhaust);
        }
        if let Some(v) = &self.vacuum {
            x = with(x, &v.between);
        }
        x
    }

    /// The same ducts in the same order, to be changed.
    pub(super) fn ducts_mut(&mut self) -> impl Iterator<Item = &mut DuctCells> {
        let inlet = self.air_side.air_box.as_mut().and_then(|b| b.inlet.as_mut());
        let intake = [&mut self.upstream, &mut self.downstream];
        let between = self.vacuum.as_mut().map(|v| &mut v.between);
        inlet.into_iter().chain(intake).chain(self.exhaust_side.duct.as_mut()).chain(between)
    }

    /// Floors and fallbacks of all ducts since they were made.
    #[must_use]
    pub fn fallbacks(&self) -> Fallbacks {
        self.ducts().map(DuctCells::fallbacks).fold(Fallbacks::default(), |a, b| Fallbacks {
            first_order: a.first_order + b.first_order,
            clipped_steps: a.clipped_steps + b.clipped_steps,
            evaluations: a.evaluations + b.evaluations,
        })
    }

    /// What the cells of the ducts are owed [J], see [`crate::gas::owed_energy`].
    #[must_use]
    pub fn owed_energy(&self) -> [f64; MOST_DUCTS] {
        let mut owed = [0.0; MOST_DUCTS];
        for (sum, duct) in owed.iter_mut().zip(self.ducts()) {
            *sum = duct.owed_energy(&self.gas);
        }
        owed
    }

    /// Everything inside the border [kg].
    #[must_use]
    pub fn store(&self) -> Species {
        let c = &self.cylinder.charge;
        let mut s = Species { air: c.air, burnt: c.burnt, fuel: c.vapour + c.liquid };
        for duct in self.ducts() {
            let [gas, burnt, vapour, liquid] = duct.store();
            s = s.plus(Species { air: gas - burnt - vapour, burnt, fuel: vapour + liquid });
        }
        let chamber = self.vacuum.as_ref().map(|v| &v.piston.chamber);
        let rooms = [self.air_side.air_box.as_ref().map(|b| &b.plenum), self.exhaust_side.silencer.as_ref(), chamber];
        for p in rooms.into_iter().flatten() {
            let fuel = p.vapour + p.liquid;
            s = s.plus(Species { air: p.gas - p.burnt - p.vapour, burnt: p.burnt, fuel });
        }
        let k = &self.air_side.cloud;
        s = s.plus(Species { air: k.gas - k.burnt - k.vapour, burnt: k.burnt, fuel: k.fuel() });
        let s = s.plus(Species { fuel: self.fuel_in_circuits(), ..Species::default() });
        match &self.transient {
            Some(t) => s.plus(Species { fuel: t.fuel(self.machine.fuel.density), ..Species::default() }),
            None => s,
        }
    }

    /// Liquid in the chambers less what is missing in the columns [kg].
    #[must_use]
    pub fn fuel_in_circuits(&self) -> f64 {
        let starter = self.starter.as_ref().map_or(0.0, StarterMetering::fuel);
        self.main.fuel() + self.pilot.chamber.liquid - self.pilot.column.missing() + starter
    }
}
