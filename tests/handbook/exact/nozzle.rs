//! Isentropic ratios, the normal shock and the Laval nozzle.

use bellmouth::exact::branch::Branch;
use bellmouth::exact::isentropic;
use bellmouth::exact::normal_shock;
use bellmouth::exact::nozzle_flow::{LavalNozzle, Part, Regime};
use bellmouth::exact::nozzle_one;

use super::super::{close, near, source};
use super::refusal;

const G: f64 = 1.4;

#[test]
fn nozzle_one_below_choking_has_the_computed_mach_numbers() {
    source("area and Mach number, Liepmann & Roshko ch. 2 (from memory), computed by other code");
    let flow = nozzle_one::nozzle(G).unwrap().flow(0.89).unwrap();
    assert_eq!(flow.regime, Regime::Subsonic);
    near(flow.exit_mach, 0.411_436, 6e-7);
    near(flow.throat_mach, 0.804_983, 6e-7);
    near(flow.at(1.0, Part::Divergent).unwrap().p, 0.652_776, 6e-7);
    near(flow.at(2.5, Part::Convergent).unwrap().p, 0.963_651, 6e-7);
    close(flow.at(1.5, Part::Divergent).unwrap().p, 0.89, 1e-13);
    close(flow.at(2.5, Part::Convergent).unwrap().mach, flow.inlet_mach, 1e-14);
}

#[test]
fn nozzle_one_at_three_quarters_has_its_shock_where_computed() {
    source("the same, with the normal shock");
    let flow = nozzle_one::nozzle(G).unwrap().flow(0.75).unwrap();
    let Regime::Shock { area, shock } = flow.regime else { panic!("{:?}", flow.regime) };
    near(area, 1.259_781, 6e-7);
    near(nozzle_one::place(area, Part::Divergent).unwrap(), 7.5623, 6e-5);
    near(shock.mach_1, 1.611_728, 6e-7);
    near(shock.mach_2, 0.664_940, 6e-7);
    near(shock.p0, 0.890_798, 6e-7);
    near(flow.exit_mach, 0.501_915, 6e-7);
    close(flow.exit_stagnation_pressure, shock.p0, 1e-12);
    near(flow.inlet_mach, 0.239_543, 6e-7);
    near(flow.throat_mach, 1.0, 1e-7);
    // the shock's own two sides, and the exit, from the local state
    let (before, after) = (flow.at(area - 1e-9, Part::Divergent), flow.at(area + 1e-9, Part::Divergent));
    close(before.unwrap().mach, shock.mach_1, 1e-7);
    close(after.unwrap().mach, shock.mach_2, 1e-7);
    close(flow.at(1.5, Part::Divergent).unwrap().p, 0.75, 1e-12);
}

#[test]
fn nozzle_one_changes_its_regime_at_the_computed_back_pressures() {
    source("the same");
    let nozzle = nozzle_one::nozzle(G).unwrap();
    near(nozzle.first_choking().unwrap(), 0.880_517, 6e-7);
    near(nozzle.shock_at_exit().unwrap(), 0.615_728, 6e-7);
    near(nozzle.matched().unwrap(), 0.160_176, 6e-7);
    near(nozzle.flow(0.880_517).unwrap().exit_mach, 0.430_262, 6e-6);
    let supersonic = nozzle.flow(0.5).unwrap();
    assert_eq!(supersonic.regime, Regime::Supersonic);
    near(supersonic.exit_mach, 1.854_124, 6e-7);
    near(supersonic.exit_pressure, 0.160_176, 6e-7);
    near(supersonic.at(1.5, Part::Divergent).unwrap().p, 0.160_176, 6e-7);
    near(nozzle.flow(0.05).unwrap().exit_pressure, 0.160_176, 6e-7);
    // the shock comes out of the throat and goes to the exit without a jump
    for (back, area) in [(nozzle.first_choking().unwrap() - 1e-9, 1.0), (nozzle.shock_at_exit().unwrap() + 1e-9, 1.5)] {
        let Regime::Shock { area: got, .. } = nozzle.flow(back).unwrap().regime else { panic!("no shock at {back}") };
        near(got, area, 1e-5);
    }
}

#[test]
fn every_place_of_a_nozzle_has_a_state_however_close_to_a_change_of_regime() {
    source("continuity: no back pressure and no place without a solution");
    let nozzle = nozzle_one::nozzle(G).unwrap();
    for change in [nozzle.first_choking().unwrap(), nozzle.shock_at_exit().unwrap(), nozzle.matched().unwrap()] {
        for power in 3..=16 {
            for side in [-1.0, 1.0] {
                let flow = nozzle.flow(change * (1.0 + side * libm::pow(10.0, f64::from(-power)))).unwrap();
                for i in 0..=100 {
                    let area = 1.0 + 0.5 * libm::pow(10.0, -0.17 * f64::from(i));
                    let here = flow.at(area, Part::Divergent).unwrap();
                    assert!(here.p > 0.0 && here.p < 1.0 && here.mach > 0.0, "{change} {power} {area}: {here:?}");
                }
            }
        }
    }
}

#[test]
fn mass_flow_is_the_same_at_every_place_and_the_energy_too() {
    source("identity");
    let nozzle = nozzle_one::nozzle(G).unwrap();
    for back in [0.95, 0.89, 0.85, 0.75, 0.65, 0.4, 0.1] {
        let flow = nozzle.flow(back).unwrap();
        let want = flow.sonic_area * isentropic::flow(1.0, G).unwrap();
        for i in 0..=100 {
            let (area, part) = nozzle_one::area(0.1 * f64::from(i)).unwrap();
            let here = flow.at(area, part).unwrap();
            close(area * here.rho * here.mach * (G * here.t).sqrt(), want, 1e-12);
            close(here.p, here.rho * here.t, 1e-13);
            close(here.t * (1.0 + 0.2 * here.mach * here.mach), 1.0, 1e-13);
        }
    }
}

#[test]
fn shape_of_nozzle_one_is_the_published_one() {
    source("NASA NPARC verification case (from memory)");
    let pi = std::f64::consts::PI;
    for i in 0..=100 {
        let x = 0.1 * f64::from(i);
        let wave = libm::cos((0.2 * x - 1.0) * pi);
        let (area, part) = nozzle_one::area(x).unwrap();
        near(area, if x < 5.0 { 1.75 - 0.75 * wave } else { 1.25 - 0.25 * wave }, 1e-14);
        near(nozzle_one::place(area, part).unwrap(), x, 1e-7);
    }
    assert!(refusal(nozzle_one::area(-0.1)).contains('x'));
    assert!(refusal(nozzle_one::place(2.0, Part::Divergent)).contains("area"));
}

#[test]
fn choked_passage_of_fox_example_12_3_has_its_throat() {
    source("Fox & McDonald ch. 12 ex. 3 (public worked notebook)");
    let foot = 0.3048_f64;
    let (area, r) = (0.013, 53.3 * 32.2 * foot * foot * 1.8);
    let inlet = isentropic::at(0.52, G).unwrap();
    near(area / inlet.area, 0.00997, 6e-6);
    let pascal = 144.0 * 32.2 * 0.453_592_37 / foot;
    let (p0, t0) = (60.0 * pascal / inlet.p, 500.0 / 1.8 / inlet.t);
    let capacity = area * foot * foot * p0 / (r * t0).sqrt();
    near(isentropic::flow(0.52, G).unwrap() * capacity, 1.0896, 6e-5);
    // the throat passes it at Mach 1
    near(isentropic::flow(1.0, G).unwrap() * capacity / inlet.area, 1.0896, 6e-5);
    close(isentropic::mach_from_area(inlet.area, G, Branch::Subsonic).unwrap(), 0.52, 1e-13);
}

#[test]
fn nozzle_of_fox_examples_12_4_and_12_5() {
    source("Fox & McDonald ch. 12 ex. 4 and 5");
    let exit = 10.0; // cm2
    let slow = isentropic::mach_from_pressure(0.954, G).unwrap();
    near(slow, 0.26025, 6e-6);
    let throat = exit * isentropic::at(0.68, G).unwrap().area / isentropic::at(slow, G).unwrap().area;
    near(throat, 4.793, 6e-4);
    let nozzle = LavalNozzle::new(50.0, throat, exit, G).unwrap();
    let subsonic = nozzle.flow(0.954).unwrap();
    near(subsonic.throat_mach, 0.68, 1e-9);
    near(subsonic.exit_mach, 0.26025, 6e-6);
    // designed for 87.5 kPa: the printed areas are rounded, so the exit agrees within its printed digits
    let fast = nozzle.flow(0.0875).unwrap();
    near(isentropic::mach_from_pressure(0.0875, G).unwrap(), 2.24, 6e-3);
    near(fast.exit_mach, 2.24, 6e-3);
    let flow = isentropic::flow(1.0, G).unwrap() * 1e-4 * throat * 1e6 / (287.0_f64 * 350.0).sqrt();
    near(flow, 1.04, 6e-3);
}

#[test]
fn tables_of_isentropic_flow_and_normal_shock_are_met() {
    source("Anderson, Modern Compressible Flow, tables A.1 and A.2 (from memory)");
    let two = isentropic::at(2.0, G).unwrap();
    near(1.0 / two.p, 7.824, 6e-4);
    near(1.0 / two.rho, 4.347, 6e-4);
    near(1.0 / two.t, 1.8, 1e-12);
    near(two.area, 1.6875, 1e-12);
    near(isentropic::at(0.5, G).unwrap().area, 1.340, 6e-4);
    near(isentropic::critical_pressure(G).unwrap(), 0.528_282, 5e-7);
    let shock = normal_shock::across(2.0, G).unwrap();
    near(shock.p, 4.5, 1e-12);
    near(shock.rho, 2.667, 6e-4);
    near(shock.t, 1.687, 6e-4);
    near(shock.p0, 0.7209, 6e-5);
    near(shock.mach_2, 0.5774, 6e-5);
}

#[test]
fn inverses_of_the_isentropic_ratios_and_of_the_shock_come_back() {
    source("inverse pairs; where a ratio has its extreme at Mach 1 rounding counts by its root, or cube root");
    for g in [1.2, 1.3, G, 5.0 / 3.0] {
        for mach in [1e-4, 0.01, 0.2, 0.52, 0.9, 0.999, 1.001, 1.1, 1.7, 2.24, 5.0, 20.0] {
            let here = isentropic::at(mach, g).unwrap();
            let branch = if mach < 1.0 { Branch::Subsonic } else { Branch::Supersonic };
            let tolerance = 1e-12 + 1e-15 / (mach - 1.0_f64).abs();
            close(isentropic::mach_from_area(here.area, g, branch).unwrap(), mach, tolerance);
            // close to rest the ratio is 1 but for M^2
            close(isentropic::mach_from_pressure(here.p, g).unwrap(), mach, 1e-13 + 1e-15 / (mach * mach));
            if mach > 1.0 {
                let shock = normal_shock::across(mach, g).unwrap();
                let flat = 1e-11 + 1e-15 / ((mach - 1.0) * (mach - 1.0));
                close(normal_shock::from_stagnation_pressure(shock.p0, g).unwrap().mach_1, mach, flat);
                // Prandtl's relation: u1 u2 is the square of the critical speed of sound
                let speed = |m: f64| m * m * 0.5 * (g + 1.0) / (1.0 + 0.5 * (g - 1.0) * m * m);
                close(speed(mach) * speed(shock.mach_2), 1.0, 1e-12);
            }
        }
    }
}

#[test]
fn nozzles_and_ratios_outside_the_range_are_refused() {
    source("ranges");
    assert!(refusal(LavalNozzle::new(0.9, 1.0, 1.5, G)).contains("inlet"));
    assert!(refusal(LavalNozzle::new(2.0, 1.0, 0.5, G)).contains("exit"));
    assert!(refusal(LavalNozzle::new(2.0, 0.0, 0.5, G)).contains("throat"));
    let nozzle = nozzle_one::nozzle(G).unwrap();
    for back in [0.0, 1.0, 1.1, f64::NAN] {
        assert!(refusal(nozzle.flow(back)).contains("pe/p0"));
    }
    assert!(refusal(nozzle.flow(0.7).unwrap().at(0.9, Part::Divergent)).contains("area"));
    assert!(refusal(isentropic::at(-0.1, G)).contains("mach"));
    assert!(refusal(isentropic::mach_from_area(0.99, G, Branch::Subsonic)).contains("A/A*"));
    assert!(refusal(isentropic::mach_from_pressure(1.01, G)).contains("p/p0"));
    assert!(refusal(normal_shock::across(0.99, G)).contains("mach_1"));
    assert!(refusal(normal_shock::from_stagnation_pressure(1.1, G)).contains("p02/p01"));
}
