//! Smooth flow: a simple wave before it breaks, and how fast the error falls with the cells.

use std::f64::consts::PI;

use bellmouth::exact::simple_wave::{Direction, SimpleWave};
use bellmouth::exact::state::State;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::media::gas::GasModel;
use bellmouth::plot::comparison::{Chart, Comparison, Kind, Scale, Series};

use super::bench::{GAMMA, Outcome, Points, along, chart, curve, fill, unphysical};

/// Velocity of the wave's crest, in units of `sqrt(p/rho)` of the still gas.
const CREST: f64 = 0.1;
const CELLS: usize = 100;
/// Cells of the runs that show the order of convergence.
const GRIDS: [usize; 5] = [25, 50, 100, 200, 400];

/// The exact state at a place and time.
type Exact<'a> = &'a dyn Fn(f64, f64) -> Outcome<State>;

/// Gas in a tube of unit length in `n` cells at time `t`, the exact state crossing both ends.
fn solve(n: usize, t: f64, exact: Exact<'_>) -> Outcome<DuctCells> {
    let gas = GasModel::constant(1.0, GAMMA);
    let mut duct = DuctCells::of_profile(1.0, n, |_| 1.0, &gas, 1.0, 1.0);
    let start = (0..n).map(|i| exact(duct.middle(i), 0.0)).collect::<Outcome<Vec<_>>>()?;
    fill(&mut duct, &gas, |x| start[((x * n as f64) as usize).min(n - 1)]);
    let mut run = LoneDuct::new(gas, duct, [End::Shut, End::Shut]);
    while t - run.time > 1e-12 * t {
        let dt = run.stable_step().min(t - run.time);
        for (end, x) in run.ends.iter_mut().zip([0.0, 1.0]) {
            let s = exact(x, run.time + 0.5 * dt)?;
            *end = End::Given(s.rho, s.u, s.p);
        }
        run.step(dt).map_err(unphysical)?;
    }
    Ok(run.cells)
}

/// Mean size of the error of density on each grid; exact cell means by Simpson's rule.
fn errors(t: f64, exact: Exact<'_>) -> Outcome<Points> {
    let error = |n: usize| -> Outcome<(f64, f64)> {
        let (duct, dx) = (solve(n, t, exact)?, 1.0 / n as f64);
        let rho = |x: f64| -> Outcome<f64> { Ok(exact(x, t)?.rho) };
        let mut sum = 0.0;
        for i in 0..n {
            let x = duct.middle(i);
            let mean = (rho(x - 0.5 * dx)? + 4.0 * rho(x)? + rho(x + 0.5 * dx)?) / 6.0;
            sum += (duct.cell(i).0 - mean).abs() * dx;
        }
        Ok((n as f64, sum))
    };
    GRIDS.into_iter().map(error).collect()
}

/// The slope between the ends of a line in a chart of ratios.
fn slope(points: &[(f64, f64)]) -> f64 {
    match (points.first(), points.last()) {
        (Some(a), Some(b)) => -libm::log(b.1 / a.1) / libm::log(b.0 / a.0),
        _ => f64::NAN,
    }
}

fn wave(direction: Direction) -> Outcome<SimpleWave<impl Fn(f64) -> f64>> {
    let k = 2.0 * PI;
    let start = move |x: f64| CREST * libm::sin(k * x);
    let rest = State { rho: 1.0, u: 0.0, p: 1.0 };
    Ok(SimpleWave::new(GAMMA, rest, direction, start, (-CREST, CREST), CREST * k)?)
}

/// Velocity along the tube at three times.
fn profiles(direction: Direction, name: &str) -> Outcome<Chart> {
    let wave = wave(direction)?;
    let breaks = wave.breaking_time();
    let exact = |x: f64, t: f64| -> Outcome<State> { Ok(wave.at(x, t)?) };
    let mut series = Vec::new();
    for (look, share) in [(0, 0.0), (1, 0.5), (2, 0.9)] {
        let t = share * breaks;
        let want = curve(0.0, 1.0, 500, |x| Ok(exact(x, t)?.u))?;
        series.push(Series::new("", Kind::Exact, look, want));
        let got = along(&solve(CELLS, t, &exact)?, |s| s.u);
        series.push(Series::new(&format!("t/tb = {share:.1}"), Kind::Computed, look, got));
    }
    Ok(chart(name, "x [-]", Scale::new("u [-]"), series))
}

/// Error of density against the number of cells.
fn order() -> Outcome<Chart> {
    let entropy = |x: f64, t: f64| -> Outcome<State> {
        Ok(State { rho: 1.0 + 0.2 * libm::sin(2.0 * PI * (x - t)), u: 1.0, p: 1.0 })
    };
    let mut series = Vec::new();
    let mut add = |name: &str, look: usize, points: Points| {
        series.push(Series::new(&format!("{name}: slope {:.2}", slope(&points)), Kind::Marked, look, points));
    };
    let first = errors(0.5, &entropy)?;
    let level = first[2].1;
    add("entropy wave", 0, first);
    for (look, direction, name) in
        [(1, Direction::Right, "sound wave to the right"), (2, Direction::Left, "to the left")]
    {
        let wave = wave(direction)?;
        add(name, look, errors(0.4, &|x: f64, t: f64| Ok(wave.at(x, t)?))?);
    }
    let guide = [GRIDS[0], GRIDS[4]].map(|n| (n as f64, 2.0 * level * (1e2 / n as f64) * (1e2 / n as f64)));
    series.push(Series::new("slope 2", Kind::Reference, 0, guide.to_vec()));
    let mut chart = chart("Order of convergence", "cells", Scale::new("mean error of density [-]").in_ratios(), series);
    chart.x = Scale::new("cells in the tube").within(20.0, 510.0).in_ratios();
    Ok(chart)
}

/// Velocity less the exact one shortly before the wave breaks, on three grids.
fn differences() -> Outcome<Chart> {
    let wave = wave(Direction::Right)?;
    let t = 0.9 * wave.breaking_time();
    let mut series = Vec::new();
    for (look, n) in [(0, 50), (1, 100), (2, 200)] {
        let duct = solve(n, t, &|x, t| Ok(wave.at(x, t)?))?;
        let off = |(x, u): (f64, f64)| -> Outcome<(f64, f64)> { Ok((x, 100.0 * (u - wave.at(x, t)?.u) / CREST)) };
        let points = along(&duct, |s| s.u).into_iter().map(off).collect::<Outcome<_>>()?;
        series.push(Series::new(&format!("{n} cells"), Kind::Computed, look, points));
    }
    let y = Scale::new("error of u [% of crest]");
    Ok(chart("To the right, t/tb = 0.9: error", "x [-]", y, series))
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    Ok(Comparison {
        title: "Simple waves before they break, and the order of convergence".to_owned(),
        caption: "A sine of velocity 0.1 into gas at rest of unit density and pressure, heat-capacity ratio 1.4; \
                  lines: 100 cells, marks: exact. The crest is the faster part: it breaks at tb = 1.33. Order: L1 of \
                  density; entropy wave of 20 % carried half the tube, sound waves at t = 0.4. Source of the exact \
                  waves: Liepmann & Roshko, Elements of Gasdynamics, 1957, chapter 3; Whitham, Linear and Nonlinear \
                  Waves, 1974, chapter 6."
            .to_owned(),
        rows: vec![
            vec![profiles(Direction::Right, "To the right")?, profiles(Direction::Left, "To the left")?],
            vec![differences()?, order()?],
        ],
        height: 420.0,
    })
}
