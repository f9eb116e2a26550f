//! The same engine with two or more carburettors.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::compare_verdict::{Breathing, Verdict};
use super::how_sure;
use super::inlet_mach;
use super::machine_solver::MachineSolver;
use super::map::Grid;
use super::point::PointResult;
use super::same_mixture::Ended;
use super::sweep;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::rig::settings::Settings;

/// Throttles at which the carburettors are compared [-].
pub const THROTTLES: [f64; 2] = [0.25, 1.0];
/// Ratio of specific heats of air, and gas constant [J/(kg K)], for the speed of sound of the free air.
const AIR: (f64, f64) = (1.4, 287.05);

/// One point with what the bore makes of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct ComparePoint {
    /// The point.
    pub point: PointResult,
    /// Mean air speed through the bore during the intake stroke [m/s]: four times the cycle's mean flow over the
    /// bore's area.
    pub stroke_mean_air_speed: Option<f64>,
    /// Highest air speed at the slide over the speed of sound of the free air [-].
    pub peak_mach: Option<f64>,
}

/// One carburettor on the engine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fitted {
    /// Name of its set-up.
    pub name: String,
    /// Bore [m].
    pub bore_m: f64,
    /// Main jet, clip and pilot jet as they are set.
    pub jets: [String; 3],
    /// Open area per lift over the first quarter of the lift [m2/m]; none where the hand does not move the slide.
    pub first_quarter_area_per_lift_m: Option<f64>,
    /// Full throttle, speeds rising.
    pub full: Vec<ComparePoint>,
    /// Quarter throttle, speeds rising.
    pub quarter: Vec<ComparePoint>,
    /// Largest less least air-fuel ratio over the speeds that fire at full throttle [-].
    pub afr_spread: Option<f64>,
    /// Most fuel blown out of the mouth at full throttle [g/s].
    pub standoff_g_s: Option<f64>,
    /// Parts that came to the end of their range before the mixture was as wanted.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub ended: Vec<Ended>,
}

/// The comparison.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CompareResult {
    /// Version of this layout; additions do not change it.
    pub schema: u32,
    /// Version of the program.
    pub version: String,
    /// Speeds [rpm].
    pub speeds: Vec<f64>,
    /// Mean inlet Mach index of the valve at each speed [-].
    pub inlet_mach_index: Vec<f64>,
    /// Each carburettor with its own jets.
    pub as_given: Vec<Fitted>,
    /// Each brought to the same mixture; none if that was not asked for.
    pub same_mixture: Option<Vec<Fitted>>,
    /// Each of the later ones against the first.
    pub verdicts: Vec<Verdict>,
    /// Each against the limit of the valve and the rules of the trade.
    pub breathing: Vec<Breathing>,
    /// Whether it was stopped before its end; what was finished is here.
    #[serde(default)]
    pub interrupted: bool,
    /// Whether the verdict holds where the estimates are off; none if that was not asked for or not reached.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how_sure: Option<how_sure::compare::HowSure>,
}

impl CompareResult {
    /// What the verdict rests on: the same mixture if there is one.
    #[must_use]
    pub fn judged(&self) -> &[Fitted] {
        self.same_mixture.as_deref().unwrap_or(&self.as_given)
    }
}

/// Mean air speed through a bore of `area` [m2] during the intake stroke, a quarter of the cycle [m/s]: `4 Q / A`
/// with the
/// cycle's mean flow `Q` of `air` [g/s] at the density of dry air outside [kg/m3]. Common practice.
#[must_use]
pub fn stroke_mean_air_speed(air: f64, dry_density: f64, area: f64) -> f64 {
    4e-3 * air / (dry_density * area)
}

/// Speed of sound of the free air [m/s].
#[must_use]
pub fn sound(machine: &Machine) -> f64 {
    (AIR.0 * AIR.1 * machine.air.temperature).sqrt()
}

/// Mean inlet Mach index of the valve at each of `speeds` [-].
#[must_use]
pub fn indices(machine: &Machine, speeds: &[f64]) -> Vec<f64> {
    speeds.iter().map(|rpm| inlet_mach::index(&machine.engine, *rpm, sound(machine))).collect()
}

/// Runs one carburettor over the speeds; none if it was stopped.
pub fn fitted(
    name: &str,
    machine: &Machine,
    speeds: &[f64],
    settings: &Settings,
    (threads, stop): (NonZeroUsize, &AtomicBool),
    on_run: &(dyn Fn(f64) + Sync),
) -> Option<Fitted> {
    let grid = Grid { throttles: THROTTLES.to_vec(), speeds: speeds.to_vec() };
    let solver = MachineSolver { machine: machine.clone(), settings: *settings };
    let (points, interrupted) = sweep::run(&solver, &grid, threads, stop, &|_, point| on_run(point.rpm));
    if interrupted {
        return None;
    }
    let slide = &machine.carburettor.slide;
    let mut points = points.into_iter().map(|point| ComparePoint {
        stroke_mean_air_speed: point
            .air_g_s
            .filter(|_| point.converged)
            .map(|air| stroke_mean_air_speed(air, machine.air.dry_density(), slide.bore_area())),
        peak_mach: point.peak_air_speed.filter(|_| point.converged).map(|v| v / sound(machine)),
        point,
    });
    let quarter: Vec<ComparePoint> = points.by_ref().take(speeds.len()).collect();
    let full: Vec<ComparePoint> = points.collect();
    let sound = || full.iter().map(|p| &p.point).filter(|p| p.converged && p.fired);
    let span = sound().filter_map(|p| p.afr).fold((f64::INFINITY, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
    let first = 0.25 * slide.bore;
    Some(Fitted {
        name: name.to_owned(),
        bore_m: slide.bore,
        jets: [Part::MainJet, Part::Clip, Part::PilotJet].map(|part| part.setting(machine)),
        first_quarter_area_per_lift_m: machine.carburettor.vacuum.is_none().then(|| slide.segment_area(first) / first),
        afr_spread: (span.0 <= span.1).then_some(span.1 - span.0),
        standoff_g_s: sound().filter_map(|p| p.standoff_g_s).reduce(f64::max),
        quarter,
        full,
        ended: Vec::new(),
    })
}
