//! The whole trial: steady before and after, opened without a pump, with the pump as it is, and with the best one.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use super::goal::Goal;
use super::result::{PumpParts, PumpRun, SnapResult, SnapRun, Tuned};
use super::run::{Load, Raw, Ready, ready, settled};
use super::tune::{self, Free, at_the_end, beyond, next, parts_of, sizes, tried, with_parts};
use crate::hardware::accelerator_pump::AcceleratorPump;
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;
use crate::rig::transient::{Opening, wall};
use crate::setup::{Setup, SnapPlan};
use crate::study::point::PointResult;
use crate::study::pump_bench;
use crate::study::tasks::in_order;

/// Version of the layout of `snap.json`; additions do not change it.
const SCHEMA: u32 = 1;
/// Rod gap and stop over the bore to start from. Common practice, no source: 2 mm, and between 2/3 and 3/4 throttle.
pub const USUAL: (f64, f64) = (2e-3, 0.7);

/// How the runs are done.
pub struct Bench<'a> {
    /// The set-up.
    pub setup: &'a Setup,
    /// What is opened, how fast.
    pub plan: SnapPlan,
    /// Settings of the computation.
    pub settings: &'a Settings,
    /// Threads.
    pub threads: NonZeroUsize,
    /// Set when the owner wants to stop.
    pub stop: &'a AtomicBool,
    /// Told after each run on the engine.
    pub heard: &'a (dyn Fn() + Sync),
}

/// Runs on the engine that a trial takes, so that its progress can be told.
#[must_use]
pub fn runs(pump: bool, tunes: bool) -> usize {
    3 + usize::from(pump) + if pump && tunes { 1 + tune::ROUNDS * tune::IN_A_ROUND } else { 0 }
}

impl Bench<'_> {
    fn machine(&self) -> &Machine {
        &self.setup.machine
    }

    fn opening(&self) -> Opening {
        let bore = self.machine().carburettor.slide.bore;
        Opening { from: self.plan.from * bore, to: self.plan.to * bore, time: self.plan.time }
    }

    /// What the engine accelerates, at the crank [kg m2]; none when the speed is held.
    fn inertia(&self) -> Option<f64> {
        let gear = self.plan.gear.zip(self.setup.road.as_ref());
        let vehicle = gear.and_then(|(gear, road)| road.crank_inertia(gear));
        (!self.plan.held()).then(|| self.plan.inertia.unwrap_or(0.0) + vehicle.unwrap_or(0.0))
    }

    /// Torque that the engine has to carry beside what accelerates [N m] against speed [rpm]: the road's in a gear,
    /// else what it carried before, `before` [N m].
    fn carried(&self, before: f64) -> impl Fn(f64) -> f64 + Sync {
        let (road, gear, density) = (self.setup.road.clone(), self.plan.gear, self.machine().air.density());
        move |rpm: f64| {
            let of_road = gear.zip(road.as_ref()).and_then(|(gear, road)| {
                let speed = road.speed(rpm, gear)?;
                road.crank_torque(speed, gear, density)
            });
            of_road.unwrap_or(before)
        }
    }

    /// The trial, the parts of `free` being looked for; none when stopped.
    ///
    /// # Errors
    /// A sentence: what kept the engine from running.
    pub fn trial(&self, free: &[Free]) -> Result<Option<SnapResult>, String> {
        let Some(ready) = ready(self.machine(), &self.plan, self.settings, self.stop)? else { return Ok(None) };
        (self.heard)();
        let carried = self.carried(ready.torque());
        let load = self.inertia().map(|inertia| Load { inertia, torque: &carried });
        let pump = self.machine().carburettor.pump;
        let own = [None, pump.as_ref()];
        let own = if pump.is_some() { &own[..] } else { &own[..1] };
        let Some(raw) = self.each(&ready, load.as_ref(), own)? else { return Ok(None) };
        let after = self.after(&raw[0]);
        (self.heard)();
        let goal = Goal::of(&ready.point, &after, &self.setup.targets);
        let against = |raw: &Raw| raw.against(self.machine(), &goal);
        let without = against(&raw[0]);
        let with = pump.zip(raw.get(1)).map(|(p, raw)| self.pump_run(&p, against(raw)));
        let tuned = match (pump, &with) {
            (Some(pump), Some(with)) if !free.is_empty() => {
                let search = Search { bench: self, ready: &ready, load: load.as_ref(), goal: &goal };
                let Some(tuned) = search.best(&pump, free, &without, with)? else { return Ok(None) };
                Some(tuned)
            }
            _ => None,
        };
        Ok(Some(SnapResult {
            schema: SCHEMA,
            version: env!("CARGO_PKG_VERSION").to_owned(),
            name: self.setup.name.clone(),
            plan: self.plan,
            inertia_kg_m2: self.inertia(),
            bore_m: self.machine().carburettor.slide.bore,
            fuel_density: self.machine().fuel.density,
            before: ready.point,
            after,
            goal,
            wall_k: wall(self.machine()),
            without,
            with,
            tuned,
        }))
    }

    /// The steady engine at the throttle after the opening, at the speed at which `raw` ended.
    fn after(&self, raw: &Raw) -> PointResult {
        settled(self.machine(), self.plan.to, raw.last_rpm(), self.settings, self.stop)
    }

    /// Runs with each of `pumps`; none when stopped.
    fn each(
        &self,
        ready: &Ready,
        load: Option<&Load<'_>>,
        pumps: &[Option<&AcceleratorPump>],
    ) -> Result<Option<Vec<Raw>>, String> {
        let act = |i: usize| {
            let raw = ready.run(&self.plan, pumps[i], load, self.stop);
            (self.heard)();
            raw
        };
        let mut runs = Vec::with_capacity(pumps.len());
        for result in in_order(pumps.len(), self.threads, self.stop, &act) {
            match result {
                Some(Ok(Some(raw))) => runs.push(raw),
                Some(Err(panic)) => return Err(panic),
                _ => return Ok(None),
            }
        }
        Ok(Some(runs))
    }

    fn pump_run(&self, pump: &AcceleratorPump, run: SnapRun) -> PumpRun {
        let mut machine = self.machine().clone();
        machine.carburettor.pump = Some(*pump);
        let empty = pump_bench::PumpSheet { ten_strokes: 0.0, siphons_above: f64::NAN, squirts: Vec::new() };
        PumpRun { parts: parts_of(pump), bench: pump_bench::sheet(&machine).unwrap_or(empty), run }
    }
}

/// What a search for the best pump rests on.
struct Search<'a> {
    bench: &'a Bench<'a>,
    ready: &'a Ready,
    load: Option<&'a Load<'a>>,
    goal: &'a Goal,
}

impl Search<'_> {
    /// The best pump, from the run `without` one and the run `with` the fitted one; none when stopped.
    fn best(
        &self,
        pump: &AcceleratorPump,
        free: &[Free],
        without: &SnapRun,
        with: &PumpRun,
    ) -> Result<Option<Tuned>, String> {
        let b = self.bench;
        let bore = b.machine().carburettor.slide.bore;
        let start = PumpParts { rod_gap_m: USUAL.0, stop_m: USUAL.1 * bore, ..parts_of(pump) };
        let sizes = sizes(pump, (bore, &b.opening()), &start, free);
        let Some(added) = tried(b.machine(), &b.opening(), (pump, &sizes), without, (b.threads, b.stop)) else {
            return Ok(None);
        };
        let Some(mut first) = self.run(&[with_parts(pump, &start)])? else { return Ok(None) };
        let usual = first.remove(0);
        // The fitted pump's word corrects the model for the first choice.
        let model = super::bench::added(b.machine(), &b.opening(), pump, without);
        let mut correction = beyond(&with.run, without, &model);
        let mut found: Vec<PumpRun> = Vec::new();
        let mut run: Vec<usize> = Vec::new();
        for _ in 0..tune::ROUNDS {
            let chosen = next(without, &sizes, &added, &correction, &run);
            let pumps: Vec<AcceleratorPump> = chosen.iter().map(|i| with_parts(pump, &sizes[*i])).collect();
            let Some(results) = self.run(&pumps)? else { return Ok(None) };
            let better = results.iter().zip(&chosen).min_by(|a, b| score(a.0).total_cmp(&score(b.0)));
            if let Some((result, i)) = better {
                correction = beyond(&result.run, without, &added[*i]);
            }
            run.extend(&chosen);
            found.extend(results);
        }
        let tried = sizes.len();
        let runs = found.len();
        let own = (free.len() == Free::ALL.len()).then(|| usual.clone());
        let all = found.into_iter().chain([with.clone()]).chain(own);
        let best = all.min_by(|a, b| score(a).total_cmp(&score(b))).unwrap_or_else(|| with.clone());
        Ok(Some(Tuned { at_the_end: at_the_end(&best.parts, &sizes), best, usual, tried, run: runs }))
    }

    fn run(&self, pumps: &[AcceleratorPump]) -> Result<Option<Vec<PumpRun>>, String> {
        let asked: Vec<Option<&AcceleratorPump>> = pumps.iter().map(Some).collect();
        let Some(raw) = self.bench.each(self.ready, self.load, &asked)? else { return Ok(None) };
        let machine = self.bench.machine();
        let runs = raw.iter().zip(pumps);
        Ok(Some(runs.map(|(raw, pump)| self.bench.pump_run(pump, raw.against(machine, self.goal))).collect()))
    }
}

fn score(run: &PumpRun) -> f64 {
    run.run.misfit.score()
}
