//! The starter enrichener on the known engine, starter jet 70 as in a service manual of a 400-class single.

use bellmouth::setup::Setup;
use bellmouth::study::circuit_share::circuit_shares;

use super::known::{COARSE, engine, engine_with, idle_throttle, percent, richness, run};
use super::source;

/// The known engine with a starter, its plunger open to `open`.
fn with_starter(number: &str, open: &str) -> Setup {
    let table =
        format!("[carburettor.starter]\njet = {{ bore_number = {number} }}\nopen = \"{open}\"\n\n[carburettor.bowl]");
    engine_with(&[("[carburettor.bowl]", &table)])
}

#[test]
fn starter_makes_the_idle_much_richer_and_lets_in_air_of_its_own() {
    source(
        "an enrichener needs the slide shut and adds its own air, so that a fast idle is built in: practitioners' notes",
    );
    let idle = idle_throttle();
    let shut = run(&engine(), idle, 1300.0, COARSE);
    let open = run(&with_starter("70", "100 %"), idle, 1300.0, COARSE);
    let (fuel, air) =
        (percent(richness(&shut), richness(&open)), percent(shut.air_g_s.unwrap(), open.air_g_s.unwrap()));
    let share = circuit_shares(&open).unwrap()[2];
    println!(
        "idle: AFR {:.1} to {:.1}, mixture {fuel:+.0} %, air {air:+.1} %, the starter's share of the fuel {:.0} %",
        shut.afr_metered.unwrap(),
        open.afr_metered.unwrap(),
        100.0 * share
    );
    assert!(fuel > 30.0 && air > 2.0 && share > 0.3, "{fuel} {air} {share}");
}

#[test]
fn turning_the_throttle_takes_the_suction_off_the_starter() {
    source(
        "turn the throttle and the suction is lost: practitioners' notes; that a quarter loses most of it: common practice",
    );
    let setup = with_starter("70", "100 %");
    let mut last = f64::INFINITY;
    let mut fuels = Vec::new();
    for throttle in [idle_throttle(), 0.125, 0.25] {
        let p = run(&setup, throttle, 1300.0, COARSE);
        let fuel = p.fuel_starter_g_s.unwrap();
        println!(
            "{throttle:.4} of lift: starter {fuel:.4} g/s, pressure behind the slide {:.1} kPa",
            1e-3 * p.manifold_pa.unwrap()
        );
        assert!(fuel < last);
        last = fuel;
        fuels.push(fuel);
    }
    assert!(fuels[2] < 0.2 * fuels[0], "{fuels:?}");
}

#[test]
fn a_larger_starter_jet_gives_more_fuel() {
    source("flow as the area: common practice, no source");
    let idle = idle_throttle();
    let fuel = |number| run(&with_starter(number, "100 %"), idle, 1300.0, COARSE).fuel_starter_g_s.unwrap();
    let fuels = ["60", "70", "80"].map(fuel);
    println!("starter jet 60, 70, 80: {fuels:.3?} g/s");
    assert!(fuels[0] < fuels[1] && fuels[1] < fuels[2], "{fuels:?}");
}
