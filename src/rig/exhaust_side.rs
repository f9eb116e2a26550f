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
    /// Time that the duct's gas has waited for its own next step [s].
    waiting: f64,
    /// Whether it takes one at the end of the machine's present step.
    steps: bool,
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
            waiting: 0.0,
            steps: true,
        })
    }

    /// Longest step of the machine [s] that the duct's gas can take part in or wait for, at the Courant number `courant`.
    pub(super) fn longest_step(&self, courant: f64) -> f64 {
        self.duct.as_ref().map_or(f64::INFINITY, |duct| courant * duct.crossing_time() - self.waiting)
    }

    /// Begins the machine's step of `dt` [s]. While the valve is shut nothing else of the machine meets the duct's gas, whose cells are long:
    /// then it waits as long as one step of its own, at the Courant number `courant`, catches up.
    pub(super) fn predict(&mut self, dt: f64, shut: bool, courant: f64) {
        self.steps = !shut || 2.0 * dt > self.longest_step(courant);
        self.waiting += dt;
        if let Some(duct) = self.duct.as_mut().filter(|_| self.steps) {
            duct.predict(self.waiting);
        }
    }

    /// What the valve opens to. Valid after `predict`; while the gas waits, where it stood.
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

    /// One step with what passed the valve, or none while the duct's gas waits: the solved face (side `a` the cylinder) and the flow out
    /// of the cylinder.
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
            return if self.steps {
                let dt = std::mem::take(&mut self.waiting);
                self.through_duct(gas, dt, (side, face, out))
            } else {
                Ok(Left::default())
            };
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

#[cfg(test)]
mod tests {
    use super::*;

    const SOUND: f64 = 560.0;
    const LENGTH: f64 = 0.9;
    /// Step of the machine [s].
    const STEP: f64 = 10e-6;

    /// Gas in a plain pipe behind a valve that is shut, rung in its first mode at 1 % of the pressure for 20 ms: the mean time between crossings
    /// of the mean pressure at the valve [s], steps of the gas, what it gained and what left it [kg].
    fn rung(shut: bool) -> (f64, u32, f64, f64) {
        let gas = GasModel::constant(287.0, 1.4);
        let air = FreeAir { pressure: 1e5, temperature: SOUND * SOUND / (1.4 * 287.0), relative_humidity: 0.0 };
        let piece = Piece { walled: false, ..Piece::plain("pipe", LENGTH, 0.036, 0.036, 800.0) };
        let part = Exhaust { pieces: vec![piece], end_correction: 0.0, silencer: None, back_pressure: 0.0 };
        let mut exhaust = ExhaustSide::new(&part, &air, &gas, 6e-3).expect("cells fit");
        let p = |x: f64| 1e5 * (1.0 + 0.01 * libm::cos(std::f64::consts::FRAC_PI_2 * x / LENGTH));
        let fill = |x| (1.4 * p(x) / (SOUND * SOUND), 0.0, p(x), Composition::default());
        exhaust.duct.as_mut().expect("a pipe").fill(&gas, fill);
        let mass = |exhaust: &ExhaustSide| exhaust.duct.as_ref().expect("a pipe").store()[0];
        let before = mass(&exhaust);
        let (mut steps, mut left, mut crossings, mut last) = (0, 0.0, Vec::new(), (0.0, 1e3));
        for k in 1..=2000_u32 {
            exhaust.predict(STEP, shut, 0.9);
            let side = exhaust.at_valve(&gas);
            let cylinder = Side::Vessel(Vessel::new(&gas, 1e5, 300.0, Composition::default()));
            let face = restriction(&cylinder, &side, 0.0, 0.0, 0.0);
            left += exhaust.advance(&gas, STEP, &side, &face, Inflow::default()).expect("sound gas").mass;
            if !exhaust.steps {
                continue;
            }
            steps += 1;
            let Side::Duct(end) = side else { unreachable!() };
            let now = (STEP * f64::from(k), end.pressure_at_rest() - 1e5);
            if now.1 * last.1 < 0.0 {
                crossings.push(last.0 + (now.0 - last.0) * last.1 / (last.1 - now.1));
            }
            last = now;
        }
        let spans = f64::from(crossings.len() as u32 - 1);
        ((crossings[crossings.len() - 1] - crossings[0]) / spans, steps, mass(&exhaust) - before, left)
    }

    // Exact: a pipe shut at one end rings with a quarter of a wave in its length, half a period being 2 L/c. Linear theory.
    #[test]
    fn gas_that_waits_behind_a_shut_valve_rings_as_a_quarter_wave_in_fewer_steps() {
        let [waits, does_not] = [rung(true), rung(false)];
        for (half_period, _, gained, left) in [waits, does_not] {
            assert!((half_period * SOUND / (2.0 * LENGTH) - 1.0).abs() < 5e-3, "{half_period}");
            assert!((gained + left).abs() < 1e-12 * left.abs().max(1e-6), "{gained} {left}");
        }
        // 30 mm at 560 m/s and a Courant number of 0.9 are 48 us: four steps of the machine.
        assert_eq!((waits.1, does_not.1), (500, 2000));
    }
}
