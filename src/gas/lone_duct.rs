//! A duct that runs by itself between two ends: for exact checks, benches and pictures of the gas solver.

use super::duct_cells::{DuctCells, Unphysical};
use super::exchange::{EndFlux, Exchange};
use super::face::{EndState, FaceFlow, Trend, loss_area, restriction};
use super::plenum::{Inflow, Plenum};
use super::trace::{Side, Trace, Vessel};
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// What a duct's end opens to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum End {
    /// A wall.
    Shut,
    /// Gas at rest that does not change, with a loss coefficient for flow into the duct [-].
    Open(Vessel, f64),
    /// The same through an orifice of an effective area [m2].
    Orifice(Vessel, f64),
    /// A volume that fills and empties, with a loss coefficient for flow into the duct [-].
    Room(Plenum, f64),
    /// The same through an orifice of an effective area [m2].
    OrificeRoom(Plenum, f64),
    /// A known state (density [kg/m3], velocity along +x [m/s], pressure [Pa]) crosses the end.
    Given(f64, f64, f64),
}

/// The duct and its ends.
#[derive(Debug, Clone, PartialEq)]
pub struct LoneDuct {
    /// The gas.
    pub gas: GasModel,
    /// The duct.
    pub cells: DuctCells,
    /// Its near and far end.
    pub ends: [End; 2],
    /// Courant number [-].
    pub courant: f64,
    /// Time [s].
    pub time: f64,
    /// Steps taken.
    pub steps: u64,
    trends: [Trend; 2],
}

/// Courant number of the solver unless another is asked for [-].
pub const COURANT: f64 = 0.8;
/// Courant number of the first steps after a jump [-]: the waves that it will send are not yet known to the step.
pub const GENTLE_COURANT: f64 = 0.2;
/// How many steps start gently.
pub const GENTLE_STEPS: u64 = 5;

impl LoneDuct {
    /// The duct at time 0.
    #[must_use]
    pub fn new(gas: GasModel, cells: DuctCells, ends: [End; 2]) -> Self {
        Self { gas, cells, ends, courant: COURANT, time: 0.0, steps: 0, trends: [Trend::default(); 2] }
    }

    /// Step that the next wave allows [s].
    #[must_use]
    pub fn stable_step(&self) -> f64 {
        let gentle = if self.steps < GENTLE_STEPS { GENTLE_COURANT.min(self.courant) } else { self.courant };
        gentle * self.cells.crossing_time()
    }

    /// One step of `dt` [s].
    ///
    /// # Errors
    /// A cell left physical bounds.
    pub fn step(&mut self, dt: f64) -> Result<(), Unphysical> {
        self.cells.predict(dt);
        let near = self.end(false, dt);
        let far = self.end(true, dt);
        self.cells.update(&self.gas, dt, (near, far), (Exchange::default(), Exchange::default()))?;
        self.time += dt;
        self.steps += 1;
        Ok(())
    }

    /// Steps to time `end` [s].
    ///
    /// # Errors
    /// A cell left physical bounds.
    pub fn run_to(&mut self, end: f64) -> Result<(), Unphysical> {
        while end - self.time > 1e-12 * end {
            let dt = self.stable_step().min(end - self.time);
            self.step(dt)?;
        }
        Ok(())
    }

    /// Flux through one end; a room takes up what passes.
    fn end(&mut self, far: bool, dt: f64) -> EndFlux {
        let t = self.cells.trace(far);
        let k = usize::from(far);
        let (side, area_in, area_out) = match &self.ends[k] {
            End::Shut => {
                let still = EndState { rho: t.rho, u: 0.0, p: t.pressure_at_rest() };
                return EndFlux::new(still, 0.0, t.area, 1.0, t.composition);
            }
            End::Given(rho, u, p) => {
                let state = EndState { rho: *rho, u: u.abs(), p: *p };
                let sign = if *u < 0.0 { -1.0 } else { 1.0 };
                let carried = Composition::default();
                return EndFlux::new(state, rho * u.abs() * t.area, t.area, sign, carried);
            }
            End::Open(vessel, loss) => (*vessel, loss_area(t.area, *loss), t.area),
            End::Orifice(vessel, area) => (*vessel, *area, *area),
            End::Room(plenum, loss) => (plenum.vessel_at_half_time(&self.gas), loss_area(t.area, *loss), t.area),
            End::OrificeRoom(plenum, area) => (plenum.vessel_at_half_time(&self.gas), *area, *area),
        };
        let f = restriction(&Side::Vessel(side), &Side::Duct(t), area_in, area_out, self.trends[k].next());
        self.trends[k].push(f.start);
        if let End::Room(plenum, _) | End::OrificeRoom(plenum, _) = &mut self.ends[k] {
            let flow = into_vessel(&self.gas, plenum, &t, &f, dt);
            plenum.step(&self.gas, &[flow]);
        }
        EndFlux::at_volume(&f, &t, side.composition, far)
    }
}

/// What a volume receives in a step of `dt` [s] through a face whose side `a` it is and whose side `b` is the duct's end `t`.
#[must_use]
pub fn into_vessel(gas: &GasModel, plenum: &Plenum, t: &Trace, f: &FaceFlow, dt: f64) -> Inflow {
    if f.from_a { plenum.leaving_through(gas, f, dt) } else { leaving_duct(gas, t, f, f.mass_flow * dt) }
}

/// `mass` [kg] that leaves a duct's end `t` through a face as its upstream side.
#[must_use]
pub fn leaving_duct(gas: &GasModel, t: &Trace, f: &FaceFlow, mass: f64) -> Inflow {
    let (y, end) = (t.composition, f.upstream);
    let total_enthalpy = gas.enthalpy(end.temperature(gas, y), y.burnt, y.vapour) + 0.5 * end.u * end.u;
    Inflow { mass, composition: y, total_enthalpy }
}
