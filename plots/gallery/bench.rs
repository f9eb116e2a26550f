//! What the pictures share: the gas, ducts, runs, and the numbers of a duct as a series.

use std::error::Error;

use bellmouth::exact::state::State;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::trace::Vessel;
use bellmouth::hardware::duct::Piece;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;
use bellmouth::plot::comparison::{Chart, Kind, Scale, Series};

/// What a picture's numbers may end in.
pub type Outcome<T> = Result<T, Box<dyn Error>>;
/// Numbers of a series.
pub type Points = Vec<(f64, f64)>;

/// Ratio of specific heats [-] and gas constant [J/(kg K)].
pub const GAMMA: f64 = 1.4;
pub const R: f64 = 287.05;
/// Pressure [Pa] of still air and its speed of sound [m/s], 20 Celsius.
pub const STILL: f64 = 101_325.0;
pub const SOUND: f64 = 343.2;

/// Air of constant `gamma`.
pub fn air() -> GasModel {
    GasModel::constant(R, GAMMA)
}

/// Temperature of still air [K].
pub fn still_temperature() -> f64 {
    SOUND * SOUND / (GAMMA * R)
}

/// Gas at rest at `p` [Pa] and `t` [K], which does not change.
pub fn vessel(p: f64, t: f64) -> Vessel {
    Vessel::new(&air(), p, t, Composition::default())
}

/// A straight pipe of `length` and `bore` [m].
pub fn pipe(length: f64, bore: f64) -> Piece {
    Piece::plain("pipe", length, bore, bore, 300.0)
}

/// A duct of `pieces` in cells of `cell` [m] with smooth, adiabatic walls, filled with still air.
pub fn smooth(pieces: &[Piece], cell: f64) -> Outcome<DuctCells> {
    Ok(DuctCells::new(pieces, cell, &air(), STILL, still_temperature())?.without_walls())
}

/// Sets the duct to the state (density, velocity, pressure) at each place.
pub fn fill(duct: &mut DuctCells, gas: &GasModel, state: impl Fn(f64) -> State) {
    duct.fill(gas, |x| {
        let s = state(x);
        (s.rho, s.u, s.p, Composition::default())
    });
}

/// Still air at rest, brought isentropically to `ratio` of its pressure.
pub fn squeezed(ratio: f64) -> State {
    let rho = GAMMA * STILL / (SOUND * SOUND);
    State { rho: rho * libm::pow(ratio, 1.0 / GAMMA), u: 0.0, p: STILL * ratio }
}

/// Share of the pressure by which no cell changes any more over some hundred steps in steady flow [-].
const STEADY: f64 = 1e-9;
/// Steps between two looks at it, and the most looks.
const LOOK: u64 = 500;
const LOOKS: u64 = 400;

/// The duct between gas at rest at `p0` [Pa], `t0` [K] upstream and a pressure `back` [Pa] downstream, once nothing
/// changes.
pub fn steady(duct: DuctCells, (p0, t0): (f64, f64), back: f64) -> Outcome<DuctCells> {
    let mut run = LoneDuct::new(air(), duct, [End::Open(vessel(p0, t0), 0.0), End::Open(vessel(back, t0), 0.0)]);
    let mut before = pressures(&run.cells);
    for _ in 0..LOOKS {
        for _ in 0..LOOK {
            run.step(run.stable_step()).map_err(unphysical)?;
        }
        let now = pressures(&run.cells);
        let change = before.iter().zip(&now).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        if change < STEADY * p0 {
            return Ok(run.cells);
        }
        before = now;
    }
    Err(format!("the flow did not become steady in {} steps", run.steps).into())
}

fn pressures(duct: &DuctCells) -> Vec<f64> {
    (0..duct.cells()).map(|i| duct.cell(i).2).collect()
}

/// A cell that left physical bounds, as an error.
pub fn unphysical(u: bellmouth::gas::duct_cells::Unphysical) -> Box<dyn Error> {
    format!("density {} and pressure {} at {} m", u.rho, u.p, u.x).into()
}

/// A figure of each cell against its middle.
pub fn along(duct: &DuctCells, figure: impl Fn(State) -> f64) -> Points {
    (0..duct.cells()).map(|i| (duct.middle(i), figure(duct.cell(i).into()))).collect()
}

/// Mach number of a state.
pub fn mach(s: State) -> f64 {
    s.u / s.sound(GAMMA)
}

/// A function at `count` places from `from` to `to`, close enough to follow it.
pub fn curve(from: f64, to: f64, count: u32, f: impl Fn(f64) -> Outcome<f64>) -> Outcome<Points> {
    let place = |i: u32| from + (to - from) * f64::from(i) / f64::from(count);
    (0..=count).map(|i| Ok((place(i), f(place(i))?))).collect()
}

/// Largest difference of two series that go through the same places, relative to the second.
pub fn worst(got: &[(f64, f64)], want: &[(f64, f64)]) -> f64 {
    got.iter().zip(want).map(|(g, w)| (g.1 / w.1 - 1.0).abs()).fold(0.0, f64::max)
}

/// A chart from its parts.
pub fn chart(heading: &str, x: &str, y: Scale, series: Vec<Series>) -> Chart {
    Chart { heading: heading.to_owned(), x: Scale::new(x), y, series, uprights: None }
}

/// The first look: computed line and exact marks.
pub fn pair(computed: &str, got: Points, exact: &str, want: Points) -> Vec<Series> {
    vec![Series::new(exact, Kind::Exact, 0, want), Series::new(computed, Kind::Computed, 0, got)]
}
