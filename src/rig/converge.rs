//! Cycle after cycle until the machine is periodic.

use super::creep::Creeping;
use super::error::RigError;
use super::machine_state::Rig;
use super::record::CycleRecord;

/// Share of all fuel below which a circuit's change is measured against all fuel [-], so that a trickle does not decide.
const TRICKLE: f64 = 0.1;

/// Weight of fuel that goes into store in the circuits or above a vacuum piston [-]: at the tolerance of 2e-4 two parts in a thousand of the fuel.
const STORED: f64 = 0.1;

/// Weight of the drift of a vacuum piston's mean lift and of a well's surface [-], which creep: the change of one cycle is a small part of what is to come.
const CREEPING: f64 = 2.5;

/// Air-fuel ratio of the charge that little fuel is measured against [-]: about stoichiometric.
const BURNABLE: f64 = 15.0;

/// Largest change of one cycle, in tolerances, of a swing that counts as nothing when every second or third cycle is the same [-]:
/// each is then within four tolerances of the others.
const SWING: f64 = 4.0;
/// Cycles over which a swing must be seen.
const LONG: u32 = 5;

/// Cycles at the end of a run in which misfires are counted.
pub const LOOKED_BACK: u32 = 10;

/// How a run of cycles ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Periodic.
    Converged,
    /// Every second or third cycle is the same, successive ones are not.
    Alternating,
    /// The limit of cycles came first.
    CycleLimit,
    /// The owner of the run had it stopped.
    Stopped,
}

/// A finished run of cycles.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// The last cycle.
    pub record: CycleRecord,
    /// How it ended.
    pub outcome: Outcome,
    /// Largest relative change over the last two cycles [-].
    pub residual: f64,
    /// Cycles run.
    pub cycles: u32,
    /// How many of the last [`LOOKED_BACK`] cycles did not fire.
    pub unfired: u32,
}

impl Run {
    /// Whether some of the last cycles fired and others did not: the charge is at the edge of what burns, and what one cycle
    /// leaves behind decides about the next.
    #[must_use]
    pub fn misfires(&self) -> bool {
        self.unfired > 0 && self.unfired < LOOKED_BACK.min(self.cycles)
    }
}

/// Largest relative change between two cycles: trapped air, trapped burnt gas, fuel of each circuit [-].
#[must_use]
pub fn change(a: &CycleRecord, b: &CycleRecord) -> f64 {
    let relative = |x: f64, y: f64, least: f64| {
        let scale = x.abs().max(y.abs()).max(least);
        if scale > 0.0 { (x - y).abs() / scale } else { 0.0 }
    };
    let share = |x: f64, of: f64| if of > 0.0 { x.abs() / of } else { 0.0 };
    // A charge almost without fuel is measured against what its air could burn.
    let all = (b.main_out + b.pilot_out + b.starter_out).max(b.trapped.fresh_dry_air / BURNABLE);
    let fuel = TRICKLE * all;
    let gas = TRICKLE * b.trapped.gas;
    relative(a.trapped.fresh_dry_air, b.trapped.fresh_dry_air, gas)
        .max(relative(a.trapped.burnt, b.trapped.burnt, gas))
        .max(relative(a.trapped.fresh_fuel, b.trapped.fresh_fuel, fuel))
        .max(relative(a.main_out, b.main_out, fuel))
        .max(relative(a.pilot_out, b.pilot_out, fuel))
        .max(relative(a.starter_out, b.starter_out, fuel))
        .max(STORED * share(b.in_circuits - a.in_circuits, all))
        .max(STORED * share(b.above_piston - a.above_piston, all))
}

impl Rig {
    /// Runs cycles until the change over two successive ones stays below the tolerance, or every second or third one is the same and
    /// they swing by less than four tolerances.
    ///
    /// # Errors
    /// As [`Rig::run_cycle`].
    pub fn converge(&mut self) -> Result<Run, RigError> {
        self.converge_while(&|| true)
    }

    /// As [`Rig::converge`], as long as `go_on`, which is asked after each cycle.
    ///
    /// # Errors
    /// As [`Rig::run_cycle`].
    pub fn converge_while(&mut self, go_on: &dyn Fn() -> bool) -> Result<Run, RigError> {
        let s = self.settings;
        let mut last: Option<CycleRecord> = None;
        let mut before: Option<CycleRecord> = None;
        let mut third: Option<CycleRecord> = None;
        let mut small = 0;
        let mut swings = 0;
        let mut alternating = 0;
        let mut residual = f64::INFINITY;
        let mut previous_step = f64::INFINITY;
        let mut creeping = Creeping::before(self);
        // One bit for each cycle, the last one lowest.
        let mut unfired = 0_u32;
        loop {
            let record = self.run_cycle(false)?;
            unfired = (unfired << 1 | u32::from(!record.trapped.fired)) & ((1 << LOOKED_BACK) - 1);
            creeping.note(&record, self);
            let one = last.as_ref().map_or(f64::INFINITY, |l| change(l, &record));
            let drift = CREEPING * creeping.drift();
            let step = one.max(drift);
            let [two, three] = [&before, &third].map(|r| r.as_ref().map_or(f64::INFINITY, |r| change(r, &record)));
            residual = if step.is_finite() { step.max(previous_step) } else { residual };
            small = if step < s.tolerance { small + 1 } else { 0 };
            let (again, swing) = (two.min(three) < s.tolerance, one > SWING * s.tolerance);
            swings = if again && !swing && drift < s.tolerance { swings + 1 } else { 0 };
            alternating = if again && swing { alternating + 1 } else { 0 };
            previous_step = step;
            let cycles = self.cycles;
            let outcome = if (small >= 2 || swings >= LONG) && cycles >= s.fewest_cycles {
                Some(Outcome::Converged)
            } else if alternating >= LONG {
                Some(Outcome::Alternating)
            } else if cycles >= s.most_cycles {
                Some(Outcome::CycleLimit)
            } else if !go_on() {
                Some(Outcome::Stopped)
            } else {
                None
            };
            if let Some(outcome) = outcome {
                return Ok(Run { record, outcome, residual, cycles, unfired: unfired.count_ones() });
            }
            if step >= s.tolerance && s.help_slow_states {
                creeping.help(self, &record);
            }
            if s.help_slow_states {
                creeping.go_on(self);
            }
            third = before;
            before = last.replace(record);
        }
    }
}
