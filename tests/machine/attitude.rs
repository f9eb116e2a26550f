//! A machine that is tilted or accelerated: level is level, and which way the mixture goes.

use bellmouth::hardware::attitude::{Attitude, Place};
use bellmouth::study::point::{self, PointResult};

use crate::{coarse, found, single};

fn solved(attitude: Option<Attitude>, throttle: f64, rpm: f64) -> PointResult {
    let mut m = single();
    m.carburettor.bowl.attitude = attitude;
    let p = point::solve(&m, throttle, rpm, None, &coarse()).0;
    assert!(p.converged, "{:?}", p.note);
    p
}

fn nozzle(forward: f64, right: f64) -> Attitude {
    let place = Place { forward, right };
    Attitude { nozzle: place, pilot: place, starter: place, ..Attitude::default() }
}

#[test]
fn level_and_steady_leaves_every_bit() {
    let text = [None, Some(nozzle(20e-3, -10e-3))].map(|a| serde_json::to_string(&solved(a, 0.25, 3000.0)).unwrap());
    assert_eq!(text[0], text[1]);
}

#[test]
fn an_outlet_that_rises_is_leaner_and_one_that_sinks_is_richer() {
    // Sign only, common practice: uphill or speeding up, fuel runs back: a nozzle before the float's axis goes lean, one behind it
    // rich; braking the other way round; in a flat turn to the right it runs to the left.
    let (throttle, rpm) = (0.125, 3000.0);
    let level = solved(None, throttle, rpm).afr_metered.unwrap();
    let g = 9.80665;
    let front = nozzle(20e-3, 0.0);
    let back = nozzle(-20e-3, 0.0);
    let right = nozzle(0.0, 20e-3);
    let cases = [
        ("uphill 20 degrees, nozzle in front", Attitude { tilt: 0.349, ..front }, 1.0),
        ("uphill 20 degrees, nozzle behind", Attitude { tilt: 0.349, ..back }, -1.0),
        ("speeding up 0.3 g, nozzle in front", Attitude { acceleration: 0.3 * g, ..front }, 1.0),
        ("braking 0.5 g, nozzle in front", Attitude { acceleration: -0.5 * g, ..front }, -1.0),
        ("flat turn to the right 0.5 g, nozzle on the right", Attitude { cornering: 0.5 * g, ..right }, 1.0),
        ("leaning to the right at rest, nozzle on the right", Attitude { lean: 0.3, ..right }, -1.0),
    ];
    for (what, attitude, sign) in cases {
        let afr = solved(Some(attitude), throttle, rpm).afr_metered.unwrap();
        let change = afr / level - 1.0;
        found("direction, common practice", &format!("{what}: AFR {level:.2} to {afr:.2}"));
        assert!(sign * change > 2e-3, "{what}: {change}");
    }
    // Balanced turn at 45 degrees: nothing runs sideways, but every head weighs 1.41 times as much.
    let lean = 0.25 * std::f64::consts::PI;
    let balanced = Attitude { lean, cornering: g * libm::tan(lean), ..right };
    let afr = solved(Some(balanced), throttle, rpm).afr_metered.unwrap();
    found("balanced turn at 45 degrees", &format!("AFR {level:.2} to {afr:.2}"));
    assert!(afr > level * 1.002);
}
