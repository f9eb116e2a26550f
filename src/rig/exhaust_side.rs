//! What the exhaust valve opens to: port and header, silencer, the open end.

use crate::gas::duct_cells::{DuctCells, Unphysical};
use crate::gas::exchange::{EndFlux, Exchange};
use crate::gas::face::{FaceFlow, Trend, loss_area, restriction};
use crate::gas::grid::GridError;
use crate::gas::lone_duct::{into_vessel, leaving_duct};
use crate::gas::plenum::{Inflow, Plenum};
use crate::gas::trace::{Side, Trace, Vessel};
use crate::hardware::duct::{Duct, Piece, shortest_part};
use crate::hardware::exhaust::Exhaust;
use crate::laws::loss::{FLUSH_PIPE, PLAIN_PIPE};
use crate::media::atmosphere::FreeAir;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Temperature that gas in port and header starts with [K]. Common practice; forgotten after some cycles.
const FIRST_TEMPERATURE: f64 = 800.0;
/// How much longer than the intake's the exhaust's cells are [-]. Waves are two to three times as fast in hot gas, and what they bring
/// back to the valve says less than what happens at the slide: with cells of 9, 18 and 30 mm there and 3 to 6 mm in the intake the demo's air-fuel
/// ratio moves by less than 0.1 %.
pub const LONGER_CELLS: f64 = 5.0;
/// Burnt gas.
const BURNT: Composition = Composition { burnt: 1.0, vapour: 0.0, liquid: 0.0 };

/// The gas behind the exhaust valve.
#[derive(Debug, Clone, PartialEq)]
pub struct ExhaustSide {
    /// Port and header; none for a valve that opens into a vessel.
    pub duct: Option<DuctCells>,
    /// Silencer.
    pub silencer: Option<Plenum>,
    entry: f64,
    outlet: f64,
    /// Air outside.
    outside: Vessel,
    /// Burnt gas that comes back from a vessel of constant pressure: mass mean of the last outflow [K].
    pub(super) mean_temperature: f64,
    /// Outflow since the exhaust valve opened [kg], and its mass times temperature [kg K].
    pub(super) outflow: (f64, f64),
    trends: [Trend; 2],
}

/// What crossed the border behind the exhaust in one step, out of it positive.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Left {
    /// Gas [kg].
    pub mass: f64,
    /// What it is.
    pub composition: Composition,
}

/// Length of the exhaust's cells [m] beside `cell_size` [m] in the intake: shorter where a part between two steps of area is too short for
/// long ones.
fn exhaust_cell(pieces: &[Piece], cell_size: f64) -> f64 {
    let runs = Duct { pieces: pieces.to_vec() }.runs();
    let shortest = runs.iter().map(Duct::length).fold(f64::INFINITY, f64::min);
    cell_size * (shortest / shortest_part(cell_size)).clamp(1.0, LONGER_CELLS)
}

impl ExhaustSide {
    /// Everything at rest, full of burnt gas.
    ///
    /// # Errors
    /// A duct that cannot be cut into cells.
    pub fn new(part: &Exhaust, air: &FreeAir, gas: &GasModel, cell_size: f64) -> Result<Self, GridError> {
        let (p, t) = (air.pressure + part.back_pressure, FIRST_TEMPERATURE);
        let mut pieces = part.pieces.clone();
        pieces.extend(pieces.last().and_then(|last| Piece::added_length(part.end_correction, last.diameter_end, t)));
        let duct = if pieces.is_empty() {
            None
        } else {
            let mut duct = DuctCells::new(&pieces, exhaust_cell(&pieces, cell_size), gas, p, t)?;
            let rho = p / (gas.r(1.0, 0.0) * t);
            duct.fill(gas, |_| (rho, 0.0, p, BURNT));
            Some(duct)
        };
        Ok(Self {
            duct,
            silencer: part.silencer.map(|s| Plenum::new(gas, s.volume, p, t, BURNT)),
            entry: part.silencer.map_or(1.0, |s| s.entry),
            outlet: part.silencer.map_or(0.0, |s| s.outlet),
            outside: Vessel::new(gas, p, air.temperature, Composition::default()),
            mean_temperature: t,
            outflow: (0.0, 0.0),
            trends: [Trend::default(); 2],
        })
    }

    pub(super) fn predict(&mut self, dt: f64) {
        if let Some(duct) = &mut self.duct {
            duct.predict(dt);
        }
    }

    /// What the valve opens to. Valid after `predict`.
    pub(super) fn at_valve(&self, gas: &GasModel) -> Side {
        match (&self.duct, &self.silencer) {
            (Some(duct), _) => Side::Duct(duct.trace(false)),
            (None, Some(silencer)) => Side::Vessel(silencer.vessel(gas)),
            (None, None) => Side::Vessel(Vessel::new(gas, self.outside.p, self.mean_temperature, BURNT)),
        }
    }

    /// What flows out of the cylinder when `mass` [kg] comes back through the valve: less than nothing.
    pub(super) fn coming_back(&self, gas: &GasModel, side: &Side, face: &FaceFlow, mass: f64) -> Inflow {
        match (side, &self.silencer) {
            (Side::Duct(trace), _) => leaving_duct(gas, trace, face, -mass),
            (Side::Vessel(_), Some(silencer)) => silencer.leaving(gas, mass),
            (Side::Vessel(v), None) => {
                let y = v.composition;
                let total_enthalpy = gas.enthalpy(self.mean_temperature, y.burnt, y.vapour);
                Inflow { mass: -mass, composition: y, total_enthalpy }
            }
        }
    }

    /// One step with what passed the valve: the solved face (side `a` the cylinder) and the flow out of the cylinder.
    ///
    /// # Errors
    /// A cell left physical bounds.
    pub(super) fn advance(
        &mut self,
        gas: &GasModel,
        dt: f64,
        side: &Side,
        face: &FaceFlow,
        out: Inflow,
    ) -> Result<Left, Unphysical> {
        if self.duct.is_some() {
            return self.through_duct(gas, dt, (side, face, out));
        }
        Ok(match self.silencer {
            Some(silencer) => self.through_silencer(gas, silencer.vessel(gas), dt, out),
            None => Left { mass: out.mass, composition: out.composition },
        })
    }

    fn through_duct(
        &mut self,
        gas: &GasModel,
        dt: f64,
        (side, face, out): (&Side, &FaceFlow, Inflow),
    ) -> Result<Left, Unphysical> {
        let (Side::Duct(near), Some(duct)) = (side, &self.duct) else { return Ok(Left::default()) };
        let sign = if face.from_a { 1.0 } else { -1.0 };
        let near = EndFlux::of_face(face, !face.from_a, near.area, sign, out.composition);
        let end = duct.trace(true);
        let (left, far) = match self.silencer {
            Some(silencer) => {
                let inside = silencer.vessel(gas);
                let f = self.end_face(silencer.half_a_step_ahead(&inside), end, FLUSH_PIPE);
                let inflow = into_vessel(gas, &silencer, &end, &f, dt);
                let far = EndFlux::at_volume(&f, &end, inside.composition, true);
                (self.through_silencer(gas, inside, dt, inflow), far)
            }
            None => {
                let free = self.outside;
                let f = self.end_face(free, end, PLAIN_PIPE);
                let (mass, composition) =
                    if f.from_a { (-f.mass_flow * dt, free.composition) } else { (f.mass_flow * dt, end.composition) };
                (Left { mass, composition }, EndFlux::at_volume(&f, &end, free.composition, true))
            }
        };
        if let Some(duct) = &mut self.duct {
            duct.update(gas, dt, (near, far), (Exchange::default(), Exchange::default()))?;
        }
        Ok(left)
    }

    /// The duct's far end (side `b`) against what lies behind it (side `a`).
    fn end_face(&mut self, behind: Vessel, end: Trace, loss: f64) -> FaceFlow {
        let (back, out) = (loss_area(end.area, loss) * self.entry, end.area * self.entry);
        let f = restriction(&Side::Vessel(behind), &Side::Duct(end), back, out, self.trends[0].next());
        self.trends[0].push(f.start);
        f
    }

    /// Takes `inflow` into the silencer, whose gas is `inside`, and lets out what its outlet passes.
    fn through_silencer(&mut self, gas: &GasModel, inside: Vessel, dt: f64, inflow: Inflow) -> Left {
        let free = self.outside;
        let Some(silencer) = &mut self.silencer else { return Left::default() };
        let (a, b) = (Side::Vessel(inside), Side::Vessel(free));
        let f = restriction(&a, &b, self.outlet, self.outlet, self.trends[1].next());
        self.trends[1].push(f.start);
        let m = f.mass_flow * dt;
        let (left, flow) = if f.from_a {
            (Left { mass: m, composition: inside.composition }, silencer.leaving_through(gas, &f, dt))
        } else {
            let y = free.composition;
            let t = free.p / (free.rho * gas.r(y.burnt, y.vapour));
            let total_enthalpy = gas.enthalpy(t, y.burnt, y.vapour);
            (Left { mass: -m, composition: y }, Inflow { mass: m, composition: y, total_enthalpy })
        };
        silencer.step(gas, &[inflow, flow]);
        left
    }
}
