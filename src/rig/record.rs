//! What one cycle did: sums while it runs, the record when it is done, traces on request.

use super::books::Species;
use super::machine_state::Rig;
use crate::laws::friction;
use crate::metering::chamber::OpeningFlow;

/// Sums over a cycle in progress.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Sums {
    pub(super) time: f64,
    pub(super) steps: u64,
    pub(super) inlet_air: f64,
    /// Sensible enthalpy through the valves, without sign [J].
    pub(super) enthalpy: f64,
    pub(super) main: f64,
    pub(super) pilot: f64,
    pub(super) main_out: f64,
    pub(super) pilot_out: f64,
    pub(super) starter: f64,
    pub(super) starter_out: f64,
    pub(super) standoff: f64,
    pub(super) lost: f64,
    pub(super) depression: f64,
    pub(super) manifold: f64,
    /// Lift of slide or piston times time [m s].
    pub(super) lift: f64,
    pub(super) peak_speed: f64,
    pub(super) repairs: u64,
    pub(super) fastest: f64,
    pub(super) face_evaluations: u64,
    pub(super) trapped: Trapped,
    pub(super) work_closed: f64,
    pub(super) work_exchange: f64,
    pub(super) samples: Option<Vec<Sample>>,
    pub(super) pilot_openings: Vec<OpeningSums>,
}

/// What passed between one opening of the pilot circuit and the bore in a cycle [kg].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OpeningSums {
    /// Gas given to the bore.
    pub gas_given: f64,
    /// Gas taken from the bore.
    pub gas_taken: f64,
    /// Fuel given to the bore.
    pub fuel: f64,
}

impl OpeningSums {
    /// Adds one step of `dt` [s]; `flow` is positive into the circuit.
    pub(super) fn add(&mut self, dt: f64, flow: OpeningFlow) {
        self.gas_given += dt * (-flow.gas).max(0.0);
        self.gas_taken += dt * flow.gas.max(0.0);
        self.fuel -= dt * flow.liquid;
    }
}

/// The charge when the inlet valve shut.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trapped {
    /// Fresh dry air [kg].
    pub fresh_dry_air: f64,
    /// Fresh fuel [kg].
    pub fresh_fuel: f64,
    /// Burnt gas [kg].
    pub burnt: f64,
    /// All gas [kg].
    pub gas: f64,
    /// Whether it fired.
    pub fired: bool,
    /// Lambda of the whole charge [-].
    pub lambda: f64,
}

/// One instant of a cycle. Angles in rad, SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Crank angle in the middle of the step [rad after firing top centre].
    pub phase: f64,
    /// Step [s].
    pub dt: f64,
    /// Pressure at the nozzle [Pa].
    pub nozzle: f64,
    /// Pressure behind the slide [Pa].
    pub manifold: f64,
    /// Pressure in the cylinder [Pa].
    pub cylinder: f64,
    /// Gas past the slide [kg/s].
    pub slide: f64,
    /// Speed at the nozzle, along +x [m/s].
    pub speed: f64,
    /// Fuel from the main nozzle [kg/s].
    pub main: f64,
    /// Fuel from pilot outlet and by-pass holes [kg/s].
    pub pilot: f64,
    /// Cylinder volume [m3].
    pub volume: f64,
    /// Fuel from the starter circuit [kg/s].
    pub starter: f64,
    /// Lift of slide or vacuum piston [m].
    pub lift: f64,
}

/// One completed cycle, periodic or not.
#[derive(Debug, Clone, PartialEq)]
pub struct CycleRecord {
    /// Duration [s].
    pub time: f64,
    /// Steps taken.
    pub steps: u64,
    /// The trapped charge.
    pub trapped: Trapped,
    /// Moist air through the inlet valve, net [kg].
    pub inlet_air: f64,
    /// Fuel through the needle jet, net [kg].
    pub main: f64,
    /// Fuel through the pilot jet, net [kg].
    pub pilot: f64,
    /// Fuel that the main nozzle gave to the air [kg].
    pub main_out: f64,
    /// Fuel that pilot outlet and by-pass holes gave to the air [kg].
    pub pilot_out: f64,
    /// Fuel through the starter jet, net [kg].
    pub starter: f64,
    /// Fuel that the starter circuit gave to the air [kg].
    pub starter_out: f64,
    /// Fuel in the circuits at the end, against full columns and empty chambers [kg].
    pub in_circuits: f64,
    /// Fuel blown out of the mouth [kg].
    pub standoff: f64,
    /// Fuel of it that was lost [kg].
    pub lost: f64,
    /// Time mean of bowl-vent minus nozzle pressure [Pa].
    pub depression: f64,
    /// Time mean of the pressure behind slide or butterfly [Pa].
    pub manifold: f64,
    /// Highest speed at the nozzle [m/s].
    pub peak_speed: f64,
    /// Work on the piston over the cycle [J].
    pub work: f64,
    /// Highest cylinder pressure [Pa].
    pub peak_pressure: f64,
    /// Heat of burning [J].
    pub fuel_heat: f64,
    /// Fuel burnt [kg].
    pub fuel_burnt: f64,
    /// Heat from the walls into the gas [J].
    pub wall_heat: f64,
    /// Indicated mean effective pressure, both loops [Pa].
    pub imep: f64,
    /// The same over compression and expansion, bottom centre to bottom centre [Pa].
    pub imep_gross: f64,
    /// Mean effective pressure of the gas exchange, bottom centre to bottom centre [Pa]: negative where it costs work.
    pub pmep: f64,
    /// Friction mean effective pressure [Pa].
    pub fmep: f64,
    /// Mean burnt-gas temperature of the outflow [K].
    pub exhaust_temperature: f64,
    /// Floors, clips and fallbacks.
    pub repairs: u64,
    /// Evaluations of the faces' residuals.
    pub face_evaluations: u64,
    /// Fastest `|u| + c` [m/s].
    pub fastest: f64,
    /// What the books of mass do not account for, over throughput [-].
    pub mass_defect: Species,
    /// What the cylinder's first law does not account for, over the heat released (or the work when unfired) [-].
    pub energy_defect: f64,
    /// Change of the energy that the ducts' cells are owed ([`crate::gas::owed_energy`]), without sign, over the sensible enthalpy that
    /// passed the valves [-]: what the double flux did not keep in this cycle.
    pub gas_energy_defect: f64,
    /// Samples, if asked for.
    pub samples: Vec<Sample>,
    /// What passed the pilot outlet and each by-pass hole, in this order.
    pub pilot_openings: Vec<OpeningSums>,
    /// Fuel vapour in the chamber above a vacuum piston at the end [kg].
    pub above_piston: f64,
    /// Time mean of a vacuum piston's lift [m]; none without one.
    pub piston_lift: Option<f64>,
    /// Depth of the fuel in a bleed nozzle's well below the floor of the bore at the end [m]; none without one.
    pub well_surface: Option<f64>,
    /// Fuel in the holder of a bleed nozzle with a well at the end [kg]; none without one.
    pub in_holder: Option<f64>,
}

impl CycleRecord {
    /// Brake mean effective pressure [Pa].
    #[must_use]
    pub fn bmep(&self) -> f64 {
        self.imep - self.fmep
    }
}

impl Rig {
    /// Closes the cycle's sums; `before` is the store and `energy_before` the charge's energy when it began.
    pub(super) fn close_cycle(&mut self, before: Species, energy_before: f64) -> CycleRecord {
        let sums = std::mem::take(&mut self.sums);
        let owed = self.owed_energy();
        let owed_then = std::mem::replace(&mut self.owed_before, owed);
        let not_kept: f64 = owed.iter().zip(owed_then).map(|(a, b)| (a - b).abs()).sum();
        let now = self.fallbacks();
        let then = std::mem::replace(&mut self.fallbacks_before, now);
        let engine = &self.machine.engine;
        let b = self.cylinder.books;
        let swept = engine.crank.swept_volume();
        let f = &engine.friction;
        let speed = engine.crank.mean_piston_speed(self.point.rpm);
        let peak = self.cylinder.peak_pressure;
        let fmep = friction::fmep(
            f.constant * friction::mixed_lubrication(self.point.rpm),
            f.peak_pressure,
            f.speed,
            f.speed_squared,
            peak,
            speed,
        ) + friction::accessory_mep(f.accessories, swept, self.point.rpm);
        let change = self.cylinder.charge.energy - energy_before;
        let first_law = b.enthalpy + b.fuel_heat + b.evaporation + b.wall_heat - b.work - change;
        let scale = if b.fuel_heat > 0.0 { b.fuel_heat } else { b.enthalpy.abs().max(b.work.abs()).max(1e-6) };
        CycleRecord {
            time: sums.time,
            steps: sums.steps,
            trapped: sums.trapped,
            inlet_air: sums.inlet_air,
            main: sums.main,
            pilot: sums.pilot,
            main_out: sums.main_out,
            pilot_out: sums.pilot_out,
            starter: sums.starter,
            starter_out: sums.starter_out,
            in_circuits: self.fuel_in_circuits(),
            standoff: sums.standoff,
            lost: sums.lost,
            depression: sums.depression / sums.time,
            manifold: sums.manifold / sums.time,
            peak_speed: sums.peak_speed,
            work: b.work,
            peak_pressure: peak,
            fuel_heat: b.fuel_heat,
            fuel_burnt: b.fuel_burnt,
            wall_heat: b.wall_heat,
            imep: b.work / swept,
            imep_gross: sums.work_closed / swept,
            pmep: sums.work_exchange / swept,
            fmep,
            exhaust_temperature: self.exhaust_side.mean_temperature,
            repairs: sums.repairs + (now.first_order - then.first_order) + (now.clipped_steps - then.clipped_steps),
            face_evaluations: sums.face_evaluations + now.evaluations - then.evaluations,
            fastest: sums.fastest,
            mass_defect: self.books.defect(before, self.store()),
            energy_defect: first_law.abs() / scale,
            gas_energy_defect: if sums.enthalpy > 0.0 { not_kept / sums.enthalpy } else { 0.0 },
            samples: sums.samples.unwrap_or_default(),
            pilot_openings: sums.pilot_openings,
            above_piston: self.vacuum.as_ref().map_or(0.0, |v| v.piston.chamber.vapour),
            piston_lift: self.vacuum.as_ref().map(|_| sums.lift / sums.time),
            well_surface: self.main.well.as_ref().map(|w| w.surface),
            in_holder: self.main.well.as_ref().map(|_| self.main.chamber.liquid),
        }
    }
}
