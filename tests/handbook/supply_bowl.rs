//! The bowl's level in time, and what jug tests give back.

use std::sync::LazyLock;

use bellmouth::hardware::supply_line::{Fluid, Inlet, SupplyLine, effective_area};
use bellmouth::media::atmosphere::G0;
use bellmouth::setup::{JugEnd, JugTest, Setup, load_text};
use bellmouth::study::supply::{Demand, Ending, LevelPoint, Network, Ride, Rider, fluids, measured};

use super::{close, near, source};

/// Air of the standard atmosphere at sea level [Pa].
const P0: f64 = 101_325.0;
/// One cc/min [m3/s].
const CC_MIN: f64 = 1e-6 / 60.0;

static STARVED: LazyLock<Setup> = LazyLock::new(|| {
    load_text("single_650_supply.toml", include_str!("../trade/single_650_supply.toml")).unwrap().value
});

fn starved() -> (SupplyLine, Fluid, Fluid) {
    let (fuel, air) = fluids(&STARVED.machine);
    (STARVED.supply.as_ref().unwrap().line, fuel, air)
}

fn ride(line: &SupplyLine, head: f64, held: &Demand, eased: &Demand) -> Ride {
    let (_, fuel, air) = starved();
    let (network, open_cap) = (Network::new(line, fuel, air, true), Network::new(line, fuel, air, false));
    let vent = line.vent(air);
    let rider = Rider { network: &network, open_cap: &open_cap, vent: &vent, air_pressure: P0, head, held, eased };
    rider.ride().unwrap()
}

/// A demand that falls with the level and leans.
fn sagging() -> Demand {
    let level = |fall: f64, fuel: f64, lambda: f64| LevelPoint {
        fall,
        fuel_m3_s: fuel * CC_MIN,
        lambda: Some(lambda),
        torque_nm: Some(20.0),
        fired: true,
        converged: true,
    };
    Demand::new(&[level(0.0, 130.0, 0.95), level(0.008, 126.0, 0.99), level(0.025, 118.0, 1.07)]).unwrap()
}

#[test]
fn a_constant_deficit_empties_the_bowl_in_volume_over_deficit() {
    source("common practice: 50 cc at a deficit of 10, 20, 40, 80 cc/min last 5 min, 2.5 min, 75 s, 38 s");
    let (mut line, ..) = starved();
    // the needle wide open at the least fall of the level
    line.needle.over = 1e-7;
    let runs_in = {
        let (_, fuel, air) = starved();
        Network::new(&line, fuel, air, true).most(0.2)
    };
    for (deficit, seconds) in [(10.0, 300.0), (20.0, 150.0), (40.0, 75.0), (80.0, 37.5)] {
        let held = Demand::constant(runs_in + deficit * CC_MIN, 0.9);
        let r = ride(&line, 0.2, &held, &Demand::constant(0.5 * runs_in, 0.9));
        assert_eq!(r.ending, Ending::RanDry);
        // what runs out while the needle opens its first ten thousandth of a millimetre
        close(r.stops_after.unwrap(), seconds, 2e-5);
    }
}

#[test]
fn fuel_is_conserved_from_the_tank_to_the_engine() {
    source("balance: out of the tank = into the engine + gained by the bowl");
    let (line, ..) = starved();
    for (head, held) in [(0.2, sagging()), (0.35, sagging()), (0.35, Demand::constant(60.0 * CC_MIN, 0.9))] {
        let r = ride(&line, head, &held, &Demand::constant(55.0 * CC_MIN, 0.9));
        let lost = r.tank_out - (r.engine_in - r.missing);
        assert!(r.tank_out > 1e-6 && lost.abs() <= 1e-10 * r.tank_out, "{lost} of {}", r.tank_out);
    }
}

#[test]
fn the_level_agrees_with_a_quadrature_to_a_tight_tolerance() {
    source("t = integral of dx / (D - S) by Simpson's rule on 20000 intervals, an independent method");
    let (line, fuel, air) = starved();
    let network = Network::new(&line, fuel, air, true);
    let (held, eased, bowl) = (sagging(), Demand::constant(50.0 * CC_MIN, 0.9), line.bowl);
    let supply = |x: f64| network.into_bowl(network.drive(0.2), x / bowl.area);
    let simpson = |f: &dyn Fn(f64) -> f64, from: f64, to: f64| {
        let n = 20_000;
        let h = (to - from) / f64::from(n);
        let weight = |i: i32| {
            if i == 0 || i == n {
                1.0
            } else if i % 2 == 1 {
                4.0
            } else {
                2.0
            }
        };
        (0..=n).map(|i| weight(i) * f(from + f64::from(i) * h)).sum::<f64>() * h / 3.0
    };
    let r = ride(&line, 0.2, &held, &eased);
    let down = simpson(&|x| 1.0 / (held.fuel(x / bowl.area) - supply(x)), 0.0, bowl.usable);
    close(r.stops_after.unwrap(), down, 1e-6);
    // easing off: from dry to nine tenths of the way to where it settles
    let target = bowl.usable - 0.9 * (bowl.usable - r.missing);
    let up = simpson(&|x| 1.0 / (supply(x) - eased.fuel(x / bowl.area)), target, bowl.usable);
    close(r.recovers_after.unwrap(), up, 1e-6);
    // lambda 1.02 at the level where the straight lines reach it
    let fall = 0.008 + (15.0 / 14.7 - 0.99) / 0.08 * 0.017;
    let lean = simpson(&|x| 1.0 / (held.fuel(x / bowl.area) - supply(x)), 0.0, fall * bowl.area);
    close(r.leans_out_after.unwrap(), lean, 1e-6);
}

#[test]
fn a_supply_that_is_enough_settles_where_the_needle_passes_what_the_engine_takes() {
    source("balance at rest: S(level) = D(level)");
    let (line, fuel, air) = starved();
    let held = Demand::constant(60.0 * CC_MIN, 0.9);
    let r = ride(&line, 0.2, &held, &held);
    assert_eq!((r.ending, r.stops_after), (Ending::Settled, None));
    let network = Network::new(&line, fuel, air, true);
    close(network.into_bowl(network.drive(0.2), r.fall), 60.0 * CC_MIN, 1e-4);
    assert!(r.fall > 0.0 && r.fall < line.needle.over);
}

#[test]
fn a_sealed_cap_stops_the_flow_when_the_tanks_air_has_thinned_by_the_head() {
    source("Boyle's law to first order: p0 dV/V = rho g H");
    let (mut line, fuel, _) = starved();
    line.tank.vent = 0.0;
    let r = ride(&line, 0.35, &Demand::constant(60.0 * CC_MIN, 0.9), &Demand::constant(0.0, 0.9));
    assert_eq!(r.ending, Ending::RanDry, "with the cap open 60 cc/min are enough");
    let most = fuel.density * G0 * 0.35 * line.tank.air / P0;
    // a hole of a thousandth of a millimetre stands for the shut one
    close(r.tank_out, most, 0.02);
    let last = r.trace.iter().map(|p| p.depression).fold(0.0, f64::max);
    assert!(last < 1.0001 * fuel.density * G0 * 0.35);
}

#[test]
fn jug_tests_give_back_the_hole_that_they_were_made_with() {
    source("round trip through the network");
    let (line, fuel, air) = starved();
    let network = Network::new(&line, fuel, air, true);
    let test = |at: JugEnd, head: f64| JugTest {
        at,
        head,
        flow: if at == JugEnd::HoseEnd { network.hose_end(head) } else { network.most(head) },
    };
    // the line as described: exact
    let m = measured(&line, &[test(JugEnd::BowlDrain, 0.3)], fuel, air).unwrap();
    near(m.fitting_bore.unwrap(), 1.2e-3, 1e-9);
    assert!(m.readings.iter().all(|r| r.agrees()) && m.inlet_bore.unwrap() < 1.2e-3);
    // the line as one measured hole: its loss at another flow is a little off
    let m = measured(&line, &[test(JugEnd::HoseEnd, 0.3), test(JugEnd::BowlDrain, 0.3)], fuel, air).unwrap();
    near(m.fitting_bore.unwrap(), 1.2e-3, 0.01e-3);
    close(Network::new(&m.line, fuel, air, true).most(0.2), network.most(0.2), 0.01);
    assert!(measured(&line, &[], fuel, air).is_none());
}

#[test]
fn a_drain_that_passes_more_than_the_line_says_so_and_a_larger_seat_is_found() {
    source("logic of the two tests");
    let (mut line, fuel, air) = starved();
    line.inlet = Inlet::Effective { bore: 20e-3 };
    let through = |bore: f64, head: f64| effective_area(bore) * (2.0 * G0 * head).sqrt();
    let hose = JugTest { at: JugEnd::HoseEnd, head: 0.2, flow: through(2e-3, 0.2) };
    let drain = JugTest { at: JugEnd::BowlDrain, head: 0.2, flow: through(2.2e-3, 0.2) };
    let m = measured(&line, &[hose, drain], fuel, air).unwrap();
    assert!(m.line_limits && m.inlet_bore.is_none());
    let wide = JugTest { at: JugEnd::BowlDrain, head: 0.2, flow: through(3e-3, 0.2) };
    let m = measured(&line, &[wide], fuel, air).unwrap();
    assert!(m.fitting_bore.is_none() && m.inlet_bore.unwrap() > m.seat_bore);
    close(Network::new(&m.line, fuel, air, true).most(0.2), wide.flow, 1e-3);
}
