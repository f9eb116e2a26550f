//! What one step of each part is worth on the running machine.
//!
//! Each fact is the change of the fuel of the circuit concerned, speed and lift held. It holds when the sign is right and
//! the size within a factor of two; the change of the whole mixture stands beside it.

use bellmouth::setup::Setup;
use bellmouth::study::point::PointResult;

use crate::known::{COARSE, FINE, engine, engine_with, idle_throttle, percent, richness, run, side_by_side};
use crate::source;

/// Fuel [g/s] of a circuit.
type Circuit = fn(&PointResult) -> f64;

fn main_fuel(p: &PointResult) -> f64 {
    p.fuel_main_g_s.unwrap()
}

fn pilot_fuel(p: &PointResult) -> f64 {
    p.fuel_pilot_g_s.unwrap()
}

fn all_fuel(p: &PointResult) -> f64 {
    p.fuel_g_s.unwrap()
}

/// Change [%] of the circuit's fuel and of fuel over air at `throttle` and `rpm`.
fn step(before: &Setup, after: &Setup, throttle: f64, rpm: f64, circuit: Circuit) -> (f64, f64) {
    let cell = if rpm < 2000.0 { COARSE } else { FINE };
    let p = side_by_side(&[before, after], |setup| run(setup, throttle, rpm, cell));
    let (fuel, mixture) = (percent(circuit(&p[0]), circuit(&p[1])), percent(richness(&p[0]), richness(&p[1])));
    println!("{throttle:6.4} of lift, {rpm:4.0} rpm: fuel of the circuit {fuel:+.2} %, mixture {mixture:+.2} %");
    (fuel, mixture)
}

/// Whether `got` has the sign of `low` to `high` and lies within a factor of two of that range.
fn within_a_factor_of_two(got: f64, low: f64, high: f64) -> bool {
    let (a, b) = if low > 0.0 { (0.5 * low, 2.0 * high) } else { (2.0 * low, 0.5 * high) };
    (a..=b).contains(&got)
}

#[test]
fn a_main_jet_one_step_larger_gives_two_to_three_percent_more_at_full_throttle() {
    source("flow as the square of the bore times the main jet's say, 1.8 to 3.0 %: computed");
    let larger = engine_with("bore_number = 150", "bore_number = 152.5");
    for rpm in [3000.0, 4500.0, 6500.0] {
        let (fuel, _) = step(&engine(), &larger, 1.0, rpm, main_fuel);
        assert!(within_a_factor_of_two(fuel, 1.8, 3.0), "{fuel} %");
    }
}

#[test]
fn a_clip_one_groove_lower_gives_about_six_percent_more_near_half_throttle() {
    source(
        "4.4 to 8.6 % by taper, 6.5 % at 1.5 degrees, ring and main jet in series: computed; groove common practice",
    );
    let lower = engine_with("clip = 3", "clip = 4");
    for rpm in [3000.0, 4500.0] {
        let (fuel, _) = step(&engine(), &lower, 0.5, rpm, main_fuel);
        assert!(within_a_factor_of_two(fuel, 4.4, 8.6), "{fuel} %");
    }
}

#[test]
fn half_a_millimetre_more_cutaway_is_leaner_and_the_less_the_wider_the_throttle() {
    source("two slots in series: -7.5 % at 1/16, -4.5 % at 1/8, -2.4 % at 1/4, -1.2 % at 1/2: computed");
    let more = engine_with("cutaway = \"3.0 mm\"", "cutaway = \"3.5 mm\"");
    for (throttle, fact) in [(0.0625, -7.5), (0.125, -4.5), (0.25, -2.4), (0.5, -1.2)] {
        let (fuel, _) = step(&engine(), &more, throttle, 3000.0, main_fuel);
        println!("    the fact: {fact} %");
        assert!(fuel < 0.0, "{fuel} %");
    }
}

#[test]
fn a_needle_a_hundredth_thinner_gives_about_three_percent_more_on_its_straight_part() {
    source("the ring grows by 3.8 %, the fuel by about 3 %, 2.70 over 2.45 mm: computed");
    let text = "    [\"11.9 mm\", \"2.525 mm\"],     # slide shut\n    [\"16.9 mm\", \"2.525 mm\"],     # 1/8\n    [\"21.9 mm\", \"2.525 mm\"],";
    let thinner = engine_with(text, &text.replace("2.525", "2.515"));
    for throttle in [0.125, 0.1875] {
        let (fuel, _) = step(&engine(), &thinner, throttle, 3000.0, main_fuel);
        assert!(within_a_factor_of_two(fuel, 3.0, 3.8), "{fuel} %");
    }
}

#[test]
fn a_quarter_turn_of_the_screw_out_is_richer_at_idle_and_the_less_the_further_out() {
    source("2 to 5 % of the idle's fuel a quarter turn near 1 to 2 turns: common practice, no source");
    let out = |turns: &str| engine_with("turns = \"1 1/2 turns\"", &format!("turns = \"{turns} turns\""));
    let idle = idle_throttle();
    let near_shut = step(&out("1/2"), &out("3/4"), idle, 1300.0, all_fuel).0;
    let known = step(&engine(), &out("1 3/4"), idle, 1300.0, all_fuel).0;
    let far = step(&out("2 1/2"), &out("2 3/4"), idle, 1300.0, all_fuel).0;
    assert!(near_shut > known && known > far && far > 0.0, "{near_shut} {known} {far}");
}

#[test]
fn a_pilot_jet_one_step_larger_passes_more_at_idle_by_no_more_than_its_area() {
    source("the square of the bore, jet alone: 22.5 to 25 is +23 % (45 to 47.5 +11 %): computed");
    let larger = engine_with("bore_number = 22.5", "bore_number = 25");
    let (fuel, _) = step(&engine(), &larger, idle_throttle(), 1300.0, pilot_fuel);
    assert!(within_a_factor_of_two(fuel, 23.0, 23.0), "{fuel} %");
}

#[test]
fn a_millimetre_of_float_level_is_nothing_at_full_throttle_and_percents_near_the_needles_onset() {
    source("1 mm is 7.3 Pa: 0.12 to 0.3 % at 1.5 to 3 kPa, 1.7 % at 0.3 kPa, 5 to 6 % at 0.15 kPa: computed");
    let higher = engine_with("level = \"12 mm\"", "level = \"11 mm\"");
    let (full, _) = step(&engine(), &higher, 1.0, 4500.0, main_fuel);
    for (throttle, rpm) in [(1.0, 6500.0), (1.0, 2000.0), (0.25, 2000.0), (0.125, 2000.0), (0.0625, 2000.0)] {
        step(&engine(), &higher, throttle, rpm, main_fuel);
    }
    assert!(full > 0.0 && full < 0.3, "{full} %");
}

#[test]
fn an_air_leak_of_one_millimetre_weakens_the_idle() {
    source("+5 to +7 % air at 32 kPa: computed, orifice");
    let leaking = engine_with("air_leak = \"0 mm\"", "air_leak = \"1 mm\"");
    let idle = idle_throttle();
    let p = side_by_side(&[engine(), leaking], |setup| run(setup, idle, 1300.0, COARSE));
    let (air, mixture) =
        (percent(p[0].air_g_s.unwrap(), p[1].air_g_s.unwrap()), percent(richness(&p[0]), richness(&p[1])));
    println!("1 mm of leak at idle: air {air:+.2} %, mixture {mixture:+.2} %");
    assert!(within_a_factor_of_two(air, 5.0, 7.0), "{air} %");
    assert!(mixture < 0.0, "{mixture} %");
}
