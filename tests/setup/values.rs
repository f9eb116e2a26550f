//! What a file says against what the machine gets.

use std::f64::consts::PI;
use std::path::Path;

use bellmouth::hardware::jet::Jet;
use bellmouth::hardware::machine::Machine;
use bellmouth::media::fuel::Fuel;
use bellmouth::setup::bands::USUAL;
use bellmouth::setup::jet::{bore_for_flow, flow_of};
use bellmouth::setup::{load, load_text, template};

fn single() -> Machine {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trade/single_650.toml");
    load(&path, None).unwrap_or_else(|report| panic!("{report}")).value.machine
}

/// The template with one line replaced.
fn with(line: &str, by: &str) -> Machine {
    assert!(template().contains(line), "no `{line}` in the template");
    let text = template().replacen(line, by, 1);
    load_text("changed", &text).unwrap_or_else(|report| panic!("{report}")).value.machine
}

#[test]
fn timing_counts_from_the_firing_top_centre() {
    // gas exchange: bottom centre 180, top centre 360, bottom centre 540 degrees; by definition of the terms
    let engine = single().engine;
    let at = |angle: f64, valve: &bellmouth::hardware::poppet_valve::PoppetValve| valve.lift.lift(angle.to_radians());
    for (angle, valve) in [
        (350.0, &engine.inlet_valve),   // 10 before top
        (582.5, &engine.inlet_valve),   // 42.5 after bottom
        (135.0, &engine.exhaust_valve), // 45 before bottom
        (365.0, &engine.exhaust_valve), // 5 after top
    ] {
        assert!((at(angle, valve) - 1e-3).abs() < 1e-9, "{angle}: {}", at(angle, valve));
    }
    assert!(
        (0.5 * (engine.inlet_valve.lift.opening() + engine.inlet_valve.lift.closing()).to_degrees() - 466.25).abs()
            < 1e-9
    );
}

#[test]
fn timing_may_be_written_in_words_or_letters() {
    let words = with("\"12 deg before top\"", "\"12 degrees before top centre\"");
    let letters = with("\"12 deg before top\"", "\"12 deg BTDC\"");
    let bare = with("\"12 deg before top\"", "\"12 btdc\"");
    let late = with("\"12 deg before top\"", "\"-12 deg after top dead centre\"");
    for other in [letters, bare, late] {
        let (a, b) = (&words.engine.inlet_valve.lift, &other.engine.inlet_valve.lift);
        assert!((a.opening() - b.opening()).abs() < 1e-12 && (a.closing() - b.closing()).abs() < 1e-12);
    }
}

#[test]
fn the_needle_of_the_known_single_leaves_its_straight_part_at_a_quarter_of_lift() {
    let main = single().carburettor.main;
    for (eighths, diameter) in [(0, 2.525), (1, 2.525), (2, 2.525), (4, 2.263), (6, 2.001), (8, 1.740)] {
        let lift = 0.005 * f64::from(eighths);
        let got = main.needle.diameter(main.needle.station(lift)) * 1e3;
        assert!((got - diameter).abs() < 1e-9, "{eighths}/8: {got} against {diameter}");
    }
}

#[test]
fn the_listed_needle_is_the_taper_that_its_remark_states() {
    // diameter = straight - 2 s tan(angle/2), angle 1.5 degrees included: geometry; rows rounded to 0.001 mm
    let main = single().carburettor.main;
    for mm in [15.0, 20.0, 25.0, 30.0, 35.0, 40.0_f64] {
        let wanted = 2.525 - 2.0 * (mm - 10.0) * (0.75_f64.to_radians()).tan();
        let got = main.needle.diameter(main.needle.station(mm * 1e-3)) * 1e3;
        assert!((got - wanted).abs() < 1.0e-3, "{mm} mm: {got} against {wanted}");
    }
}

#[test]
fn one_hundred_cc_a_minute_under_360_mm_is_a_hole_of_about_a_millimetre() {
    // a 1.00 mm hole with a coefficient of 0.8 passes 100 cc/min at 0.36 m of petrol, 1.50 mm 225, 0.45 mm 20: computed in
    // the trade's rule; the coefficient here follows the Reynolds number (about 0.74 to 0.8), so within 5 % of bore
    let fuel = Fuel::petrol(745.0, 293.15);
    for (flow, bore) in [(100.0, 1.0e-3), (225.0, 1.5e-3), (20.0, 0.45e-3)] {
        let got = bore_for_flow(flow / 6e7, 0.36, 2.0, None, &fuel).expect("a bore");
        assert!((got / bore - 1.0).abs() < 0.05, "{flow}: {got} against {bore}");
        let back = flow_of(&Jet { bore: got, length: 2.0 * got }, 0.36, &fuel) * 6e7;
        assert!((back - flow).abs() < 1e-3 * flow, "{back} against {flow}");
    }
}

#[test]
fn a_jet_means_the_same_in_all_its_spellings() {
    let stamped = with("main_jet = { bore_number = 145 }\npilot", "main_jet = { bore_number = 145 }\npilot");
    let gauged = with("main_jet = { bore_number = 145 }\npilot", "main_jet = \"1.45 mm\"\npilot");
    let table = with("main_jet = { bore_number = 145 }\npilot", "main_jet = { bore = \"1.45 mm\" }\npilot");
    for jet in [gauged, table].map(|m| m.carburettor.main.main_jet) {
        assert!(
            (jet.bore - 1.45e-3).abs() < 1e-15 && (jet.bore - stamped.carburettor.main.main_jet.bore).abs() < 1e-15
        );
        assert!((jet.slenderness() - 2.0).abs() < 1e-12);
    }
    let flow = with("main_jet = { bore_number = 145 }\npilot", "main_jet = { flow = \"150 cc/min\" }\npilot");
    // flow grows as the bore squared: 150 cc/min is a hole of about 1.22 mm (trade's cross-check), within 4 %
    assert!((flow.carburettor.main.main_jet.bore / 1.22e-3 - 1.0).abs() < 0.04, "{:?}", flow.carburettor.main.main_jet);
}

#[test]
fn a_plugged_air_jet_is_no_jet() {
    assert_eq!(with("main_air_jet = \"1.4 mm\"", "main_air_jet = \"none\"").carburettor.main.air_jet, None);
    assert!(with("main_air_jet = \"1.4 mm\"", "").carburettor.main.air_jet.is_some());
}

#[test]
fn height_gives_the_standard_atmosphere() {
    // ISO 2533: 1000 m geopotential 281.65 K, 89 874.6 Pa; 2000 m 275.15 K, 79 495.2 Pa
    for (height, t, p) in [("1000 m", 281.65, 89_874.6), ("2000 m", 275.15, 79_495.2)] {
        let machine = with("altitude = \"640 m\"\ntemperature = \"21 degC\"", &format!("altitude = \"{height}\""));
        assert!((machine.air.temperature - t).abs() < 1e-9, "{height}");
        assert!((machine.air.pressure - p).abs() < 0.5, "{height}: {}", machine.air.pressure);
        assert!((machine.fuel.temperature - machine.air.temperature - 5.0).abs() < 1e-9);
    }
    let feet = with("altitude = \"640 m\"", "altitude = \"2100 ft\"");
    let metres = with("altitude = \"640 m\"", "altitude = \"640.08 m\"");
    assert!((feet.air.pressure - metres.air.pressure).abs() < 1e-6);
    let gauge = with("altitude = \"640 m\"", "pressure = \"27.77 inHg\"");
    assert!((gauge.air.pressure - 27.77 * 3_386.389).abs() < 0.1);
}

#[test]
fn a_needle_by_its_taper_and_by_its_diameters_is_the_same_needle() {
    let rows = "diameters = [[\"0 mm\", \"2.54 mm\"], [\"22 mm\", \"2.54 mm\"], [\"62 mm\", \"1.4928 mm\"]]";
    let three = "straight = \"2.54 mm\"             # caliper, just above the taper; 0.01 mm counts here\n\
                 taper_starts = \"22 mm\"           # slide a ring of exactly that size down until it stops\n\
                 taper = \"1.5 deg\"                # between the two sides; 0.026 mm per millimetre is 1.5 deg";
    let (a, b) = (with(three, three).carburettor.main, with(three, rows).carburettor.main);
    assert!((a.needle.clip_to_jet - b.needle.clip_to_jet).abs() < 1e-12);
    for mm in 0..=38 {
        let lift = f64::from(mm) * 1e-3;
        let (x, y) = (a.needle.diameter(a.needle.station(lift)), b.needle.diameter(b.needle.station(lift)));
        assert!((x - y).abs() < 1e-6, "{mm} mm: {x} {y}");
    }
}

#[test]
fn a_needle_of_two_tapers_narrows_along_each_of_them() {
    // geometry: 2.54 - 2 (10 mm) tan(0.5 deg) at the second start, then twice the angle
    let three = "taper_starts = \"22 mm\"           # slide a ring of exactly that size down until it stops\n\
                 taper = \"1.5 deg\"                # between the two sides; 0.026 mm per millimetre is 1.5 deg";
    let two = "tapers = [{ starts = \"22 mm\", angle = \"1 deg\" }, { starts = \"32 mm\", angle = \"2 deg\" }]";
    let needle = with(three, two).carburettor.main.needle;
    let cone = |mm: f64, deg: f64| 2.0e-3 * mm * libm::tan(0.5 * deg.to_radians());
    for (station, want) in
        [(22.0, 2.54e-3), (32.0, 2.54e-3 - cone(10.0, 1.0)), (42.0, 2.54e-3 - cone(10.0, 1.0) - cone(10.0, 2.0))]
    {
        assert!((needle.diameter(station * 1e-3) - want).abs() < 1e-12, "{station}");
    }
}

#[test]
fn the_usual_bands_cover_the_throttle_without_gaps() {
    assert!(USUAL[0].throttle_from.abs() < 1e-12 && (USUAL[USUAL.len() - 1].throttle_to - 1.0).abs() < 1e-12);
    for pair in USUAL.windows(2) {
        assert!((pair[0].throttle_to - pair[1].throttle_from).abs() < 1e-12);
    }
    for band in USUAL {
        // 12.5 to 14.0 over 14.7
        assert!(band.lambda_rich >= 0.85 && band.lambda_lean <= 0.953 && band.lambda_rich < band.lambda_lean);
    }
}

#[test]
fn the_way_in_has_no_end_of_zero_length_and_meets_the_slide_at_its_bore() {
    let c = single().carburettor;
    let last = c.mouth.last().expect("a piece");
    assert!((last.diameter_end - c.slide.bore).abs() < 1e-15);
    assert!((c.spigot[0].diameter_start - c.slide.bore).abs() < 1e-15);
    assert!(c.mouth.iter().chain(&c.spigot).all(|p| p.length > 0.0));
    assert!((c.mouth.iter().map(|p| p.length).sum::<f64>() - 0.05).abs() < 1e-15);
    assert!((c.slide.leak_area - 0.25 * PI * 1e-6).abs() < 1e-12);
}

#[test]
fn a_set_up_without_a_name_is_called_by_its_file() {
    let text = template().replacen("name = ", "# name = ", 1);
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("my single.toml");
    std::fs::write(&path, text).expect("a file");
    assert_eq!(load(&path, None).expect("a set-up").value.name, "my single");
}

#[test]
fn unlikely_values_warn_and_still_load() {
    let text = template().replacen("turns = \"1 1/2 turns\"", "turns = \"8 turns\"", 1);
    let loaded = load_text("changed", &text).expect("a set-up");
    assert_eq!(loaded.warnings.len(), 1);
    assert!(loaded.warnings[0].message.contains("`carburettor.mixture_screw.turns` is unusual"));
}

#[test]
fn a_boot_that_hardly_fits_the_spigot_warns() {
    let text = template().replacen("from = \"38 mm\"", "from = \"52 mm\"", 1);
    let loaded = load_text("changed", &text).expect("a set-up");
    assert_eq!(loaded.warnings.len(), 1, "{:?}", loaded.warnings);
    assert!(loaded.warnings[0].message.contains("the spigot ends 38.0 mm wide and the boot starts 52.0 mm wide"));
}

/// The template with the inlet valve's lift as measured points every 10 degrees of the crank.
fn measured(more: &str) -> String {
    let inlet = with("\"12 deg before top\"", "\"12 deg before top\"").engine.inlet_valve.lift;
    let (opens, closes) = (inlet.opening(), inlet.closing());
    let row = |angle: f64| {
        let lift = 1e3 * inlet.lift(angle);
        format!("[\"{:.6} deg\", \"{:.6} mm\"],", (angle - 2.0 * PI).to_degrees(), lift)
    };
    let rows: Vec<String> = (0..=30).map(|i| row(opens + (closes - opens) * f64::from(i) / 30.0)).collect();
    let text =
        template().replacen("lift = \"9.2 mm\"", &format!("lift_points = [{more}\n{}\n]\n#", rows.join("\n")), 1);
    let text = text.replacen(
        "check_lift = \"1 mm\"\nopens = \"12 deg before top\"\ncloses = \"46 deg after bottom\"\n",
        "",
        1,
    );
    assert!(!text.contains("46 deg after bottom"), "the timing is not where this test expects it");
    text
}

#[test]
fn lift_by_points_and_by_timing_is_the_same_lift_where_the_points_lie_on_it() {
    let timed = load_text("timed", template()).expect("the template").value.machine.engine.inlet_valve.lift;
    // A row with the valve on its seat before it opens changes nothing.
    for more in ["", "[\"-200 deg\", \"0 mm\"],"] {
        let loaded = load_text("points", &measured(more)).unwrap_or_else(|report| panic!("{report}"));
        assert!(loaded.warnings.is_empty(), "{:?}", loaded.warnings);
        let points = loaded.value.machine.engine.inlet_valve.lift;
        assert!((points.opening() - timed.opening()).abs() < 1e-6 && (points.closing() - timed.closing()).abs() < 1e-6);
        assert!((points.max_lift() - timed.max_lift()).abs() < 1e-8);
        let off = (0..2880).map(|i| f64::from(i) * PI / 720.0);
        let off = off.map(|a| (points.lift(a) - timed.lift(a)).abs()).fold(0.0, f64::max);
        // The smooth curve through points 11 degrees apart: its flat top costs most.
        assert!(off < 0.06e-3, "{off}");
    }
}

#[test]
fn valves_that_would_hit_a_flat_piston_warn_with_the_lift_and_the_room() {
    // 16:1 on 82 mm leaves 82 / 15 = 5.47 mm at the top; an inlet valve that opens 60 degrees before it lifts about as much there
    let text = template().replacen("compression = \"9.0:1\"", "compression = \"16:1\"", 1);
    let text = text.replacen("\"12 deg before top\"", "\"60 deg before top\"", 1);
    let loaded = load_text("tight", &text).unwrap_or_else(|report| panic!("{report}"));
    let hit: Vec<_> = loaded.warnings.iter().filter(|w| w.message.contains("valve would hit a flat piston")).collect();
    assert_eq!(hit.len(), 1, "{:?}", loaded.warnings);
    assert!(hit[0].message.contains("inlet") && hit[0].help.as_ref().is_some_and(|h| h.contains("assumed")));
    let (crank, valve) = (loaded.value.machine.engine.crank, loaded.value.machine.engine.inlet_valve);
    let at = 2.0 * PI + 5_f64.to_radians();
    let room = crank.clearance_height() + crank.travel(at) - valve.lift.lift(at);
    assert!(room < 0.0 && hit[0].label.contains("mm"), "{room} {}", hit[0].label);
    assert!(load_text("usual", template()).expect("the template").warnings.is_empty());
}
