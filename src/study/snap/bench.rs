//! What a pump would add to the charge of each cycle, without running the engine: the pump on the bench with the
//! slide's motion, then the film's law on its squirt.
//!
//! The film's law is linear, so the squirt's share in charge and film adds to what they are without it. A squirt
//! reaches the charge that the next cycle burns. Left out: suction at the pump's nozzle, the way of the fuel through
//! duct and port.

use super::result::SnapRun;
use crate::hardware::accelerator_pump::{AcceleratorPump, Aim};
use crate::hardware::machine::Machine;
use crate::laws::wall_film::WallFilm;
use crate::metering::accelerator_pump::PumpMetering;
use crate::rig::transient::Opening;

/// Step of the pump [s].
const STEP: f64 = 1e-3;

/// Fuel added to the charge of each cycle of `without` by `pump` [mg].
#[must_use]
pub fn added(machine: &Machine, opening: &Opening, pump: &AcceleratorPump, without: &SnapRun) -> Vec<f64> {
    let level = machine.carburettor.bowl.level_below_bore;
    let mut metering = PumpMetering::new(pump, level, &machine.fuel, opening.from);
    let mg = 1e6 * machine.fuel.density;
    let (mut film, mut to_come) = (0.0, 0.0);
    let mut added = Vec::with_capacity(without.cycles.len());
    for c in &without.cycles {
        added.push(to_come);
        let steps = (c.lasts_s / STEP).ceil().max(1.0);
        let dt = c.lasts_s / steps;
        let mut squirt = 0.0;
        for i in 1..=steps as u32 {
            let lift = opening.lift(c.time_s + dt * f64::from(i));
            if !metering.rests(lift, 0.0) {
                squirt += mg * metering.step(dt, lift, 0.0).nozzle;
            }
        }
        let law = WallFilm { share: c.film_share, time: c.film_time_s };
        let share = if pump.aim == Aim::Needle { 1.0 } else { law.share };
        let left = law.leaves(film, share * squirt, c.lasts_s);
        film += share * squirt - left;
        to_come = (1.0 - share) * squirt + left;
    }
    added
}
