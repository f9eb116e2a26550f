//! What happens when a valve opens or shuts, and the count of the fresh charge between.

use super::closed_part::TrappedState;
use super::machine_state::{CYCLE_ANGLE, CYCLE_START, Rig};
use crate::cylinder::charge::ValveFlow;

impl Rig {
    /// Keeps count of what came through the inlet valve since it opened, net; what leaves through the exhaust valve takes
    /// the fresh share of the charge along.
    pub(super) fn tag_fresh(&mut self, inlet: &ValveFlow, exhaust: &ValveFlow) {
        let c = &mut self.cylinder.charge;
        if exhaust.gas < 0.0 {
            let share = |fresh: f64, all: f64| if all > 0.0 { (fresh / all).clamp(0.0, 1.0) } else { 0.0 };
            c.fresh_air += exhaust.air() * share(c.fresh_air, c.air);
            c.fresh_fuel += (exhaust.vapour + exhaust.liquid) * share(c.fresh_fuel, c.vapour + c.liquid);
        }
        c.fresh_air += inlet.air();
        c.fresh_fuel += inlet.vapour + inlet.liquid;
    }

    /// Inlet opens: fresh charge is counted from here. Inlet shuts: the charge is trapped and its burn decided. Exhaust opens:
    /// the outflow's mean temperature is taken anew.
    pub(super) fn pass_valve_events(&mut self, next: f64) {
        let passes = |angle: f64| {
            let mut a = if angle.abs() < CYCLE_ANGLE { angle } else { angle % CYCLE_ANGLE };
            while a < CYCLE_START {
                a += CYCLE_ANGLE;
            }
            while a >= CYCLE_START + CYCLE_ANGLE {
                a -= CYCLE_ANGLE;
            }
            a >= self.phase && a < next
        };
        let e = &self.machine.engine;
        let (opens, shuts) = (passes(e.inlet_valve.lift.opening()), passes(e.inlet_valve.lift.closing()));
        let (blows, closes) = (passes(e.exhaust_valve.lift.opening()), passes(e.exhaust_valve.lift.closing()));
        if opens {
            self.cylinder.charge.fresh_air = 0.0;
            self.cylinder.charge.fresh_fuel = 0.0;
        }
        if shuts {
            self.cylinder.trap();
            let c = self.cylinder.charge;
            self.trapped = Some(Box::new(TrappedState { cylinder: self.cylinder.clone(), phase: next }));
            let burn = self.plan_burn(&self.cylinder, next);
            let t = &mut self.sums.trapped;
            t.fresh_dry_air = self.dry * c.fresh_air;
            t.fresh_fuel = c.fresh_fuel;
            t.burnt = c.burnt;
            t.gas = c.gas();
            t.fired = burn.fired;
            t.lambda = burn.lambda;
            self.cylinder.ignite(burn);
        }
        if blows {
            self.exhaust_side.outflow = (0.0, 0.0);
        }
        let x = &mut self.exhaust_side;
        if closes && x.outflow.0 > 0.0 {
            x.mean_temperature = x.outflow.1 / x.outflow.0;
        }
    }
}
