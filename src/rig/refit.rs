//! Other metering parts in a running machine: its gas and fuel go on from where they are.

use super::intake::Passage;
use super::machine_state::Rig;
use super::vacuum_piston::twofold;
use crate::hardware::machine::Machine;
use crate::metering::chamber::Chamber;
use crate::metering::column::Column;
use crate::metering::main_circuit::MainMetering;
use crate::metering::pilot_circuit::PilotMetering;
use crate::metering::starter_circuit::StarterMetering;

impl Rig {
    /// The same state with the metering parts of `machine`: jets, needle jet, needle, mixture screw, pilot holes,
    /// cutaway and fuel level. Gas, charge, fuel columns and chambers keep their state, so that a small change becomes
    /// periodic sooner than from rest; what it becomes does not depend on where it came from but by the tolerance.
    /// Cycles count anew.
    ///
    /// None if `machine` differs in anything else, which a state of gas and fuel cannot go on from.
    #[must_use]
    pub fn refitted(&self, machine: &Machine) -> Option<Self> {
        let (old, new) = (&self.machine.carburettor, &machine.carburettor);
        let mut alike = self.machine.clone();
        alike.carburettor.main = new.main.clone();
        alike.carburettor.pilot = new.pilot.clone();
        alike.carburettor.slide.cutaway = new.slide.cutaway;
        alike.carburettor.bowl = new.bowl;
        if alike != *machine || old.pilot.bypass.len() != new.pilot.bypass.len() {
            return None;
        }
        let (level, fuel, pressure) = (new.bowl.level_below_bore, &machine.fuel, machine.air.pressure);
        let mut rig = self.clone();
        let lift = self.vacuum.as_ref().map_or(self.point.lift, |v| v.piston.lift);
        rig.passage = Passage::new(new, lift);
        rig.main = MainMetering::new(&new.main, level, fuel, pressure, lift);
        rig.pilot = PilotMetering::new(&twofold(new), level, fuel, pressure);
        let starter = new.starter.as_ref().and_then(|s| StarterMetering::new(s, level, fuel, pressure));
        rig.starter = starter;
        rig.machine = alike;
        rig.stand();
        rig.open_throttle();
        take_over(&mut rig.main.column, &self.main.column);
        take_over(&mut rig.pilot.column, &self.pilot.column);
        refill(&mut rig.main.chamber, &self.main.chamber);
        refill(&mut rig.pilot.chamber, &self.pilot.chamber);
        if let (Some(starter), Some(from)) = (&mut rig.starter, &self.starter) {
            take_over(&mut starter.column, &from.column);
            refill(&mut starter.chamber, &from.chamber);
        }
        if let (Some(well), Some(from)) = (&mut rig.main.well, &self.main.well) {
            well.drawn_down_as(from);
        }
        rig.cycles = 0;
        Some(rig)
    }
}

/// Flow and empty length of a column in another passage.
fn take_over(column: &mut Column, from: &Column) {
    column.flow = from.flow;
    column.void = from.void.min(column.passage_volume);
}

/// Fuel and pressure of a chamber in another one.
fn refill(chamber: &mut Chamber, from: &Chamber) {
    chamber.liquid = from.liquid.min(chamber.volume * chamber.fuel_density);
    chamber.pressure = from.pressure;
}
