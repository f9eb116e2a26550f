//! Rayleigh flow: a duct without friction whose hot wall heats the gas, against the exact relations.

use bellmouth::exact::branch::Branch;
use bellmouth::exact::{isentropic, rayleigh};
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::hardware::duct::Piece;
use bellmouth::numeric::ode::{Accuracy, integrate};
use nalgebra::SVector;

use super::found;
use super::steady::{GAMMA, P0, R, Steady, T0, darcy, gas};

const BORE: f64 = 10e-3;
const LENGTH: f64 = 0.5;
const INLET: f64 = 0.25;
const WALL: f64 = 1000.0;
/// Factor on the wall heat of a long straight pipe.
const FACTOR: f64 = 2.0;

fn flux() -> f64 {
    isentropic::flow(INLET, GAMMA).unwrap() * P0 / (R * T0).sqrt()
}

/// Stagnation temperature of the sonic end [K].
fn star() -> f64 {
    T0 / rayleigh::at(INLET, GAMMA).unwrap().t0
}

fn mach(t0: f64) -> f64 {
    rayleigh::mach_from_stagnation_temperature(t0 / star(), GAMMA, Branch::Subsonic).unwrap()
}

/// Stagnation temperature at `x`: `dT0/dx = (4 St/D) (T_w - T)` with Stanton number `St = f/8`.
fn heated(x: f64) -> f64 {
    let rhs = |_: f64, y: &SVector<f64, 1>| {
        let m = mach(y[0]);
        let t = y[0] / (1.0 + 0.5 * (GAMMA - 1.0) * m * m);
        SVector::from([FACTOR * darcy(flux(), BORE, t) / (2.0 * BORE) * (WALL - t)])
    };
    integrate(rhs, 0.0, x, SVector::from([T0]), Accuracy::default(), |_, _| false).unwrap().last().unwrap().1[0]
}

#[test]
fn hot_wall_heats_the_gas_by_the_relations_of_rayleigh() {
    // The state follows from the local stagnation temperature (closed form), and that from the equation of heat
    // (integrated to 1e-9).
    let cells = 100;
    let at_inlet = isentropic::at(INLET, GAMMA).unwrap();
    let first = rayleigh::at(INLET, GAMMA).unwrap();
    let (star_p, star_t) = (P0 * at_inlet.p / first.p, T0 * at_inlet.t / first.t);
    let last = rayleigh::at(mach(heated(LENGTH)), GAMMA).unwrap();
    let piece = Piece { heat_factor: FACTOR, ..Piece::plain("pipe", LENGTH, BORE, BORE, WALL) };
    let duct = DuctCells::new(&[piece], LENGTH / f64::from(cells), &gas(), star_p * last.p, T0).unwrap();
    let s = Steady::run(duct.with_walls(false, true), star_p * last.p);
    assert!(s.spread < 1e-10, "mass flow differs by {:e} after {} steps", s.spread, s.steps);
    let exact = |t0: f64| {
        let r = rayleigh::at(mach(t0), GAMMA).unwrap();
        [t0, r.mach, r.p * star_p, r.t * star_t]
    };
    let (mut of_wall, mut of_gas) = ([0.0_f64; 4], [0.0_f64; 4]);
    for i in 0..s.cells() {
        let got = [s.stagnation_temperature(i), s.mach(i), s.pressure(i), s.temperature(i)];
        for (worst, want) in [(&mut of_wall, exact(heated(s.duct.middle(i)))), (&mut of_gas, exact(got[0]))] {
            for ((worst, got), want) in worst.iter_mut().zip(got).zip(want) {
                *worst = worst.max((got / want - 1.0).abs());
            }
        }
    }
    let rise = s.at_end(true, Steady::stagnation_temperature) / T0;
    found(
        "hot wall without friction on 100 cells (Rayleigh flow, exact), T0 out over T0 in, M in and out",
        &format!(
            "{rise:.3} (exact {:.3}), {INLET} and {:.4} (exact {:.4})",
            heated(LENGTH) / T0,
            s.at_end(true, Steady::mach),
            last.mach
        ),
    );
    for (what, worst) in [("equation of heat", of_wall), ("relations at the local T0", of_gas)] {
        let figure = worst.map(|w| format!("{:.3} %", 100.0 * w)).join(" ");
        found(&format!("largest difference of T0, M, p, T to the {what}"), &figure);
        assert!(worst.iter().all(|&w| w <= 0.005), "{what}: {worst:?}");
    }
}
