//! A duct on the bench: pieces, end fluxes, time steps.

use bellmouth::exact::isentropic;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::exchange::{EndFlux, Exchange};
use bellmouth::gas::face::EndState;
use bellmouth::gas::lone_duct::LoneDuct;
use bellmouth::gas::trace::Vessel;
use bellmouth::hardware::duct::Piece;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

/// Density, velocity, pressure.
pub type State = (f64, f64, f64);

/// Diameter of a circle of unit area.
pub fn unit_diameter() -> f64 {
    (4.0 / std::f64::consts::PI).sqrt()
}

/// Speed of sound of the still air of the wave checks [m/s]: dry air at 20 C.
pub const SOUND: f64 = 343.2;
/// Ratio of specific heats of that air [-].
pub const GAMMA: f64 = 1.4;
/// Pressure of that air [Pa].
pub const STILL: f64 = 101_325.0;

/// Air of one ratio of specific heats.
pub fn air() -> GasModel {
    GasModel::constant(R_AIR, GAMMA)
}

/// Gas constant of that air [J/(kg K)].
pub const R_AIR: f64 = 287.05;

/// Temperature at which its speed of sound is `SOUND` [K].
pub fn still_temperature() -> f64 {
    SOUND * SOUND / (GAMMA * R_AIR)
}

/// Free air at rest at `p` [Pa].
pub fn free(p: f64) -> Vessel {
    Vessel::new(&air(), p, still_temperature(), Composition::default())
}

/// A straight piece of `area` [m2].
pub fn pipe(length: f64, area: f64) -> Piece {
    let d = (4.0 * area / std::f64::consts::PI).sqrt();
    Piece::plain("pipe", length, d, d, 300.0)
}

/// Smooth, adiabatic duct of still air in cells of about `cell` [m].
pub fn smooth(pieces: &[Piece], cell: f64) -> DuctCells {
    DuctCells::new(pieces, cell, &air(), STILL, still_temperature()).unwrap().without_walls()
}

/// Mass flow along +x through cell `i` [kg/s].
pub fn mass_flow(duct: &DuctCells, i: usize) -> f64 {
    let (rho, u, _) = duct.cell(i);
    rho * u * duct.volume(i) / duct.cell_length(i)
}

/// Runs until one mass flow passes every cell within 1e-7.
pub fn settle(run: &mut LoneDuct) {
    for _ in 0..100 {
        run.run_to(run.time + 0.02).unwrap();
        let flows: Vec<f64> = (0..run.cells.cells()).map(|i| mass_flow(&run.cells, i)).collect();
        let mean = flows.iter().sum::<f64>() / flows.len() as f64;
        if flows.iter().all(|m| (m / mean - 1.0).abs() < 1e-7) {
            return;
        }
    }
    panic!("not steady after 2 s");
}

/// Total pressure of `state` [Pa], perfect air.
pub fn total((rho, u, p): State) -> f64 {
    p / isentropic::at(u.abs() * (rho / (GAMMA * p)).sqrt(), GAMMA).unwrap().p
}

/// A cone from `start` to `end` [m diameter].
pub fn cone(length: f64, start: f64, end: f64) -> Piece {
    Piece::plain("cone", length, start, end, 300.0)
}

/// A straight duct of unit area and length in `n` cells, smooth and adiabatic, filled from `state`.
pub fn tube(n: usize, gas: &GasModel, state: impl Fn(f64) -> State) -> DuctCells {
    let d = unit_diameter();
    let mut duct = DuctCells::new(&[cone(1.0, d, d)], 1.0 / n as f64, gas, 1.0, 1.0).unwrap().without_walls();
    assert_eq!(duct.cells(), n);
    duct.fill(gas, |x| {
        let (rho, u, p) = state(x);
        (rho, u, p, Composition::default())
    });
    duct
}

/// Flux of a known state through an end.
pub fn through(state: State, area: f64, carried: Composition) -> EndFlux {
    let (rho, u, p) = state;
    let end = EndState { rho, u: u.abs(), p };
    EndFlux::new(end, rho * u.abs() * area, area, if u < 0.0 { -1.0 } else { 1.0 }, carried)
}

/// Both ends shut, each with the wave that reaches it. Valid after `predict`.
pub fn shut(duct: &DuctCells) -> (EndFlux, EndFlux) {
    let end = |far: bool| {
        let t = duct.trace(far);
        through((t.rho, 0.0, t.pressure_at_rest()), t.area, t.composition)
    };
    (end(false), end(true))
}

/// Step of a Courant number [s].
pub fn step_of(duct: &DuctCells, courant: f64) -> f64 {
    courant * duct.crossing_time()
}

/// Courant number of all runs but their gentle start.
pub const COURANT: f64 = 0.8;

/// Runs to `t_end`; the first five steps at a Courant number of 0.2, because the wave speeds of a jump at rest are
/// not yet known to the step. `ends` gives the end fluxes at a time.
pub fn run(duct: &mut DuctCells, gas: &GasModel, t_end: f64, ends: impl Fn(f64) -> (EndFlux, EndFlux)) -> u32 {
    let (mut t, mut steps) = (0.0, 0);
    while t_end - t > 1e-12 * t_end {
        let dt = step_of(duct, if steps < 5 { 0.2 } else { COURANT }).min(t_end - t);
        duct.predict(dt);
        duct.update(gas, dt, ends(t + 0.5 * dt), (Exchange::default(), Exchange::default())).unwrap();
        t += dt;
        steps += 1;
    }
    steps
}
