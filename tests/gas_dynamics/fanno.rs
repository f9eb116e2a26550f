//! Fanno flow: an adiabatic duct with wall friction, against the exact relations.

use bellmouth::exact::branch::Branch;
use bellmouth::exact::{fanno, isentropic};
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::numeric::ode::{Accuracy, integrate};
use nalgebra::SVector;

use super::bench::cone;
use super::steady::{GAMMA, P0, R, Steady, T0, darcy, gas};
use super::{close, found};

const BORE: f64 = 10e-3;
const INLET: f64 = 0.3;
const OUTLET: f64 = 0.6;

fn temperature(m2: f64) -> f64 {
    T0 / (1.0 + 0.5 * (GAMMA - 1.0) * m2)
}

/// Friction factor at a Mach number squared.
fn friction(m2: f64) -> f64 {
    let flux = isentropic::flow(INLET, GAMMA).unwrap() * P0 / (R * T0).sqrt();
    darcy(flux, BORE, temperature(m2))
}

/// `d(M^2)/dx = g M^4 (1 + (g-1)/2 M^2)/(1 - M^2) f/D`. Source: Shapiro, *Compressible Fluid Flow*, 1953, chapter 6
/// (from memory).
fn growth(m2: f64, f: f64) -> f64 {
    GAMMA * m2 * m2 * (1.0 + 0.5 * (GAMMA - 1.0) * m2) / (1.0 - m2) * f / BORE
}

/// Mach number at `x`.
fn mach_at(x: f64, friction: impl Fn(f64) -> f64) -> f64 {
    let rhs = |_: f64, y: &SVector<f64, 1>| SVector::from([growth(y[0], friction(y[0]))]);
    let run = integrate(rhs, 0.0, x, SVector::from([INLET * INLET]), Accuracy::default(), |_, _| false).unwrap();
    run.last().unwrap().1[0].sqrt()
}

/// Length from inlet to outlet and the mean of the friction factor over it.
fn length() -> (f64, f64) {
    let rhs = |m2: f64, _: &SVector<f64, 2>| {
        let dx = 1.0 / growth(m2, friction(m2));
        SVector::from([dx, dx * friction(m2)])
    };
    let (from, to) = (INLET * INLET, OUTLET * OUTLET);
    let run = integrate(rhs, from, to, SVector::from([0.0, 0.0]), Accuracy::default(), |_, _| false).unwrap();
    let [x, fx] = run.last().unwrap().1.into();
    (x, fx / x)
}

#[test]
fn equation_of_friction_gives_the_closed_form_at_constant_friction() {
    let f = 0.02;
    let whole = fanno::at(INLET, GAMMA).unwrap().length;
    for share in [0.3, 0.6, 0.9] {
        let want = fanno::mach_from_length((1.0 - share) * whole, GAMMA, Branch::Subsonic).unwrap();
        close("Mach number", mach_at(share * whole * BORE / f, |_| f), want, 1e-7);
    }
}

#[test]
fn adiabatic_duct_with_friction_follows_the_relations_of_fanno() {
    // The solver's Darcy factor follows the Reynolds number: the reference is the equation of friction with that factor
    // (integrated to 1e-9), and the closed form with the factor's mean over the length.
    let cells = 100;
    let (length, f) = length();
    let star = fanno::at(INLET, GAMMA).unwrap();
    let star_p = P0 * isentropic::at(INLET, GAMMA).unwrap().p / star.p;
    let back = star_p * fanno::at(OUTLET, GAMMA).unwrap().p;
    let duct = DuctCells::new(&[cone(length, BORE, BORE)], length / f64::from(cells), &gas(), back, T0).unwrap();
    let s = Steady::run(duct.with_walls(true, false), back);
    assert!(s.spread < 1e-10, "mass flow differs by {:e} after {} steps", s.spread, s.steps);
    let mut worst = [0.0_f64; 5];
    for i in 0..s.cells() {
        let want = fanno::at(mach_at(s.duct.middle(i), friction), GAMMA).unwrap();
        let got = [
            s.mach(i) / want.mach,
            s.pressure(i) / star_p / want.p,
            s.temperature(i) * star.t / temperature(INLET * INLET) / want.t,
            s.stagnation_pressure(i) * star.p0 / P0 / want.p0,
            s.stagnation_temperature(i) / T0,
        ];
        for (worst, got) in worst.iter_mut().zip(got) {
            *worst = worst.max((got - 1.0).abs());
        }
    }
    let figure = worst.map(|w| format!("{:.3} %", 100.0 * w)).join(" ");
    found(
        "duct with friction on 100 cells (Fanno flow, exact), largest difference of M, p/p*, T/T*, p0/p0*, T0",
        &figure,
    );
    let [inlet, outlet] = [false, true].map(|far| s.at_end(far, Steady::mach));
    let spent = fanno::at(inlet, GAMMA).unwrap().length - fanno::at(outlet, GAMMA).unwrap().length;
    let want = f * length / BORE;
    found(
        "the same, M in and out, and f L/D between them over the exact one",
        &format!("{inlet:.4} {outlet:.4} (exact {INLET} {OUTLET}), {spent:.4} (exact {want:.4})"),
    );
    assert!(worst.iter().all(|&w| w <= 0.005), "{worst:?}");
    close("f L/D", spent, want, 0.005);
}
