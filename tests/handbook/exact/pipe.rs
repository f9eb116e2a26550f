//! Ducts of constant area with friction or with heat.

use bellmouth::exact::branch::Branch;
use bellmouth::exact::{fanno, rayleigh};
use bellmouth::numeric::ode::{Accuracy, integrate};
use nalgebra::SVector;

use super::super::{close, near, source};
use super::{integral, refusal};

const G: f64 = 1.4;

#[test]
fn fanno_tables_are_met() {
    source("Anderson, Modern Compressible Flow, table A.4, with 4 f L*/D for Fanning's f (from memory)");
    let half = fanno::at(0.5, G).unwrap();
    near(half.length, 1.0691, 6e-5);
    near(half.p0, 1.3398, 6e-5);
    near(half.t, 1.1429, 6e-5);
    near(half.p, 2.1381, 6e-5);
    let two = fanno::at(2.0, G).unwrap();
    near(two.length, 0.3050, 6e-5);
    near(two.p0, 1.6875, 6e-5);
    near(two.t, 0.6667, 6e-5);
    near(two.p, 0.4082, 6e-5);
    near(fanno::longest_supersonic(G).unwrap(), 0.8215, 6e-5);
}

#[test]
fn rayleigh_tables_are_met() {
    source("Anderson, Modern Compressible Flow, table A.3 (from memory)");
    let half = rayleigh::at(0.5, G).unwrap();
    near(half.t0, 0.691_36, 6e-6);
    near(half.p, 1.777_78, 6e-6);
    near(half.t, 0.790_12, 6e-6);
    near(half.p0, 1.114_05, 6e-6);
    let two = rayleigh::at(2.0, G).unwrap();
    near(two.t0, 0.793_39, 6e-6);
    near(two.p, 0.363_64, 6e-6);
    near(two.t, 0.528_93, 6e-6);
    near(two.p0, 1.503_10, 6e-6);
}

#[test]
fn fanno_length_is_the_integral_of_the_momentum_equation() {
    source("differential equation of flow with friction, Liepmann & Roshko ch. 2 (from memory), by Gauss's rule");
    for g in [1.3, G] {
        for (mach, parts) in [(0.1, 400), (0.5, 50), (0.9, 20), (1.2, 20), (2.0, 50), (4.0, 200)] {
            // f dx/D = 2 (1 - M^2) / (g M^3 (1 + (g-1)/2 M^2)) dM
            let slope = |m: f64| 2.0 * (1.0 - m * m) / (g * m * m * m * (1.0 + 0.5 * (g - 1.0) * m * m));
            close(fanno::at(mach, g).unwrap().length, integral(slope, mach, 1.0, parts), 1e-11);
        }
    }
}

#[test]
fn fanno_flow_satisfies_the_balances_of_mass_momentum_and_energy() {
    source("balances integrated along the duct for density, velocity and pressure by themselves");
    for start in [0.3, 0.6, 1.6, 2.5] {
        let from = fanno::at(start, G).unwrap();
        // critical state: rho = u = 1, p = 1/g; x counts f L/D
        let y0 = SVector::<f64, 2>::new(start * from.t.sqrt(), from.p / G);
        let slope = |_: f64, y: &SVector<f64, 2>| {
            // rho u = 1, u du + dp/rho = -u^2/2 dx, and a2/(g-1) + u^2/2 is constant
            let (u, p) = (y[0], y[1]);
            let a2 = G * p * u;
            let du = 0.5 * G * u * u * u / (a2 - u * u);
            SVector::<f64, 2>::new(du, -du - 0.5 * u)
        };
        let to = 0.8 * from.length;
        let accuracy = Accuracy { relative: 1e-12, absolute: 1e-13, ..Accuracy::default() };
        let end = integrate(slope, 0.0, to, y0, accuracy, |_, _| false).unwrap().last().unwrap().1;
        let branch = if start < 1.0 { Branch::Subsonic } else { Branch::Supersonic };
        let want = fanno::at(fanno::mach_from_length(from.length - to, G, branch).unwrap(), G).unwrap();
        close(end[0], want.mach * want.t.sqrt(), 1e-9);
        close(G * end[1], want.p, 1e-9);
    }
}

#[test]
fn rayleigh_flow_satisfies_the_balances_of_mass_momentum_and_energy() {
    source("mass and momentum as identities; influence of heat, Shapiro 1953 ch. 8 (from memory), by Gauss's rule");
    for mach in [0.1, 0.4, 0.8, 1.3, 2.5] {
        let here = rayleigh::at(mach, G).unwrap();
        // critical state: rho = u = 1, p = 1/g
        let (p, u) = (here.p / G, mach * here.t.sqrt());
        let rho = here.p / here.t;
        close(rho * u, 1.0, 1e-13);
        close(p + rho * u * u, 1.0 + 1.0 / G, 1e-13);
        // dT0/T0 = 2 (1 - M^2) / (M (1 + g M^2) (1 + (g-1)/2 M^2)) dM
        let warmer = |m: f64| {
            let square = m * m;
            2.0 * (1.0 - square) / (m * (1.0 + G * square) * (1.0 + 0.5 * (G - 1.0) * square))
        };
        close(libm::log(here.t0), -integral(warmer, mach, 1.0, 100), 1e-11);
        let t0 = here.t * (1.0 + 0.2 * mach * mach) / 1.2;
        close(here.t0, t0, 1e-13);
        close(here.p0, here.p * libm::pow(here.t0 / here.t, 3.5), 1e-12);
    }
}

#[test]
fn inverses_of_fanno_and_rayleigh_come_back() {
    source("inverse pairs; at Mach 1 both ratios have their extreme, where rounding counts by its root");
    for g in [1.25, G, 5.0 / 3.0] {
        for mach in [0.01, 0.1, 0.5, 0.9, 0.999, 1.001, 1.1, 2.0, 5.0] {
            let branch = if mach < 1.0 { Branch::Subsonic } else { Branch::Supersonic };
            let tolerance = 1e-11 + 1e-15 / (mach - 1.0_f64).abs().powi(2);
            let length = fanno::at(mach, g).unwrap().length;
            close(fanno::mach_from_length(length, g, branch).unwrap(), mach, tolerance);
            let t0 = rayleigh::at(mach, g).unwrap().t0;
            close(rayleigh::mach_from_stagnation_temperature(t0, g, branch).unwrap(), mach, tolerance);
        }
    }
    near(fanno::mach_from_length(0.0, G, Branch::Subsonic).unwrap(), 1.0, 1e-7);
    near(rayleigh::mach_from_stagnation_temperature(0.0, G, Branch::Subsonic).unwrap(), 0.0, 1e-300);
    assert!(refusal(fanno::mach_from_length(0.83, G, Branch::Supersonic)).contains("f L*/D"));
    assert!(refusal(fanno::mach_from_length(-0.1, G, Branch::Subsonic)).contains("f L*/D"));
    assert!(refusal(fanno::at(0.0, G)).contains("mach"));
    assert!(refusal(rayleigh::mach_from_stagnation_temperature(0.48, G, Branch::Supersonic)).contains("T0/T0*"));
    assert!(refusal(rayleigh::mach_from_stagnation_temperature(1.01, G, Branch::Subsonic)).contains("T0/T0*"));
    assert!(refusal(rayleigh::at(-0.5, G)).contains("mach"));
}
