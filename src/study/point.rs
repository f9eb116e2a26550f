//! The result of one operating point: one row of the map.

use serde::{Deserialize, Serialize};

use super::best_mixture::best_mixture;
use crate::hardware::machine::Machine;
use crate::rig::converge::{LOOKED_BACK, Outcome, Run};
use crate::rig::error::RigError;
use crate::rig::machine_state::{OperatingPoint, Rig};
use crate::rig::record::OpeningSums;
use crate::rig::settings::Settings;

/// How a point ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Status {
    /// Periodic within the tolerance.
    Converged,
    /// The cycles alternate between two or three states.
    Alternating,
    /// The limit of cycles came first.
    CycleLimit,
    /// The state left physical bounds; `PointResult::note` says where.
    Failed,
    /// It was stopped by a limit of time, so it depends on how busy the computer was.
    TimeLimit,
}

impl Status {
    /// Short word for tables.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Converged => "converged",
            Self::Alternating => "alternating",
            Self::CycleLimit => "cycle limit",
            Self::Failed => "failed",
            Self::TimeLimit => "time limit",
        }
    }
}

/// One operating point, per-cycle means of the last cycle. Flows in g/s, SI elsewhere; a value that does
/// not exist is `None`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PointResult {
    /// What the hand opens: slide lift over bore, or a butterfly's angle over its full angle [-].
    pub throttle: f64,
    /// Speed [rpm].
    pub rpm: f64,
    /// Fresh dry air over fresh fuel trapped when the inlet valve shuts [-].
    pub afr: Option<f64>,
    /// `afr` over the fuel's stoichiometric ratio [-].
    pub lambda: Option<f64>,
    /// Dry air over fuel metered in the cycle [-].
    pub afr_metered: Option<f64>,
    /// Filling: dry air trapped over dry-air density of the free air times swept volume [-].
    pub ve: Option<f64>,
    /// Brake torque [N m].
    pub torque_nm: Option<f64>,
    /// Brake power [kW].
    pub power_kw: Option<f64>,
    /// All dry air into the cylinder, air jets included [g/s].
    pub air_g_s: Option<f64>,
    /// All fuel metered [g/s].
    pub fuel_g_s: Option<f64>,
    /// Fuel through the pilot jet [g/s].
    pub fuel_pilot_g_s: Option<f64>,
    /// Fuel through the needle jet [g/s].
    pub fuel_main_g_s: Option<f64>,
    /// Fuel through the starter jet [g/s]; 0 when there is none or its plunger is shut.
    pub fuel_starter_g_s: Option<f64>,
    /// Fuel blown out of the mouth [g/s].
    pub standoff_g_s: Option<f64>,
    /// Time mean of bowl-vent minus nozzle pressure [Pa].
    pub nozzle_depression_pa: Option<f64>,
    /// Time mean of the pressure behind slide or butterfly [Pa, absolute].
    pub manifold_pa: Option<f64>,
    /// Largest relative change over the last two cycles [-].
    pub residual: Option<f64>,
    /// Cycles run.
    pub cycles: u32,
    /// Whether the point is periodic.
    pub converged: bool,
    /// Fuel blown out of the mouth that did not come back [g/s].
    pub standoff_lost_g_s: Option<f64>,
    /// Burnt gas in the cylinder over all gas when the inlet valve shuts [-].
    pub residual_gas: Option<f64>,
    /// Indicated mean effective pressure over the whole cycle [Pa].
    pub imep_pa: Option<f64>,
    /// Friction mean effective pressure [Pa].
    pub fmep_pa: Option<f64>,
    /// Whether the charge burnt.
    pub fired: bool,
    /// Highest stroke-cycle air speed at the slide [m/s].
    pub peak_air_speed: Option<f64>,
    /// Floors and fallbacks used in the last cycle.
    pub repairs: u64,
    /// How it ended.
    pub status: Status,
    /// What went wrong, where, when, and what to try.
    pub note: Option<String>,
    /// Brake torque corrected to the air of a standard [N m], when one was asked for; none without torque.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrected_torque_nm: Option<f64>,
    /// Brake power corrected to the air of a standard [kW], when one was asked for; none without power.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub corrected_power_kw: Option<f64>,
    /// Indicated mean effective pressure over compression and expansion [Pa].
    pub imep_gross_pa: Option<f64>,
    /// Mean effective pressure of the gas exchange [Pa], negative where it costs work; with the gross one it makes `imep_pa`.
    pub pmep_pa: Option<f64>,
    /// Brake mean effective pressure [Pa].
    pub bmep_pa: Option<f64>,
    /// Lambda of the whole trapped charge [-], what was left of the last one included.
    pub trapped_lambda: Option<f64>,
    /// Mean temperature of what flows out through the exhaust valve, by mass [K].
    pub exhaust_temperature_k: Option<f64>,
    /// Fuel metered over brake work [g/(kW h)]; none without brake power.
    pub fuel_g_kwh: Option<f64>,
    /// Fuel metered [L/h], as liquid in the bowl.
    pub fuel_l_h: Option<f64>,
    /// Share of the best brake torque that this mixture gives away [-]: 0 at the best mixture ([`super::best_mixture`]); none where the point
    /// did not fire or gives no torque with any mixture.
    pub torque_lost: Option<f64>,
    /// Lambda of the whole charge at which brake torque would be best [-].
    pub lambda_of_best: Option<f64>,
    /// What passes the pilot outlet and each by-pass hole, in this order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pilot_openings: Vec<PilotOpening>,
    /// Time mean of a vacuum piston's lift [m]; none without one.
    #[serde(default)]
    pub piston_lift_m: Option<f64>,
}

/// Cycle means of one opening of the pilot circuit into the bore.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct PilotOpening {
    /// Gas given to the bore [g/s].
    pub gas_given_g_s: f64,
    /// Gas taken from the bore [g/s].
    pub gas_taken_g_s: f64,
    /// Fuel given to the bore [g/s].
    pub fuel_g_s: f64,
}

impl PilotOpening {
    /// Mixture given to the bore less gas taken from it [g/s]: negative where the opening takes in air.
    #[must_use]
    pub fn net(&self) -> f64 {
        self.gas_given_g_s + self.fuel_g_s - self.gas_taken_g_s
    }
}

impl PointResult {
    /// The same with brake torque and power multiplied by `factor` [-]; drag is not corrected.
    #[must_use]
    pub fn corrected(self, factor: f64) -> Self {
        let times = |x: Option<f64>| x.filter(|x| *x > 0.0).map(|x| factor * x);
        Self { corrected_torque_nm: times(self.torque_nm), corrected_power_kw: times(self.power_kw), ..self }
    }

    /// Whether it fires in each cycle and has no steady answer all the same: nothing failed, and the mixture is not the reason.
    #[must_use]
    pub fn unsettled(&self) -> bool {
        let misfires = self.note.as_ref().is_some_and(|note| note.starts_with(MISFIRES));
        matches!(self.status, Status::Alternating | Status::CycleLimit) && self.fired && !misfires
    }

    /// A point that failed before it gave a number.
    #[must_use]
    pub fn failed(throttle: f64, rpm: f64, cycles: u32, note: String) -> Self {
        Self {
            throttle,
            rpm,
            afr: None,
            lambda: None,
            afr_metered: None,
            ve: None,
            torque_nm: None,
            power_kw: None,
            air_g_s: None,
            fuel_g_s: None,
            fuel_pilot_g_s: None,
            fuel_main_g_s: None,
            fuel_starter_g_s: None,
            standoff_g_s: None,
            nozzle_depression_pa: None,
            manifold_pa: None,
            residual: None,
            cycles,
            converged: false,
            standoff_lost_g_s: None,
            residual_gas: None,
            imep_pa: None,
            fmep_pa: None,
            fired: false,
            peak_air_speed: None,
            repairs: 0,
            status: Status::Failed,
            note: Some(note),
            corrected_torque_nm: None,
            corrected_power_kw: None,
            imep_gross_pa: None,
            pmep_pa: None,
            bmep_pa: None,
            trapped_lambda: None,
            exhaust_temperature_k: None,
            fuel_g_kwh: None,
            fuel_l_h: None,
            torque_lost: None,
            lambda_of_best: None,
            pilot_openings: Vec::new(),
            piston_lift_m: None,
        }
    }
}

/// State of a running machine, from which a neighbouring point may start.
pub type RigState = Rig;

/// Runs one operating point until it is periodic, from `parent` or from rest.
///
/// A parent must be a state of the same `machine`; it serves only if it converged, which its owner decides. A point that leaves physical bounds comes back as failed,
/// with a note, and without a state.
#[must_use]
pub fn solve(
    machine: &Machine,
    throttle: f64,
    rpm: f64,
    parent: Option<&RigState>,
    settings: &Settings,
) -> (PointResult, Option<RigState>) {
    solve_while(machine, throttle, rpm, parent, settings, &|| true)
}

/// As [`solve`], as long as `go_on`, which is asked after each cycle; a point stopped by it is marked.
#[must_use]
pub fn solve_while(
    machine: &Machine,
    throttle: f64,
    rpm: f64,
    parent: Option<&RigState>,
    settings: &Settings,
    go_on: &dyn Fn() -> bool,
) -> (PointResult, Option<RigState>) {
    solve_from(machine, throttle, rpm, parent.map_or(&[], std::slice::from_ref), settings, go_on)
}

/// As [`solve_while`], from what several `parents`, the nearest first, point at ([`Rig::warm`]). Should that start lead out of physical
/// bounds, the point starts again from the nearest parent as it is.
#[must_use]
pub fn solve_from(
    machine: &Machine,
    throttle: f64,
    rpm: f64,
    parents: &[RigState],
    settings: &Settings,
    go_on: &dyn Fn() -> bool,
) -> (PointResult, Option<RigState>) {
    let point = OperatingPoint { rpm, lift: throttle * machine.carburettor.slide.bore };
    let run_from = |parents: &[RigState]| {
        let mut rig = Rig::warm(parents, point).map_or_else(|| Rig::cold(machine, point, settings), Ok)?;
        rig.converge_while(go_on).map(|run| (run, rig))
    };
    let again = |error| if parents.len() > 1 { run_from(&parents[..1]) } else { Err(error) };
    match run_from(parents).or_else(again) {
        Ok((run, rig)) => {
            let result = PointResult::of(machine, throttle, rpm, &run).against_best(&rig, &run).sound();
            let state = result.converged.then_some(rig);
            (result, state)
        }
        Err(error) => (PointResult::failed(throttle, rpm, cycles_of(&error), error.to_string()), None),
    }
}

/// Cycles begun when a run stopped.
fn cycles_of(error: &RigError) -> u32 {
    match error {
        RigError::Unphysical { cycle, .. } | RigError::Charge { cycle, .. } | RigError::TooManySteps { cycle, .. } => {
            *cycle
        }
        RigError::TooManyCells { .. } | RigError::Grid { .. } => 0,
    }
}

impl PointResult {
    /// The row of a finished run.
    #[must_use]
    pub fn of(machine: &Machine, throttle: f64, rpm: f64, run: &Run) -> Self {
        let r = &run.record;
        let finite = |x: f64| x.is_finite().then_some(x);
        // What cannot be computed stays not a number here, so that `sound` finds and names it.
        let ratio =
            |a: f64, b: f64| if b <= 0.0 { None } else { Some(a / b).filter(|q| !q.is_infinite() || a.is_infinite()) };
        // One cycle is two turns; flows per cycle to g/s.
        let per_second = 1e3 * rpm / 120.0;
        let flow = |kg: f64| Some(kg * per_second);
        let crank = &machine.engine.crank;
        let swept = crank.swept_volume();
        let torque = r.bmep() * swept / (4.0 * std::f64::consts::PI);
        let dry = machine.air.dry_share() * r.inlet_air;
        let fuel = r.main + r.pilot + r.starter;
        let afr = ratio(r.trapped.fresh_dry_air, r.trapped.fresh_fuel);
        let status = match run.outcome {
            Outcome::Converged => Status::Converged,
            Outcome::Alternating => Status::Alternating,
            Outcome::CycleLimit => Status::CycleLimit,
            Outcome::Stopped => Status::TimeLimit,
        };
        let stopped = || format!("stopped by a limit of time after {} cycles", run.cycles);
        Self {
            throttle,
            rpm,
            afr,
            lambda: afr.map(|x| x / machine.fuel.stoichiometric),
            afr_metered: ratio(dry, fuel),
            ve: Some(r.trapped.fresh_dry_air / (machine.air.dry_density() * swept)),
            torque_nm: Some(torque),
            power_kw: Some(1e-3 * torque * rpm * std::f64::consts::PI / 30.0),
            air_g_s: flow(dry),
            fuel_g_s: flow(fuel),
            fuel_pilot_g_s: flow(r.pilot),
            fuel_main_g_s: flow(r.main),
            fuel_starter_g_s: flow(r.starter),
            standoff_g_s: flow(r.standoff),
            nozzle_depression_pa: Some(r.depression),
            manifold_pa: Some(r.manifold),
            residual: finite(run.residual),
            cycles: run.cycles,
            converged: status == Status::Converged,
            standoff_lost_g_s: flow(r.lost),
            residual_gas: ratio(r.trapped.burnt, r.trapped.gas),
            imep_pa: Some(r.imep),
            fmep_pa: Some(r.fmep),
            fired: r.trapped.fired,
            peak_air_speed: Some(r.peak_speed),
            repairs: r.repairs,
            status,
            note: match status {
                Status::TimeLimit => Some(stopped()),
                Status::Alternating | Status::CycleLimit if run.misfires() => Some(misfires(run)),
                Status::Alternating if r.trapped.fired => {
                    Some("the cycles repeat every second or third time; the last one is given".into())
                }
                Status::CycleLimit if r.trapped.fired => Some(still_changes(run)),
                _ => (!r.trapped.fired).then(|| unfired(r.trapped.lambda)),
            },
            corrected_torque_nm: None,
            corrected_power_kw: None,
            imep_gross_pa: Some(r.imep_gross),
            pmep_pa: Some(r.pmep),
            bmep_pa: Some(r.bmep()),
            trapped_lambda: finite(r.trapped.lambda),
            exhaust_temperature_k: Some(r.exhaust_temperature).filter(|t| *t > 0.0 || t.is_nan()),
            fuel_g_kwh: ratio(3.6e6 * per_second * fuel, torque * rpm * std::f64::consts::PI / 30.0),
            fuel_l_h: Some(3.6e3 * per_second * fuel / machine.fuel.density),
            torque_lost: None,
            lambda_of_best: None,
            pilot_openings: r.pilot_openings.iter().map(|o| opening(o, per_second)).collect(),
            piston_lift_m: r.piston_lift,
        }
    }

    /// The same with what `rig`, which made the `run`, says about the mixture of most torque.
    #[must_use]
    pub fn against_best(self, rig: &Rig, run: &Run) -> Self {
        let best = best_mixture(rig, &run.record);
        Self { torque_lost: best.and_then(|b| b.lost), lambda_of_best: best.map(|b| b.lambda), ..self }
    }
}

/// Sums of a cycle [kg] as means.
fn opening(sums: &OpeningSums, per_second: f64) -> PilotOpening {
    PilotOpening {
        gas_given_g_s: per_second * sums.gas_given,
        gas_taken_g_s: per_second * sums.gas_taken,
        fuel_g_s: per_second * sums.fuel,
    }
}

/// Why a cycle ran unfired.
fn unfired(lambda: f64) -> String {
    let (rich, lean) = crate::cylinder::burn::IGNITABLE;
    if lambda.is_finite() {
        format!("unfired: the charge has lambda {lambda:.2}, it burns between {rich} and {lean}")
    } else {
        "unfired: no fuel in the charge".into()
    }
}

/// How much a run still changed when it reached the limit of cycles.
fn still_changes(run: &Run) -> String {
    if run.residual.is_finite() {
        format!(
            "air, fuel or burnt gas still change by up to {:.2} % a cycle after {} cycles",
            100.0 * run.residual,
            run.cycles
        )
    } else {
        format!("not settled after {} cycles", run.cycles)
    }
}

/// First word of the note of a run at the edge of what burns.
const MISFIRES: &str = "misfires";

/// Why a run at the edge of what burns does not repeat.
fn misfires(run: &Run) -> String {
    let of = LOOKED_BACK.min(run.cycles);
    let (rich, lean) = crate::cylinder::burn::IGNITABLE;
    let lambda = run.record.trapped.lambda;
    let last = if lambda.is_finite() { format!("lambda {lambda:.2}") } else { "no fuel".to_owned() };
    format!(
        "{MISFIRES}: {} of the last {of} cycles did not fire; the last charge has {last}, it burns between {rich} and \
         {lean}",
        run.unfired
    )
}
