//! One operating point over crank angle.

use serde::{Deserialize, Serialize};

use super::point::PointResult;
use crate::laws::friction;
use crate::rig::error::RigError;
use crate::rig::machine_state::{OperatingPoint, Rig};
use crate::rig::record::{CycleRecord, Sample};
use crate::rig::settings::Settings;
use crate::setup::Setup;

/// Traces over one cycle, all of one length. Crank angle runs from the firing top centre.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
pub struct Traces {
    /// Crank angle [degrees after firing top centre].
    pub crank_deg: Vec<f64>,
    /// Pressure at the main nozzle [Pa, absolute].
    pub nozzle_pa: Vec<f64>,
    /// Pressure behind the slide [Pa, absolute].
    pub manifold_pa: Vec<f64>,
    /// Pressure in the cylinder [Pa, absolute].
    pub cylinder_pa: Vec<f64>,
    /// Air past the slide, towards the engine positive [g/s].
    pub slide_air_g_s: Vec<f64>,
    /// Air speed under the slide at the nozzle [m/s].
    pub nozzle_air_speed: Vec<f64>,
    /// Fuel from the main nozzle into the air [g/s].
    pub fuel_main_g_s: Vec<f64>,
    /// Fuel from the pilot outlet and by-pass holes into the air [g/s].
    pub fuel_pilot_g_s: Vec<f64>,
    /// Inlet valve lift [m].
    pub inlet_lift_m: Vec<f64>,
    /// Exhaust valve lift [m].
    pub exhaust_lift_m: Vec<f64>,
    /// Fuel from the starter circuit into the air [g/s]; empty when there is none or its plunger is shut.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fuel_starter_g_s: Vec<f64>,
    /// Lift of a vacuum piston [m]; empty without one.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub piston_lift_m: Vec<f64>,
}

/// One operating point with its traces.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CycleResult {
    /// Version of this layout; additions do not change it.
    pub schema: u32,
    /// Version of the program.
    pub version: String,
    /// Name of the set-up.
    pub name: String,
    /// Pressure of the free air [Pa].
    pub free_air_pa: f64,
    /// Form of the friction law.
    #[serde(default)]
    pub friction_form: String,
    /// Slide lift, or the mean lift of a vacuum piston [m].
    #[serde(default)]
    pub slide_lift_m: f64,
    /// Cycle figures.
    pub point: PointResult,
    /// Traces.
    pub traces: Traces,
    /// The resolved set-up.
    pub setup: serde_json::Value,
}

/// Version of the layout of a cycle's JSON.
const SCHEMA: u32 = 1;
/// Points of a trace: one every half degree.
const TRACE_POINTS: usize = 1440;

/// Runs one operating point to a periodic cycle and records it over crank angle.
///
/// # Errors
/// The state left physical bounds.
pub fn run(setup: &Setup, rpm: f64, throttle: f64, settings: &Settings) -> Result<CycleResult, RigError> {
    let machine = &setup.machine;
    let point = OperatingPoint { rpm, lift: throttle * machine.carburettor.slide.bore };
    let mut rig = Rig::cold(machine, point, settings)?;
    let run = rig.converge()?;
    let result = PointResult::of(machine, throttle, rpm, &run).against_best(&rig, &run).sound();
    let recorded = rig.run_cycle(true)?;
    Ok(CycleResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        name: setup.name.clone(),
        free_air_pa: machine.air.pressure,
        friction_form: friction::NAME.to_owned(),
        slide_lift_m: run.record.piston_lift.unwrap_or(point.lift),
        point: result,
        traces: Traces::of(setup, &recorded),
        setup: setup.to_json(),
    })
}

impl Traces {
    /// The samples of a cycle brought to equal steps of crank angle from the firing top centre; between two samples linear.
    #[must_use]
    pub fn of(setup: &Setup, record: &CycleRecord) -> Self {
        let cycle = 4.0 * std::f64::consts::PI;
        let mut samples: Vec<Sample> = record.samples.clone();
        for s in &mut samples {
            if s.phase < 0.0 {
                s.phase += cycle;
            }
        }
        samples.sort_by(|a, b| a.phase.total_cmp(&b.phase));
        let mut traces = Self::default();
        let Some(last) = samples.last().copied() else { return traces };
        let mut k = 0;
        let mut before = Sample { phase: last.phase - cycle, ..last };
        let engine = &setup.machine.engine;
        let started = setup.machine.carburettor.starter.is_some_and(|s| s.is_open());
        for i in 0..TRACE_POINTS {
            let phase = cycle * i as f64 / TRACE_POINTS as f64;
            while k < samples.len() && samples[k].phase <= phase {
                before = samples[k];
                k += 1;
            }
            let after =
                samples.get(k).copied().unwrap_or_else(|| Sample { phase: samples[0].phase + cycle, ..samples[0] });
            let s = ((phase - before.phase) / (after.phase - before.phase)).clamp(0.0, 1.0);
            let mix = |f: fn(&Sample) -> f64| f(&before) + s * (f(&after) - f(&before));
            traces.crank_deg.push(phase.to_degrees());
            traces.nozzle_pa.push(mix(|x| x.nozzle));
            traces.manifold_pa.push(mix(|x| x.manifold));
            traces.cylinder_pa.push(mix(|x| x.cylinder));
            traces.slide_air_g_s.push(1e3 * mix(|x| x.slide));
            traces.nozzle_air_speed.push(mix(|x| x.speed));
            traces.fuel_main_g_s.push(1e3 * mix(|x| x.main));
            traces.fuel_pilot_g_s.push(1e3 * mix(|x| x.pilot));
            traces.inlet_lift_m.push(engine.inlet_valve.lift.lift(phase));
            traces.exhaust_lift_m.push(engine.exhaust_valve.lift.lift(phase));
            if started {
                traces.fuel_starter_g_s.push(1e3 * mix(|x| x.starter));
            }
            if setup.machine.carburettor.vacuum.is_some() {
                traces.piston_lift_m.push(mix(|x| x.lift));
            }
        }
        traces
    }
}
