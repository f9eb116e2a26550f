//! Order of convergence where the gas is smooth.

use bellmouth::exact::simple_wave::{Direction, SimpleWave};
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

use super::bench::{State, run, through, tube};
use super::found;

const GAMMA: f64 = 1.4;

/// L1 error of density after `t` of a flow whose exact state is known at every place and time.
fn error(n: usize, t: f64, exact: impl Fn(f64, f64) -> State) -> f64 {
    let gas = GasModel::constant(1.0, GAMMA);
    let dx = 1.0 / n as f64;
    // Cell means by Simpson's rule, of fourth order.
    let mean = |i: usize, t: f64| {
        let at = |s: f64| exact((i as f64 + s) * dx, t).0;
        (at(0.0) + 4.0 * at(0.5) + at(1.0)) / 6.0
    };
    let mut duct: DuctCells = tube(n, &gas, |x| exact(x, 0.0));
    let y = Composition::default();
    run(&mut duct, &gas, t, |time| (through(exact(0.0, time), 1.0, y), through(exact(1.0, time), 1.0, y)));
    (0..n).map(|i| (duct.cell(i).0 - mean(i, t)).abs() * dx).sum()
}

fn rates(what: &str, exact: impl Fn(f64, f64) -> State, t: f64) -> Vec<f64> {
    let errors: Vec<f64> = [50, 100, 200, 400].map(|n| error(n, t, &exact)).to_vec();
    let rates: Vec<f64> = errors.windows(2).map(|e| libm::log2(e[0] / e[1])).collect();
    found(what, &format!("errors {errors:?} rates {rates:.3?}"));
    rates
}

#[test]
fn entropy_wave_converges_with_second_order() {
    // Exact: density is carried. The limiter flattens the crests, which costs some of the order in L1 on coarse cells.
    let exact = |x: f64, t: f64| (1.0 + 0.2 * libm::sin(2.0 * std::f64::consts::PI * (x - t)), 1.0, 1.0);
    for rate in rates("entropy wave, L1 of density on 50 to 400 cells", exact, 0.5) {
        assert!(rate > 1.9, "{rate}");
    }
}

#[test]
fn sound_wave_of_finite_strength_converges_with_second_order() {
    // A sine into gas at rest, compared well before it breaks (at 1.33).
    let k = 2.0 * std::f64::consts::PI;
    let start = |x: f64| 0.1 * libm::sin(k * x);
    let wave = SimpleWave::new(GAMMA, (1.0, 0.0, 1.0).into(), Direction::Right, start, (-0.1, 0.1), 0.1 * k).unwrap();
    let exact = |x: f64, t: f64| wave.at(x, t).unwrap().into();
    for rate in rates("simple wave, L1 of density on 50 to 400 cells", exact, 0.4) {
        assert!(rate > 1.8, "{rate}");
    }
}
