//! Fuel jets in both families of numbers.

use serde::Serialize;

use super::super::jet::{USUAL_HEAD, flow_of};
use crate::hardware::jet::Jet;
use crate::hardware::machine::Machine;
use crate::media::fuel::Fuel;

/// One fuel jet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct JetRow {
    /// Which jet.
    pub name: &'static str,
    /// Bore [m].
    pub bore: f64,
    /// Number in the bore family: hundredths of a millimetre.
    pub bore_number: f64,
    /// Flow [cc/min] under `head` of petrol as warm as the bowl.
    pub flow: f64,
    /// Head [m] at which the flow counts.
    pub head: f64,
}

/// Main jet, pilot jet, and the starter jet and pump nozzle of a carburettor that has them.
#[must_use]
pub fn rows(machine: &Machine) -> Vec<JetRow> {
    let head = USUAL_HEAD * 1e-3;
    let petrol = Fuel::petrol(745.0, machine.fuel.temperature);
    let row = |name, jet: &Jet| JetRow {
        name,
        bore: jet.bore,
        bore_number: jet.bore * 1e5,
        flow: flow_of(jet, head, &petrol) * 6e7,
        head,
    };
    let c = &machine.carburettor;
    let mut rows = vec![row("main jet", &c.main.main_jet), row("pilot jet", &c.pilot.jet)];
    rows.extend(c.starter.as_ref().map(|s| row("starter jet", &s.jet)));
    rows.extend(c.pump.as_ref().map(|p| row("pump nozzle", &p.nozzle)));
    rows
}
