//! Tuned intake pipes.

use bellmouth::exact::tuning::{Engelman, wave_travel_length};

use super::super::{circle, close, near, source};
use super::refusal;

const SINGLE: Engelman =
    Engelman { displacement: 125e-6, compression_ratio: 10.0, length: 0.3, area: 0.0, sound: 343.0 };

#[test]
fn single_of_125_cm3_is_tuned_to_the_computed_speeds() {
    source("Engelman, ASME 73-WA/DGP-2 (1973), computed for a pipe of 300 mm by 24 mm");
    let single = Engelman { area: circle(0.024), ..SINGLE };
    near(1e6 * single.effective_volume().unwrap(), 76.389, 6e-4);
    near(single.frequency().unwrap(), 242.55, 6e-3);
    for (k, rpm) in [(2.0, 7276.0), (2.1, 6930.0), (2.5, 5821.0)] {
        near(60.0 * single.tuned_speed(k).unwrap(), rpm, 0.6);
    }
}

#[test]
fn imperial_forms_of_the_same_rule_agree() {
    source("N = (162/K) c sqrt(A/(L Vd)) sqrt((CR-1)/(CR+1)) in ft/s and in; 77 for K = 2.1 (published lecture)");
    let single = Engelman { area: circle(0.024), ..SINGLE };
    let inch = 0.0254_f64;
    let root = (single.area / inch.powi(2) / (single.length / inch * single.displacement / inch.powi(3))).sqrt();
    let rest = 343.0 / 0.3048 * root * (9.0_f64 / 11.0).sqrt();
    let constant = 60.0 * single.tuned_speed(1.0).unwrap() / rest;
    near(constant, 162.06, 6e-3);
    near(constant / 2.1, 77.0, 0.2);
}

#[test]
fn wave_travel_rule_gives_the_published_lengths() {
    source("L = c theta/(12 N), theta 85 deg, c 330 m/s (published problem)");
    for (rpm, millimetres) in [(2000.0, 1168.8), (3000.0, 779.2), (4000.0, 584.4)] {
        let length = wave_travel_length(330.0, 85.0_f64.to_radians(), rpm / 60.0).unwrap();
        near(1e3 * length, millimetres, 0.06);
        close(length, 330.0 * 85.0 / (12.0 * rpm), 1e-14);
    }
}

#[test]
fn tuning_without_a_pipe_or_a_compression_is_refused() {
    source("ranges");
    assert!(refusal(SINGLE.frequency()).contains("area"));
    assert!(refusal(Engelman { compression_ratio: 1.0, ..SINGLE }.effective_volume()).contains("compression_ratio"));
    assert!(refusal(Engelman { area: 1.0, ..SINGLE }.tuned_speed(0.0)).contains('k'));
    assert!(refusal(wave_travel_length(330.0, 1.0, 0.0)).contains("speed"));
}
