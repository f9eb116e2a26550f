//! Which way each part moves the mixture of the running machine. Signs only: common practice, no source.

use bellmouth::hardware::machine::Machine;
use bellmouth::media::atmosphere::{standard_pressure, standard_temperature};
use bellmouth::study::point;

use crate::{coarse, found, single};

/// Smallest relative change that counts, ten times the tolerance of a periodic point.
const SEEN: f64 = 2e-3;

/// Metered air-fuel ratio at a point.
fn ratio(m: &Machine, throttle: f64, rpm: f64) -> f64 {
    let (result, _) = point::solve(m, throttle, rpm, None, &coarse());
    assert!(result.converged, "throttle {throttle}, {rpm} rpm: {:?} {:?}", result.status, result.note);
    result.afr_metered.unwrap()
}

/// Relative change of the air-fuel ratio by a change of the machine; positive is leaner.
fn change(what: &str, throttle: f64, rpm: f64, alter: impl Fn(&mut Machine)) -> f64 {
    let m = single();
    let mut other = m.clone();
    alter(&mut other);
    let (before, after) = (ratio(&m, throttle, rpm), ratio(&other, throttle, rpm));
    found("direction, common practice", &format!("{what}: AFR {before:.2} to {after:.2}"));
    after / before - 1.0
}

/// Throttle and speed of an idle of the known single, about where its torque is zero.
const IDLE: (f64, f64) = (0.04, 1300.0);

#[test]
fn larger_main_jet_is_richer_at_full_throttle() {
    assert!(
        change("main jet 160 for 150, full throttle", 1.0, 5000.0, |m| m.carburettor.main.main_jet.bore = 1.6e-3)
            < -SEEN
    );
}

#[test]
fn clip_one_groove_lower_is_richer_at_half() {
    assert!(
        change("clip one groove lower, half throttle", 0.5, 4000.0, |m| m.carburettor.main.needle.groove += 1) < -SEEN
    );
}

#[test]
fn larger_pilot_jet_is_richer_at_idle() {
    assert!(change("pilot jet a fifth larger, idle", IDLE.0, IDLE.1, |m| m.carburettor.pilot.jet.bore *= 1.2) < -SEEN);
}

#[test]
fn fuel_screw_out_is_richer_at_idle() {
    assert!(
        change("fuel screw half a turn out, idle", IDLE.0, IDLE.1, |m| m.carburettor.pilot.screw.turns += 0.5) < -SEEN
    );
}

#[test]
fn more_cutaway_is_leaner_at_an_eighth() {
    assert!(change("cutaway 3.5 for 3.0 mm, 1/8", 0.125, 3000.0, |m| m.carburettor.slide.cutaway += 0.5e-3) > SEEN);
}

#[test]
fn higher_float_level_is_richer() {
    for (throttle, rpm) in [(0.125, 3000.0), (0.5, 4000.0)] {
        let d = change("level 3 mm higher", throttle, rpm, |m| m.carburettor.bowl.level_below_bore -= 3e-3);
        assert!(d < -SEEN, "{d}");
    }
}

#[test]
fn larger_main_air_jet_is_leaner() {
    for (throttle, rpm) in [(0.5, 4000.0), (1.0, 5000.0)] {
        let d = change("main air jet a third larger", throttle, rpm, |m| {
            let jet = m.carburettor.main.air_jet.as_mut().unwrap();
            jet.bore *= 4.0 / 3.0;
        });
        assert!(d > SEEN, "{d}");
    }
}

#[test]
fn larger_pilot_air_jet_is_leaner_at_idle() {
    let d = change("pilot air jet a third larger, idle", IDLE.0, IDLE.1, |m| {
        let jet = m.carburettor.pilot.air_jet.as_mut().unwrap();
        jet.bore *= 4.0 / 3.0;
    });
    assert!(d > SEEN, "{d}");
}

#[test]
fn small_air_leak_is_leaner_at_idle() {
    assert!(change("air leak of 1 mm, idle", IDLE.0, IDLE.1, |m| m.air_leak = 1e-3) > SEEN);
}

#[test]
fn thin_air_is_richer() {
    for (throttle, rpm) in [(0.5, 4000.0), (1.0, 5000.0)] {
        let d = change("2000 m for sea level", throttle, rpm, |m| {
            m.air.pressure = standard_pressure(2000.0);
            m.air.temperature = standard_temperature(2000.0);
        });
        assert!(d < -SEEN, "{d}");
    }
}
