//! Other fuels and moist air in the running machine: sign and size of what the laws say.

use bellmouth::hardware::machine::Machine;
use bellmouth::media::atmosphere::FreeAir;
use bellmouth::media::fuel::Fuel;
use bellmouth::study::point::{self, PointResult};

use crate::{coarse, found, single};

fn run(m: &Machine, throttle: f64, rpm: f64) -> PointResult {
    let (result, _) = point::solve(m, throttle, rpm, None, &coarse());
    assert!(result.converged, "throttle {throttle}, {rpm} rpm: {:?} {:?}", result.status, result.note);
    result
}

/// The known single on `ethanol` by volume [-], the rest its own petrol.
fn on(ethanol: f64) -> Machine {
    let mut m = single();
    m.fuel = Fuel::blended("blend", 745.0, (ethanol, 0.0), m.fuel.temperature);
    m
}

#[test]
fn a_tenth_of_ethanol_in_petrol_jets_leans_by_about_four_percent() {
    for (throttle, rpm) in [(1.0, 4500.0), (0.5, 4000.0)] {
        let (petrol, e10) = (run(&on(0.0), throttle, rpm), run(&on(0.1), throttle, rpm));
        let leaner = e10.lambda.unwrap() / petrol.lambda.unwrap() - 1.0;
        let metered = e10.afr_metered.unwrap() / petrol.afr_metered.unwrap() - 1.0;
        found(
            "E10 in petrol jets: stoichiometry +4.2 %, density -0.3 % (computed)",
            &format!(
                "throttle {throttle}, {rpm} rpm: lambda {:+.1} %, metered ratio {:+.2} %",
                100.0 * leaner,
                100.0 * metered
            ),
        );
        // charge cooling fills the cylinder a little better, viscosity takes a little fuel
        assert!((0.030..0.055).contains(&leaner), "{leaner}");
        assert!(metered.abs() < 0.012, "{metered}");
    }
}

#[test]
fn alcohol_cools_the_charge_and_fills_the_cylinder_better() {
    // direction: common practice; size: full evaporation would cool by 102 K against 24 K, of which the inlet's walls give much back
    let mut m = on(1.0);
    // a jet that ethanol needs: half as much flow again by volume
    m.carburettor.main.main_jet.bore *= 1.25;
    m.carburettor.main.needle_jet.bore += 0.12e-3;
    let (petrol, ethanol) = (run(&on(0.0), 1.0, 4500.0), run(&m, 1.0, 4500.0));
    let more = ethanol.ve.unwrap() / petrol.ve.unwrap() - 1.0;
    found(
        "ethanol fills better (common practice)",
        &format!(
            "{:+.1} % at lambda {:.2} against {:.2}",
            100.0 * more,
            ethanol.lambda.unwrap(),
            petrol.lambda.unwrap()
        ),
    );
    assert!(ethanol.fired && (0.01..0.12).contains(&more), "{more}");
}

#[test]
fn moist_air_is_metered_by_all_its_mass_and_burns_by_its_dry_part() {
    // 30 degrees Celsius, 80 %: total density -1.3 %, dry part -3.3 % (computed); fuel goes with the root of the total density
    let mut dry = single();
    dry.air = FreeAir { pressure: 101_325.0, temperature: 303.15, relative_humidity: 0.0 };
    let mut moist = dry.clone();
    moist.air.relative_humidity = 0.8;
    let (throttle, rpm) = (1.0, 4500.0);
    let (a, b) = (run(&dry, throttle, rpm), run(&moist, throttle, rpm));
    let change = |f: fn(&PointResult) -> Option<f64>| f(&b).unwrap() / f(&a).unwrap() - 1.0;
    let (fuel, air, ratio) = (change(|r| r.fuel_g_s), change(|r| r.air_g_s), change(|r| r.afr));
    found(
        "moist air, 30 degrees Celsius, 80 %: dry part -3.3 %, root of the density -0.6 % (computed)",
        &format!("fuel {:+.2} %, dry air {:+.2} %, ratio {:+.2} %", 100.0 * fuel, 100.0 * air, 100.0 * ratio),
    );
    // the lighter gas moves the waves by 0.6 % in speed, which shifts each by some tenths of a percent
    assert!((-0.016..-0.001).contains(&fuel), "{fuel}");
    assert!((-0.040..-0.022).contains(&air), "{air}");
    assert!((ratio - ((1.0 + air) / (1.0 + fuel) - 1.0)).abs() < 2e-3, "{ratio}");
    // lambda that the burn is decided by counts the dry air as well
    let of = |r: &PointResult| r.trapped_lambda.unwrap() / r.lambda.unwrap();
    assert!((of(&b) / of(&a) - 1.0).abs() < 2e-3 && (of(&b) - 1.0).abs() < 0.01, "{} {}", of(&a), of(&b));
}
