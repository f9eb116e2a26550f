//! What circuits and leak put into the cells on both sides of the slide and take from them.

use std::f64::consts::PI;

use super::books::Species;
use super::machine_state::Rig;
use crate::gas::duct_cells::DuctCells;
use crate::gas::exchange::Exchange;
use crate::gas::face::FaceFlow;
use crate::gas::plenum::Inflow;
use crate::hardware::machine::Machine;
use crate::laws::nozzle::mass_flow;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;
use crate::metering::main_circuit::CircuitStep;

/// Discharge coefficient of a small air leak [-]. Common practice: 0.8.
const LEAK_DISCHARGE: f64 = 0.8;

/// A cell beside a face: density [kg/m3], velocity [m/s] and pressure [Pa], and what its gas is.
type Cell = ((f64, f64, f64), Composition);

/// What is put into the cells beside slide and butterfly, and taken from them.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Exchanges {
    /// In front of the slide.
    pub up: Exchange,
    /// Behind a vacuum piston, and in front of its butterfly.
    pub between: (Exchange, Exchange),
    /// Behind slide or butterfly.
    pub down: Exchange,
}

/// Metered fuel as it enters the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct MeteredFuel {
    /// Share that evaporates at once [-].
    evaporated: f64,
    /// Gas constant of the vapour [J/(kg K)].
    r: f64,
    /// [`GasModel::liquid_enthalpy`] [J/kg].
    liquid_enthalpy: f64,
}

impl MeteredFuel {
    pub(super) fn new(machine: &Machine, gas: &GasModel) -> Self {
        let fuel = &machine.fuel;
        Self {
            evaporated: machine.evaporated_fraction,
            r: fuel.vapour_gas_constant,
            liquid_enthalpy: gas.liquid_enthalpy(fuel),
        }
    }

    /// `mass` [kg] into gas at `t` [K]: part evaporates at once, is warmed to `t` and takes both heats from the gas.
    pub(super) fn put(&self, gas: &GasModel, mass: f64, t: f64, to: &mut Exchange) {
        if mass.abs() <= 0.0 {
            return;
        }
        let vapour = self.evaporated * mass;
        to.put_gas(vapour, self.r, t, 0.0, 1.0);
        to.heat -= vapour * (gas.enthalpy(t, 0.0, 1.0) - self.liquid_enthalpy);
        to.liquid_in += mass - vapour;
    }
}

fn cell(duct: &DuctCells, i: usize) -> Cell {
    (duct.cell(i), duct.composition(i))
}

impl Rig {
    /// What the circuits and the leak put into the cells on both sides of the slide, or of piston and butterfly, and take from them.
    pub(super) fn exchange(
        &mut self,
        dt: f64,
        (slide, plate): (&FaceFlow, Option<&FaceFlow>),
        main: &CircuitStep,
        pilot: &CircuitStep,
        starter: Option<&CircuitStep>,
    ) -> Exchanges {
        let up = cell(&self.upstream, self.upstream.cells() - 1);
        let down = cell(&self.downstream, 0);
        let mut x = Exchanges::default();
        if let (Some(v), Some(plate)) = (&self.vacuum, plate) {
            let (first, last) = (cell(&v.between, 0), cell(&v.between, v.between.cells() - 1));
            // Each circuit by itself, at its own face.
            let nothing = CircuitStep::default();
            (x.up, x.between.0) = self.exchange_across(slide, (up, first), main, &nothing, None);
            let nozzle = self.air_side.air_box.as_ref().map(|b| b.pending[1]);
            (x.between.1, x.down) = self.exchange_across(plate, (last, down), &nothing, pilot, starter);
            if let (Some(b), Some(nozzle)) = (&mut self.air_side.air_box, nozzle) {
                b.pending[1] = nozzle;
            }
        } else {
            (x.up, x.down) = self.exchange_across(slide, (up, down), main, pilot, starter);
        }
        let r_air = self.gas.r(0.0, 0.0);
        self.leak(dt, r_air, down.1, &mut x.down);
        x
    }

    /// What circuits put into the cells on both sides of a face and take from them.
    fn exchange_across(
        &mut self,
        slide: &FaceFlow,
        (up_cell, down_cell): (Cell, Cell),
        main: &CircuitStep,
        pilot: &CircuitStep,
        starter: Option<&CircuitStep>,
    ) -> (Exchange, Exchange) {
        let air = self.machine.air;
        let (y_up, y_down) = (up_cell.1, down_cell.1);
        let mut up = Exchange::default();
        let mut down = Exchange::default();
        // Gas that passes through a circuit keeps its species; it is warmed or cooled to the free air's temperature.
        let box_air = self.air_side.air_box.as_ref().map(|b| b.plenum.leaving(&self.gas, 0.0));
        let box_gas = box_air.map_or(Composition::default(), |b| b.composition);
        let mut at_jets = [Inflow::default(); 3];
        let mut passing =
            |out: f64, circuit: usize, circuit_air: f64, taken: &[(f64, Composition); 3], to: &mut Exchange| {
                let total: f64 = taken.iter().map(|x| x.0).sum::<f64>();
                let mut y = Composition::default();
                if out.max(total).max(circuit_air.abs()) <= 0.0 {
                    return 0.0;
                }
                if total > 0.0 {
                    for (m, c) in taken {
                        y.burnt += m * c.burnt / total;
                        y.vapour += m * c.vapour / total;
                        y.liquid += m * c.liquid;
                    }
                }
                if out > 0.0 {
                    to.put_gas(out, self.gas.r(y.burnt, y.vapour), air.temperature, y.burnt, y.vapour);
                }
                // What is blown out through the air jet leaves the machine, or goes into the air box.
                let jet = circuit_air.min(0.0);
                let from_free = circuit_air.max(0.0);
                if let Some(b) = &box_air {
                    let back = Composition { liquid: 0.0, ..y };
                    at_jets[circuit] = if circuit_air > 0.0 {
                        Inflow { mass: -circuit_air, ..*b }
                    } else {
                        let total_enthalpy = self.gas.enthalpy(air.temperature, y.burnt, y.vapour);
                        Inflow { mass: -circuit_air, composition: back, total_enthalpy }
                    };
                    return y.liquid;
                }
                self.books.enter(Species {
                    air: from_free + jet * (1.0 - y.burnt - y.vapour),
                    burnt: jet * y.burnt,
                    fuel: jet * y.vapour,
                });
                y.liquid
            };
        let forward = slide.from_a;
        // Main nozzle: into the cell that the stream moves into, from the cell it comes from.
        let nozzle_in = (-main.gas).max(0.0);
        let source = if forward { y_up } else { y_down };
        {
            let to = if forward { &mut down } else { &mut up };
            let taken = [(main.air.max(0.0), box_gas), (nozzle_in, source), (0.0, source)];
            let liquid = passing(main.gas.max(0.0), 0, main.air, &taken, to);
            self.main.chamber.liquid += liquid;
        }
        if forward {
            up.gas_out += nozzle_in
        } else {
            down.gas_out += nozzle_in
        }
        // Pilot: the outlet behind the slide, the by-pass holes with the stream.
        let outlet_in = (-pilot.gas).max(0.0);
        let taken = [(pilot.air.max(0.0), box_gas), (outlet_in, y_down), (pilot.bypass_in, source)];
        let mut pilot_gas = Exchange::default();
        let out = pilot.gas.max(0.0) + pilot.bypass_out;
        let liquid = passing(out, 1, pilot.air, &taken, &mut pilot_gas);
        self.pilot.chamber.liquid += liquid;
        // Starter: all of it behind the slide.
        if let (Some(step), Some(circuit)) = (starter, &mut self.starter) {
            let sucked_in = (-step.gas).max(0.0);
            let taken = [(step.air.max(0.0), box_gas), (sucked_in, y_down), (0.0, y_down)];
            circuit.chamber.liquid += passing(step.gas.max(0.0), 2, step.air, &taken, &mut down);
            down.gas_out += sucked_in;
        }
        if let Some(b) = &mut self.air_side.air_box {
            b.pending[1..].copy_from_slice(&at_jets);
        }
        down.gas_out += outlet_in;
        if forward {
            up.gas_out += pilot.bypass_in
        } else {
            down.gas_out += pilot.bypass_in
        }
        let at_bypass = if out > 0.0 && !forward { pilot.bypass_out / out } else { 0.0 };
        for (share, to) in [(1.0 - at_bypass, &mut down), (at_bypass, &mut up)] {
            to.gas_in += share * pilot_gas.gas_in;
            to.gas_in_rt += share * pilot_gas.gas_in_rt;
            to.burnt_in += share * pilot_gas.burnt_in;
            to.vapour_in += share * pilot_gas.vapour_in;
        }
        // The pilot's outlet and the starter lie behind the slide; the rest goes with the stream.
        let with_stream = main.fuel + pilot.fuel_bypass;
        let mut behind = pilot.fuel + if forward { with_stream } else { 0.0 };
        if let Some(step) = starter {
            behind += step.fuel;
            self.books.enter(Species { fuel: step.drawn, ..Species::default() });
            self.sums.repairs += u64::from(step.emptied);
        }
        let put = |mass: f64, cell: Cell, to: &mut Exchange| {
            let ((rho, _, p), y) = cell;
            self.metered.put(&self.gas, mass, p / (rho * self.gas.r(y.burnt, y.vapour)), to);
        };
        put(behind, down_cell, &mut down);
        if !forward {
            put(with_stream, up_cell, &mut up);
        }
        self.books.enter(Species { fuel: main.drawn + pilot.drawn, ..Species::default() });
        self.sums.repairs += u64::from(main.emptied) + u64::from(pilot.emptied);
        (up, down)
    }

    /// A small hole behind the slide.
    fn leak(&mut self, dt: f64, r_air: f64, y: Composition, down: &mut Exchange) {
        let bore = self.machine.air_leak;
        if bore <= 0.0 {
            return;
        }
        let area = LEAK_DISCHARGE * 0.25 * PI * bore * bore;
        let air = self.machine.air;
        let (rho, _, p) = self.downstream.cell(0);
        let gamma = self.gas.gamma(air.temperature, 0.0, 0.0);
        if p < air.pressure {
            let m = dt * mass_flow(area, air.pressure, air.temperature, r_air, gamma, p);
            down.put_gas(m, r_air, air.temperature, 0.0, 0.0);
            self.books.enter(Species { air: m, ..Species::default() });
        } else {
            let t = p / (rho * self.gas.r(y.burnt, y.vapour));
            let r = self.gas.r(y.burnt, y.vapour);
            let m = dt * mass_flow(area, p, t, r, gamma, air.pressure);
            down.gas_out += m;
            let fuel = -m * (y.vapour + y.liquid);
            self.books.enter(Species { air: -m * (1.0 - y.burnt - y.vapour), burnt: -m * y.burnt, fuel });
        }
    }
}
