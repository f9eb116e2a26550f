//! One run: the machine brought to its steady start, the throttle opened, cycle after cycle.

use std::f64::consts::PI;
use std::sync::atomic::{AtomicBool, Ordering};

use super::goal::Goal;
use super::hole::{hole, misfit, rich_spell};
use super::result::{SnapCycle, SnapRun};
use crate::hardware::accelerator_pump::AcceleratorPump;
use crate::hardware::machine::Machine;
use crate::rig::converge::{Run, change};
use crate::rig::error::RigError;
use crate::rig::machine_state::{OperatingPoint, Rig};
use crate::rig::record::CycleRecord;
use crate::rig::settings::Settings;
use crate::rig::transient::{FilmRule, Opening, TransientCycle, metered};
use crate::setup::SnapPlan;
use crate::study::point::PointResult;

/// Most cycles in which the wetted machine settles before the throttle moves.
const MOST_SETTLING: u32 = 60;
/// Cycles before the opening that are kept.
const BEFORE: usize = 3;
/// Speed over idle below which the run ends: the engine stalls [-].
const STALLED: f64 = 0.4;

/// The machine ready to be snapped, its walls wet.
#[derive(Debug, Clone)]
pub struct Ready {
    rig: Rig,
    before: Vec<(CycleRecord, TransientCycle)>,
    /// The steady engine.
    pub point: PointResult,
}

/// Torque that the engine has to carry beside what accelerates [N m] against speed [rpm], and what it accelerates [kg
/// m2].
pub struct Load<'a> {
    /// Moment of inertia at the crank.
    pub inertia: f64,
    /// Torque at a speed.
    pub torque: &'a (dyn Fn(f64) -> f64 + Sync),
}

/// Brings the machine to the start of the plan; none when stopped.
///
/// # Errors
/// A sentence: no steady running there, or a state out of bounds.
pub fn ready(
    machine: &Machine,
    plan: &SnapPlan,
    settings: &Settings,
    stop: &AtomicBool,
) -> Result<Option<Ready>, String> {
    let lift = |throttle: f64| throttle * machine.carburettor.slide.bore;
    let said = |e: RigError| e.to_string();
    let mut rig =
        Rig::cold(machine, OperatingPoint { rpm: plan.rpm, lift: lift(plan.from) }, settings).map_err(said)?;
    let go_on = || !stop.load(Ordering::Relaxed);
    let run: Run = rig.converge_while(&go_on).map_err(said)?;
    let point = PointResult::of(machine, plan.from, plan.rpm, &run).against_best(&rig, &run);
    if !go_on() {
        return Ok(None);
    }
    let rule = FilmRule::of(machine, plan.film_share, plan.film_time);
    rig.wet(rule, Opening { from: lift(plan.from), to: lift(plan.to), time: plan.time }, &run.record);
    let mut before = vec![(run.record, TransientCycle::default())];
    let mut quiet = 0;
    for _ in 0..MOST_SETTLING {
        let next = rig.run_transient_cycle().map_err(said)?;
        let step = before.last().map_or(f64::INFINITY, |(last, _)| change(last, &next.0));
        quiet = if step < settings.tolerance { quiet + 1 } else { 0 };
        before.push(next);
        if !go_on() {
            return Ok(None);
        }
        if quiet >= 2 && before.len() > BEFORE + 1 {
            break;
        }
    }
    before.drain(..before.len() - BEFORE);
    Ok(Some(Ready { rig, before, point }))
}

/// The steady engine at `throttle` and `rpm`.
#[must_use]
pub fn settled(machine: &Machine, throttle: f64, rpm: f64, settings: &Settings, stop: &AtomicBool) -> PointResult {
    let go_on = || !stop.load(Ordering::Relaxed);
    crate::study::point::solve_while(machine, throttle, rpm, None, settings, &go_on).0
}

impl Ready {
    /// Brake torque before the opening [N m].
    #[must_use]
    pub fn torque(&self) -> f64 {
        self.before.last().map_or(0.0, |(r, _)| torque(self.rig.machine(), r))
    }

    /// Opens the throttle and runs to the end of the plan, with `pump` or without; none when stopped.
    #[must_use]
    pub fn run(
        &self,
        plan: &SnapPlan,
        pump: Option<&AcceleratorPump>,
        load: Option<&Load<'_>>,
        stop: &AtomicBool,
    ) -> Option<Raw> {
        let mut rig = self.rig.clone();
        if let Some(pump) = pump {
            rig.fit_pump(pump);
        }
        rig.open_from_now();
        let mut raw = Raw { cycles: self.before.clone(), rpm: vec![plan.rpm; BEFORE], stalled: false, note: None };
        let (mut time, mut rpm) = (0.0, plan.rpm);
        while time < plan.run {
            if stop.load(Ordering::Relaxed) {
                return None;
            }
            let (record, film) = match rig.run_transient_cycle() {
                Ok(cycle) => cycle,
                Err(error) => {
                    raw.note = Some(error.to_string());
                    return Some(raw);
                }
            };
            time += record.time;
            raw.rpm.push(rpm);
            if let Some(load) = load {
                rpm = faster(rig.machine(), &record, rpm, load);
                if rpm < STALLED * rig.machine().engine.idle_rpm {
                    raw.stalled = true;
                    raw.cycles.push((record, film));
                    return Some(raw);
                }
                rig.set_speed(rpm);
            }
            raw.cycles.push((record, film));
        }
        Some(raw)
    }
}

/// Speed after a cycle [rpm]: `J (w'^2 - w^2)/2` is the brake work of the cycle less the load's over its two turns. The
/// speed is even within a cycle.
fn faster(machine: &Machine, record: &CycleRecord, rpm: f64, load: &Load<'_>) -> f64 {
    let omega = rpm * PI / 30.0;
    let work = 4.0 * PI * (torque(machine, record) - (load.torque)(rpm));
    (omega * omega + 2.0 * work / load.inertia).max(0.0).sqrt() * 30.0 / PI
}

/// Mean brake torque of a cycle [N m].
fn torque(machine: &Machine, record: &CycleRecord) -> f64 {
    record.bmep() * machine.engine.crank.swept_volume() / (4.0 * PI)
}

/// The cycles of a run as the rig gave them.
#[derive(Debug, Clone)]
pub struct Raw {
    cycles: Vec<(CycleRecord, TransientCycle)>,
    rpm: Vec<f64>,
    stalled: bool,
    note: Option<String>,
}

impl Raw {
    /// Speed of the last cycle [rpm].
    #[must_use]
    pub fn last_rpm(&self) -> f64 {
        self.rpm.last().copied().unwrap_or(f64::NAN)
    }

    /// The run against the wanted mixture.
    #[must_use]
    pub fn against(&self, machine: &Machine, goal: &Goal) -> SnapRun {
        let before: f64 = self.cycles.iter().take(BEFORE).map(|(r, _)| r.time).sum();
        let (mut time, mut throttle) = (-before, goal.from);
        let mut cycles = Vec::with_capacity(self.cycles.len());
        for (place, ((r, t), rpm)) in self.cycles.iter().zip(&self.rpm).enumerate() {
            // The first cycle after the opening begins at nothing, whatever the sum of durations rounds to.
            let begins = if place == BEFORE { 0.0 } else { time };
            cycles.push(row(machine, goal, (r, t), *rpm, (begins, throttle)));
            time = begins + r.time;
            throttle = t.lift / machine.carburettor.slide.bore;
        }
        let open = || cycles.iter().filter(|c| c.time_s >= 0.0);
        let sum = |f: fn(&SnapCycle) -> f64| open().map(f).sum::<f64>();
        let worst = |f: fn(&SnapCycle) -> f64| cycles.iter().map(f).fold(0.0, f64::max);
        SnapRun {
            hole: hole(&cycles),
            rich: rich_spell(&cycles),
            misfit: misfit(&cycles),
            missing_mg: sum(|c| c.missing_mg().max(0.0)),
            surplus_mg: sum(|c| (-c.missing_mg()).max(0.0)),
            squirt_mg: sum(|c| c.squirt_mg),
            leaked_mg: sum(|c| c.leaked_mg),
            squirt_lasts_s: squirt_lasts(&cycles),
            worst_defect: worst(|c| c.fuel_defect).max(worst(|c| c.pump_defect)),
            stalled: self.stalled,
            note: self.note.clone(),
            cycles,
        }
    }
}

fn row(
    machine: &Machine,
    goal: &Goal,
    (r, t): (&CycleRecord, &TransientCycle),
    rpm: f64,
    (time_s, throttle): (f64, f64),
) -> SnapCycle {
    let stoichiometric = machine.fuel.stoichiometric;
    let lambda_wanted = goal.lambda(throttle);
    let (air, fuel) = (r.trapped.fresh_dry_air.max(0.0), r.trapped.fresh_fuel.max(0.0));
    let afr = (fuel > 0.0).then(|| air / fuel);
    let pump = [t.displaced, t.squirt, t.leaked, t.drawn, t.stored];
    let most = pump.iter().fold(0.0, |a: f64, b| a.max(b.abs()));
    let pump_defect = (t.displaced - (t.squirt + t.leaked - t.drawn + t.stored)).abs();
    let mg = |kg: f64| 1e6 * kg;
    SnapCycle {
        time_s,
        lasts_s: r.time,
        rpm,
        throttle,
        afr,
        lambda: afr.map(|a| a / stoichiometric),
        lambda_wanted,
        fired: r.trapped.fired,
        torque_nm: torque(machine, r),
        manifold_pa: r.manifold,
        air_mg: mg(air),
        fuel_mg: mg(fuel),
        needed_mg: mg(air / (lambda_wanted * stoichiometric)),
        metered_mg: mg(metered(r)),
        squirt_mg: mg(t.squirt),
        leaked_mg: mg(t.leaked),
        landed_mg: mg(t.landed),
        left_mg: mg(t.left),
        film_mg: mg(t.film),
        film_share: t.share,
        film_time_s: t.time,
        film_held: t.held,
        fuel_defect: r.mass_defect.fuel,
        pump_defect: if most > 0.0 { pump_defect / most } else { 0.0 },
        repairs: r.repairs,
    }
}

/// Time between a hundredth and 0.91 of the squirt [s]: nine tenths of it, the slow end left out.
fn squirt_lasts(cycles: &[SnapCycle]) -> Option<f64> {
    let whole: f64 = cycles.iter().map(|c| c.squirt_mg).sum();
    let at = |share: f64| {
        let mut sum = 0.0;
        cycles.iter().find_map(|c| {
            let before = sum;
            sum += c.squirt_mg;
            (sum >= share * whole).then(|| c.time_s + c.lasts_s * (share * whole - before) / c.squirt_mg)
        })
    };
    if whole > 0.0 { Some(at(0.91)? - at(0.01)?) } else { None }
}
