//! What `check` lays open, against the trade's worked figures.

use std::path::Path;

use bellmouth::setup::describe::air_speed;
use bellmouth::setup::{CAUTIONS, Description, describe, load, load_text, template};

fn single() -> (bellmouth::setup::Setup, Description) {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trade/single_650.toml");
    let loaded = load(&path, None).unwrap_or_else(|report| panic!("{report}"));
    let description = describe(&loaded.value, &loaded.warnings);
    (loaded.value, description)
}

fn figure(d: &Description, key: &str) -> f64 {
    d.derived.iter().find(|f| f.key == key).unwrap_or_else(|| panic!("no {key}")).value
}

#[test]
fn displacement_and_areas_follow_from_the_parts() {
    let (_, d) = single();
    assert!((figure(&d, "displacement") - 644.026).abs() < 1e-3); // pi/4 100^2 82 mm3
    assert!((figure(&d, "clearance_volume") - 644.026 / 8.3).abs() < 1e-3);
    assert!((figure(&d, "clearance_height") - 82.0 / 8.3).abs() < 1e-9);
    // opens 10 degrees before top at 1 mm of lift: more than that at top
    assert!((1.2..2.5).contains(&figure(&d, "inlet_lift_at_top")), "{}", figure(&d, "inlet_lift_at_top"));
    assert!((0.8..2.0).contains(&figure(&d, "exhaust_lift_at_top")), "{}", figure(&d, "exhaust_lift_at_top"));
    assert!((figure(&d, "bore_area") - 1_256.637).abs() < 1e-3); // pi/4 40^2
    assert!((figure(&d, "way_in") - 260.0).abs() < 1e-9); // 100 + 55 + 105
    // 2 x pi/4 (30^2 - 6.5^2)
    assert!((figure(&d, "throat_area") - 1_347.35).abs() < 0.01, "{}", figure(&d, "throat_area"));
}

#[test]
fn what_stands_in_front_of_the_mouth_has_its_figures() {
    let described = |more: &str| {
        let loaded = load_text("front", &format!("{}\n{more}\n", template())).expect("a set-up");
        describe(&loaded.value, &loaded.warnings)
    };
    let d = described(
        "[air_box]\nvolume = \"4 L\"\n[air_box.inlet]\ndiameter = \"34 mm\"\n[air_box.filter]\narea = \"250 cm2\"",
    );
    // pi/4 88^2 82 mm3 is 498.73 cc; at 6500 rpm, filling 0.85, 22.962 L/s, so 0.91849 m/s through 250 cm2, 200 Pa each
    assert!((figure(&d, "box_to_displacement") - 4000.0 / 498.73).abs() < 1e-3);
    assert!((figure(&d, "inlet_to_bore") - (34.0_f64 / 38.0).powi(2)).abs() < 1e-9);
    assert!((figure(&d, "filter_drop") - 183.70).abs() < 0.05, "{}", figure(&d, "filter_drop"));
    assert!(d.given.iter().any(|p| p.key == "air_box.filter.area"));
    assert!(d.estimated.iter().any(|p| p.key == "air_box.inlet.length"));
    let d = described("[pod_filter]");
    assert!((figure(&d, "box_to_displacement") - 500.0 / 498.73).abs() < 1e-3);
    assert!(d.derived.iter().all(|f| f.key != "inlet_to_bore"));
    let d = described("");
    assert!(d.derived.iter().all(|f| f.key != "filter_drop" && f.key != "box_to_displacement"));
    let d = described("[pod_filter]\narea = \"20 cm2\"\ndrop = \"500 Pa\"");
    assert!(d.warnings.iter().any(|w| w.contains("the filter takes 5.7 kPa at the highest speed")), "{:?}", d.warnings);
}

#[test]
fn air_speeds_are_those_of_the_trade_s_table() {
    // 644 cc, filling 0.85: bore 40 mm 65 / 103 m/s at 4500 and 80 / 125 at 5500 rpm, air 24.3 and 29.7 g/s at 1.184 kg/m3
    let (setup, _) = single();
    let density = setup.machine.air.density();
    for (rpm, mean, peak, air) in [(4500.0, 65.0, 103.0, 24.3), (5500.0, 80.0, 125.0, 29.7)] {
        let row = air_speed(&setup.machine, rpm);
        assert!((row.stroke_mean - mean).abs() < 0.6, "{rpm}: {}", row.stroke_mean);
        assert!((row.peak - peak).abs() < 0.6, "{rpm}: {}", row.peak);
        assert!((row.air * 1.184 / density - air).abs() < 0.1, "{rpm}: {}", row.air);
    }
}

#[test]
fn the_inlet_mach_index_is_that_of_the_trade_s_table() {
    // 100 x 82 mm at 6500 rpm, flow coefficient 0.35: 0.57 with 2 x 36 mm, 0.68 with 2 x 33 mm; 34.5 mm lies between
    let (setup, _) = single();
    let mut machine = setup.machine;
    for (head, wanted) in [(36e-3, 0.57), (33e-3, 0.68)] {
        machine.engine.inlet_valve.head_diameter = head;
        let got = air_speed(&machine, 6500.0).mach_index;
        assert!((got - wanted).abs() < 0.015, "{head}: {got}");
    }
}

#[test]
fn the_needle_s_ring_follows_from_its_diameters() {
    let (_, d) = single();
    assert_eq!(d.needle.len(), 16);
    let row = d.needle.iter().find(|r| (r.throttle - 0.5).abs() < 1e-12).expect("half throttle");
    let wanted = std::f64::consts::FRAC_PI_4 * (2.675_f64.powi(2) - 2.263_f64.powi(2)); // mm2
    assert!((row.ring * 1e6 - wanted).abs() < 1e-6, "{} against {wanted}", row.ring * 1e6);
    assert!((row.slide / d.needle[15].slide - 0.5).abs() < 1e-12, "half of the bore is open at half lift");
    // two restrictions in series: a 1.50 mm main jet has 0.56 of the resistance beside a ring of 2 mm2 (trade's figure)
    let nearest =
        d.needle.iter().min_by(|a, b| (a.ring - 2e-6).abs().total_cmp(&(b.ring - 2e-6).abs())).expect("a row");
    assert!((nearest.main_jet_share - 0.56).abs() < 0.06, "{nearest:?}");
}

#[test]
fn valve_areas_rise_with_lift_and_end_at_the_throat() {
    let (setup, d) = single();
    let valve = &setup.machine.engine.inlet_valve;
    for pair in d.inlet_valve.windows(2) {
        assert!(
            pair[1].lift > pair[0].lift && pair[1].geometric >= pair[0].geometric && pair[1].curtain > pair[0].curtain
        );
    }
    let last = d.inlet_valve.last().expect("a row");
    assert!((last.lift - valve.lift.max_lift()).abs() < 1e-12);
    assert!(last.geometric * 1e6 <= figure(&d, "throat_area") + 1e-9);
    assert!(d.inlet_valve.iter().all(|r| r.effective < r.curtain));
}

#[test]
fn jets_show_in_both_families() {
    let (_, d) = single();
    let main = &d.jets[0];
    assert!((main.bore_number - 150.0).abs() < 1e-9);
    // 225 cc/min at 0.36 m with a coefficient of 0.8 (trade's cross-check); the law's coefficient lies near that
    assert!((main.flow / 225.0 - 1.0).abs() < 0.05, "{}", main.flow);
}

#[test]
fn everything_given_or_estimated_is_listed_once() {
    let (setup, d) = single();
    assert_eq!(d.given.len() + d.estimated.len(), setup.provenance.len());
    assert!(d.estimated.iter().all(|p| p.estimate().is_some()) && d.given.iter().all(|p| p.estimate().is_none()));
}

#[test]
fn the_usual_cautions_and_the_warnings_are_there() {
    for word in ["vapour", "throttle", "lean", "public roads", "law", "measure"] {
        assert!(CAUTIONS.contains(word), "no word of {word}");
    }
    let text = template().replacen("turns = \"1 1/2 turns\"", "turns = \"8 turns\"", 1);
    let loaded = load_text("changed.toml", &text).expect("a set-up");
    let d = describe(&loaded.value, &loaded.warnings);
    assert_eq!(d.warnings.len(), 1);
    assert!(d.warnings[0].starts_with("changed.toml:") && d.warnings[0].contains("8 turns"), "{}", d.warnings[0]);
    assert_eq!(d.cautions, CAUTIONS);
}

#[test]
fn the_wanted_mixture_is_the_trade_s_unless_the_file_gives_one() {
    let (_, d) = single();
    assert!(!d.targets_given && d.targets == bellmouth::setup::bands::USUAL);
    let text = format!("{}\n[[targets]]\nfrom = \"1/8\"\nto = \"1/2\"\nrich = 0.9\nlean = 0.95\n", template());
    let loaded = load_text("changed", &text).expect("a set-up");
    let d = describe(&loaded.value, &loaded.warnings);
    assert!(d.targets_given && d.targets.len() == 1);
    assert!((d.targets[0].throttle_to - 0.5).abs() < 1e-12 && (d.targets[0].lambda_lean - 0.95).abs() < 1e-12);
}
