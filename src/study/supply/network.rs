//! The way from the tank to the bowl as one network of resistances in series.

use crate::hardware::machine::Machine;
use crate::hardware::supply_line::{Fluid, Part, SupplyLine};
use crate::laws::pipe_flow::Resistance;
use crate::media::atmosphere::G0;
use crate::numeric::root;

/// Largest flow that is looked for [m3/s]: 60 L/min.
const MOST: f64 = 1e-3;
/// Tolerance of a flow over its bracket [-].
const TOLERANCE: f64 = 1e-13;

/// Fuel and air of a machine as the network needs them.
#[must_use]
pub fn fluids(machine: &Machine) -> (Fluid, Fluid) {
    let fuel = Fluid { density: machine.fuel.density, viscosity: machine.fuel.viscosity };
    let density = machine.air.density();
    // dynamic viscosity of air [Pa s], within 1 % from -20 to 60 degrees Celsius. From memory.
    let dynamic = 1.72e-5 + 4.3e-8 * (machine.air.temperature - 273.15);
    (fuel, Fluid { density, viscosity: dynamic / density })
}

/// Resistances in series, the float needle's last.
#[derive(Debug, Clone)]
pub struct Network {
    /// What it is made of.
    pub line: SupplyLine,
    /// Fuel.
    pub fuel: Fluid,
    /// Parts up to the hose's end, then the fitting.
    fixed: Vec<(Part, Resistance)>,
}

impl Network {
    /// The network of `line`; `vented` takes the cap's hole as one of its parts.
    #[must_use]
    pub fn new(line: &SupplyLine, fuel: Fluid, air: Fluid, vented: bool) -> Self {
        let mut fixed = line.line(air, G0, fuel, vented);
        fixed.push((Part::Inlet, line.fitting()));
        Self { line: *line, fuel, fixed }
    }

    /// Head that vapour in the hose's rise holds back [m]; a measured line has it in it.
    #[must_use]
    pub fn held_back(&self) -> f64 {
        if self.line.measured_line.is_some() { 0.0 } else { self.line.hose.rise }
    }

    /// Pressure [Pa] that drives the flow at a `head` [m of fuel].
    #[must_use]
    pub fn drive(&self, head: f64) -> f64 {
        self.fuel.density * G0 * (head - self.held_back()).max(0.0)
    }

    fn solve<'a>(&self, parts: impl Iterator<Item = &'a Resistance> + Clone, drive: f64) -> f64 {
        let loss = |q: f64| parts.clone().map(|r| r.pressure_loss(q, self.fuel.density, self.fuel.viscosity)).sum();
        let residual = |q: f64| -> f64 {
            let lost: f64 = loss(q);
            lost.min(1e12) - drive
        };
        if drive <= 0.0 || residual(MOST) <= 0.0 {
            return if drive <= 0.0 { 0.0 } else { MOST };
        }
        root::find(residual, 0.0, MOST, TOLERANCE * MOST).map_or(f64::NAN, |r| r.x)
    }

    /// Flow out of the hose's end [m3/s] under a `head` [m].
    #[must_use]
    pub fn hose_end(&self, head: f64) -> f64 {
        let parts = self.fixed.iter().filter(|p| p.0 != Part::Inlet).map(|p| &p.1);
        self.solve(parts, self.drive(head))
    }

    /// Flow into the bowl [m3/s] driven by `drive` [Pa], the fuel `fall` [m] below the set level.
    #[must_use]
    pub fn into_bowl(&self, drive: f64, fall: f64) -> f64 {
        let Resistance::Hole { effective_area } = self.line.seat(fall) else { return f64::NAN };
        if effective_area <= 0.0 {
            return 0.0;
        }
        let seat = Resistance::Hole { effective_area };
        self.solve(self.fixed.iter().map(|p| &p.1).chain(std::iter::once(&seat)), drive)
    }

    /// Most that runs into the bowl [m3/s] under a `head` [m]: the needle wide open.
    #[must_use]
    pub fn most(&self, head: f64) -> f64 {
        self.into_bowl(self.drive(head), f64::INFINITY)
    }

    /// Head [m of fuel] that each part takes of the flow `q` [m3/s], the needle wide open.
    #[must_use]
    pub fn heads(&self, q: f64) -> Vec<(Part, f64)> {
        let head =
            |r: &Resistance| r.pressure_loss(q, self.fuel.density, self.fuel.viscosity) / (self.fuel.density * G0);
        let vapour = (self.held_back() > 0.0).then(|| (Part::Vapour, self.held_back()));
        let seat = (Part::Seat, self.line.seat(f64::INFINITY));
        let all = self.fixed.iter().chain(std::iter::once(&seat)).map(|(part, r)| (*part, head(r)));
        vapour.into_iter().chain(all).collect()
    }

    /// Pressure lost [Pa] up to the hose's end by the flow `q` [m3/s].
    #[must_use]
    pub fn lost_in_line(&self, q: f64) -> f64 {
        let parts = self.fixed.iter().filter(|p| p.0 != Part::Inlet);
        parts.map(|p| p.1.pressure_loss(q, self.fuel.density, self.fuel.viscosity)).sum()
    }
}
