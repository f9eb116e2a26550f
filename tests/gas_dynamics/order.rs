//! Order of convergence where the gas is smooth, for each family of waves, in a ring of duct: what leaves it at one end
//! comes in at the other, so that no end disturbs the wave.

use std::f64::consts::PI;

use bellmouth::exact::simple_wave::{Direction, SimpleWave};
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::exchange::{EndFlux, Exchange};
use bellmouth::laws::riemann::{FaceState, hllc};
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

use super::bench::{COURANT, State, step_of};
use super::found;

const GAMMA: f64 = 1.4;
/// Powers of two: every place of the grid is a double, and so is its mirror image.
const CELLS: [usize; 5] = [32, 64, 128, 256, 512];

/// Flux through the joint of the ring. Valid after `predict`.
fn joint(duct: &DuctCells) -> EndFlux {
    let (l, r) = (duct.trace(true), duct.trace(false));
    let f = hllc(FaceState::new(l.rho, l.u, l.p, l.gamma), FaceState::new(r.rho, -r.u, r.p, r.gamma));
    EndFlux {
        mass: f.mass,
        momentum: f.momentum,
        energy_rest: f.energy_rest,
        energy_per_xi: f.energy_per_xi,
        ..EndFlux::default()
    }
}

/// L1 errors of density, velocity and pressure after `t` of a flow of period 1 whose exact state is known at every
/// place and time.
fn errors(n: usize, t_end: f64, exact: &impl Fn(f64, f64) -> State) -> [f64; 3] {
    let gas = GasModel::constant(1.0, GAMMA);
    let dx = 1.0 / n as f64;
    // Cell means by Simpson's rule, of fourth order.
    let mean = |x: f64, t: f64| {
        let (a, b, c) = (exact(x - 0.5 * dx, t), exact(x, t), exact(x + 0.5 * dx, t));
        let simpson = |a: f64, b: f64, c: f64| ((a + c) + 4.0 * b) / 6.0;
        (simpson(a.0, b.0, c.0), simpson(a.1, b.1, c.1), simpson(a.2, b.2, c.2))
    };
    let mut duct = DuctCells::of_profile(1.0, n, |_| 1.0, &gas, 1.0, 1.0);
    duct.fill(&gas, |x| {
        let (rho, u, p) = mean(x, 0.0);
        (rho, u, p, Composition::default())
    });
    let mut t = 0.0;
    while t_end - t > 1e-12 * t_end {
        let dt = step_of(&duct, COURANT).min(t_end - t);
        duct.predict(dt);
        let flux = joint(&duct);
        duct.update(&gas, dt, (flux, flux), (Exchange::default(), Exchange::default())).unwrap();
        t += dt;
    }
    let mut sum = [0.0; 3];
    for i in 0..n {
        let (got, want) = (duct.cell(i), mean(duct.middle(i), t_end));
        for (sum, d) in sum.iter_mut().zip([got.0 - want.0, got.1 - want.1, got.2 - want.2]) {
            *sum += d.abs() * dx;
        }
    }
    sum
}

/// Errors on each grid.
fn study(what: &str, exact: impl Fn(f64, f64) -> State, t: f64) -> Vec<[f64; 3]> {
    let errors: Vec<[f64; 3]> = CELLS.iter().map(|&n| errors(n, t, &exact)).collect();
    let coarse = errors[0].map(|e| format!("{e:.2e}")).join(" ");
    let fine = errors[CELLS.len() - 1].map(|e| format!("{e:.2e}")).join(" ");
    let rates: Vec<String> = errors.windows(2).map(|e| format!("{:.2?}", rate(e))).collect();
    let figure = format!("L1 of density, velocity, pressure on 32 cells {coarse}, on 512 {fine}, rates {rates:?}");
    found(&format!("{what} (exact) in a ring of 32 to 512 cells"), &figure);
    errors
}

fn rate(e: &[[f64; 3]]) -> [f64; 3] {
    [0, 1, 2].map(|q| libm::log2(e[0][q] / e[1][q]))
}

/// Fails unless the errors of both ways are those of each other in a mirror and fall with at least the order 1.9.
fn second_order_and_alike(what: &str, period: f64, exact: impl Fn(f64, f64) -> State) {
    let right = study(&format!("{what} to the right"), &exact, period);
    // The same wave in a mirror: the place and the velocity change their signs.
    let mirrored = |x: f64, t: f64| {
        let (rho, u, p) = exact(1.0 - x, t);
        (rho, -u, p)
    };
    let left = study(&format!("{what} to the left"), mirrored, period);
    for e in right.windows(2).chain(left.windows(2)) {
        assert!(rate(e).iter().all(|&r| r >= 1.9), "{:?}", rate(e));
    }
    let unlike =
        right.iter().flatten().zip(left.iter().flatten()).map(|(a, b)| (a / b - 1.0).abs()).fold(0.0, f64::max);
    found(&format!("{what}, error to the right over that to the left, less 1"), &format!("{unlike:.1e}"));
    assert!(unlike <= 1e-10, "{unlike:e}");
}

#[test]
fn entropy_wave_converges_with_second_order() {
    // Exact: density is carried, velocity and pressure stay what they are, to round-off. The limiter flattens the
    // crests, which costs a cell at each crest but, in L1, not the order.
    let exact = |x: f64, t: f64| (1.0 + 0.2 * libm::sin(2.0 * PI * (x - t)), 1.0, 1.0);
    for e in study("entropy wave", exact, 1.0).windows(2) {
        assert!(rate(e)[0] >= 1.9, "{:?}", rate(e));
        assert!(e[1][1] < 1e-12 && e[1][2] < 1e-12, "{:?}", e[1]);
    }
}

#[test]
fn weak_sound_waves_converge_with_second_order_and_both_ways_alike() {
    // Linear acoustics: the steepening it leaves out, `(g+1)/2 k A^2` of a wave that has run its length, is 2e-12 in
    // L1, a tenth of the least error here.
    let c = GAMMA.sqrt();
    second_order_and_alike("sound wave of strength 1e-6", 1.0 / c, |x, t| {
        let v = 1e-6 * libm::sin(2.0 * PI * (x - c * t));
        (1.0 + v, c * v, 1.0 + c * c * v)
    });
}

#[test]
fn sound_waves_of_finite_strength_converge_with_second_order_and_both_ways_alike() {
    // A sine of a twelfth of the speed of sound into gas at rest, compared well before it breaks (at 1.33).
    let k = 2.0 * PI;
    let start = |x: f64| 0.1 * libm::sin(k * x);
    let wave = SimpleWave::new(GAMMA, (1.0, 0.0, 1.0).into(), Direction::Right, start, (-0.1, 0.1), 0.1 * k).unwrap();
    second_order_and_alike("simple wave", 0.4, |x, t| wave.at(x, t).unwrap().into());
}
