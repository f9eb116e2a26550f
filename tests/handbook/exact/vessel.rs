//! The vessel that empties.

use bellmouth::exact::blow_down::BlowDown;
use bellmouth::exact::isentropic;

use super::super::{close, near, source};
use super::{integral, refusal};

const BOTTLE: BlowDown = BlowDown {
    volume: 0.01,
    effective_area: 5e-6,
    r: 287.05,
    gamma: 1.4,
    pressure: 1e6,
    temperature: 300.0,
    outside: 1e5,
};

/// Mass flow [kg/s] from `p`, `t` through the orifice of `b`, by way of the Mach number in it.
fn flow(b: &BlowDown, p: f64, t: f64) -> f64 {
    let mach = isentropic::mach_from_pressure((b.outside / p).min(1.0), b.gamma).unwrap().min(1.0);
    isentropic::flow(mach, b.gamma).unwrap() * b.effective_area * p / (b.r * t).sqrt()
}

#[test]
fn vessel_loses_mass_and_energy_at_the_rate_of_its_orifice() {
    source("balances of mass and of energy, by central differences of the solution");
    let end = BOTTLE.emptying_time().unwrap();
    for share in [0.05, 0.2, 0.4, 0.6, 0.8, 0.95] {
        let (t, h) = (share * end, 1e-3);
        let (a, here, b) = (BOTTLE.at(t - h).unwrap(), BOTTLE.at(t).unwrap(), BOTTLE.at(t + h).unwrap());
        let out = flow(&BOTTLE, here.pressure, here.temperature);
        // differences of second order over 2 ms of some 20 s
        close((a.mass - b.mass) / (2.0 * h), out, 1e-6);
        let cp = 3.5 * BOTTLE.r;
        let energy = |p: f64| p * BOTTLE.volume / 0.4;
        close((energy(a.pressure) - energy(b.pressure)) / (2.0 * h), out * cp * here.temperature, 1e-6);
    }
}

#[test]
fn choked_phase_ends_at_the_critical_ratio_and_both_phases_meet() {
    source("closed form of the choked phase, time as an integral over the pressure");
    let until = BOTTLE.choked_until().unwrap();
    let at_end = BOTTLE.at(until).unwrap();
    close(at_end.pressure, 1e5 / isentropic::critical_pressure(1.4).unwrap(), 1e-12);
    close(BOTTLE.at(until * (1.0 + 1e-10)).unwrap().pressure, at_end.pressure, 1e-8);
    // dt = -dp V / (g R T m), over ln p in the choked phase
    let rate = |p: f64| {
        let t = 300.0 * libm::pow(p / 1e6, 0.4 / 1.4);
        BOTTLE.volume / (1.4 * BOTTLE.r * t * flow(&BOTTLE, p, t))
    };
    let choked = |x: f64| libm::exp(x) * rate(libm::exp(x));
    close(until, integral(choked, libm::log(at_end.pressure), libm::log(1e6), 40), 1e-12);
    // with p = 1e5 (1 + w^2), dp = 2e5 w dw, the integrand of the rest is smooth
    let slow = |w: f64| 2e5 * w * rate(1e5 * (1.0 + w * w));
    let w = (at_end.pressure / 1e5 - 1.0).sqrt();
    close(BOTTLE.emptying_time().unwrap(), until + integral(slow, 0.0, w, 40), 1e-9);
    // half way down
    let t = until + integral(slow, 0.5 * w, w, 40);
    close(BOTTLE.at(t).unwrap().pressure, 1e5 * (1.0 + 0.25 * w * w), 1e-10);
}

#[test]
fn emptied_vessel_stays_at_the_pressure_outside_and_cold() {
    source("isentropic expansion, limits");
    let end = BOTTLE.emptying_time().unwrap();
    for t in [1.000_01 * end, 2.0 * end, 100.0 * end] {
        let cold = BOTTLE.at(t).unwrap();
        close(cold.pressure, 1e5, 1e-12);
        close(cold.temperature, 300.0 * libm::pow(0.1, 0.4 / 1.4), 1e-12);
    }
    assert!(BOTTLE.at(0.99 * end).unwrap().pressure > 1e5);
    // never choked: no closed form, all of it integrated
    let soft = BlowDown { pressure: 1.5e5, ..BOTTLE };
    near(soft.choked_until().unwrap(), 0.0, 1e-300);
    close(soft.at(0.0).unwrap().pressure, 1.5e5, 1e-14);
    let level = BlowDown { pressure: 1e5, ..BOTTLE };
    near(level.emptying_time().unwrap(), 0.0, 1e-300);
    close(level.at(3.0).unwrap().pressure, 1e5, 1e-14);
}

#[test]
fn vessel_outside_the_range_is_refused() {
    source("ranges");
    assert!(refusal(BlowDown { pressure: 0.9e5, ..BOTTLE }.at(1.0)).contains("pressure"));
    assert!(refusal(BlowDown { volume: 0.0, ..BOTTLE }.choked_until()).contains("volume"));
    assert!(refusal(BOTTLE.at(-1.0)).contains('t'));
}
