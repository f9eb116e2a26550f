//! A jet tested at home: the bore that follows, and which family its number belongs to.

use bellmouth::setup::{Family, FlowTest, Setup, load_text, template};

/// The template with a main jet that was tested.
fn tested(jet: &str) -> Setup {
    let line = "main_jet = { bore_number = 145 }\npilot";
    assert!(template().contains(line));
    let text = template().replacen(line, &format!("main_jet = {jet}\npilot"), 1);
    load_text("tested", &text).unwrap_or_else(|report| panic!("{jet}\n{report}")).value
}

fn only(setup: &Setup) -> &FlowTest {
    assert_eq!(setup.flow_tests.len(), 1);
    &setup.flow_tests[0]
}

/// A minute's test of `cc` under 360 mm of petrol at 20 degrees Celsius.
fn minute(cc: f64, more: &str) -> Setup {
    tested(&format!("{{ volume = \"{cc} ml\", time = \"1 min\", head = \"360 mm\", temperature = \"20 degC\"{more} }}"))
}

#[test]
fn a_hundred_cc_in_a_minute_is_a_hole_of_about_a_millimetre() {
    // a hole of 1.00 mm with a coefficient of 0.8 passes 100 cc/min at 0.36 m of petrol, 1.50 mm 225 (computed); the coefficient follows
    // the Reynolds number, and the stream's surface takes 1 %: within 5 % of bore
    for (cc, bore) in [(100.0, 1.0e-3), (225.0, 1.5e-3)] {
        let setup = minute(cc, "");
        let got = only(&setup).bore;
        assert!((got / bore - 1.0).abs() < 0.05, "{cc}: {got}");
        let simulated = setup.machine.carburettor.main.main_jet.bore;
        assert!((simulated - got).abs() < 1e-15, "it is the jet of the simulation");
        assert!((only(&setup).flow * 6e7 - cc).abs() < 1e-9 * cc);
    }
    // the pilot jet, 20 cc/min: 0.45 mm
    let line = "pilot_jet = { bore_number = 27.5 }";
    let text = template().replacen(line, "pilot_jet = { volume = \"20 cc\", time = \"60 s\", head = \"360 mm\" }", 1);
    let setup = load_text("pilot", &text).unwrap_or_else(|report| panic!("{report}")).value;
    let got = setup.machine.carburettor.pilot.jet.bore;
    assert!((got / 0.45e-3 - 1.0).abs() < 0.07, "{got}");
}

#[test]
fn the_number_on_the_jet_is_judged_by_the_bore_that_passes_the_flow() {
    // a 150 that gauges 1.50 mm is bore type, one of about 1.2 mm flow type (common practice); flows computed at a coefficient of 0.8
    for (cc, stamp, family) in [
        (225.0, 150.0, Family::Bore),
        (150.0, 150.0, Family::Flow),
        (100.0, 100.0, Family::Either),
        (185.0, 150.0, Family::Neither), // between
        (300.0, 150.0, Family::Neither), // reamed
        (60.0, 150.0, Family::Neither),  // blocked
    ] {
        let setup = minute(cc, &format!(", stamp = {stamp}"));
        let got = only(&setup).stamp.expect("a stamp");
        assert_eq!(got.family, family, "{cc} cc/min, {stamp}: {got:?}");
        assert!((got.bore_by_bore - stamp * 1e-5).abs() < 1e-12);
        let by_flow = got.bore_by_flow.expect("a bore");
        // flow grows as the bore squared: 150 cc/min is a hole of about 1.22 mm
        assert!((by_flow / (0.1e-3 * stamp.sqrt()) - 1.0).abs() < 0.03, "{by_flow}");
        // and as the root of the head
        assert!((got.head_of_flow / 0.36 - (stamp / cc) * (stamp / cc)).abs() < 0.05 * (stamp / cc) * (stamp / cc));
    }
    assert!(only(&minute(200.0, "")).stamp.is_none());
}

#[test]
fn water_gives_the_same_bore_as_petrol() {
    // one hole of 1.30 mm, its two flows computed apart from the program: L/d 2, Lichtarowicz, 0.36 m less 2 sigma/d. Petrol 736.5 kg/m3,
    // 0.60 mm2/s, 22 mN/m: 2630 - 34 Pa. Water 998.2 kg/m3, 1.0034 mm2/s, 72.8 mN/m: 3524 - 112 Pa, CoolProp.
    let cd = |re: f64| {
        let decades = (0.000_15 * re).log10();
        1.0 / (1.0 / 0.81 + 20.0 / re * 5.5 - 0.01 / (1.0 + 7.5 * decades * decades))
    };
    let flow = |rho: f64, nu: f64, sigma: f64| {
        let d: f64 = 1.30e-3;
        let u = (2.0 * (rho * 9.806_65 * 0.36 - 2.0 * sigma / d) / rho).sqrt();
        6e7 * cd(d * u / nu) * 0.25 * std::f64::consts::PI * d * d * u
    };
    let (petrol, water) = (flow(740.5, 0.60e-6, 0.022), flow(998.2, 1.003_4e-6, 0.072_8));
    for (cc, liquid) in [(petrol, "petrol"), (water, "water")] {
        let setup = minute(cc, &format!(", liquid = \"{liquid}\""));
        let test = only(&setup);
        assert_eq!(test.liquid, liquid);
        assert!((test.bore / 1.30e-3 - 1.0).abs() < 1.0e-3, "{liquid} {cc} cc/min: {}", test.bore);
    }
    assert!(water < petrol, "water is thicker and pulls itself together: {water} {petrol}");
}

#[test]
fn a_length_that_is_given_and_warm_petrol_count() {
    let base = only(&minute(150.0, "")).bore;
    // a longer hole resists more, so it has to be wider
    assert!(only(&minute(150.0, ", length = \"8 mm\"")).bore > base);
    let cold =
        only(&tested("{ volume = \"150 ml\", time = \"60 s\", head = \"360 mm\", temperature = \"-10 degC\" }")).bore;
    assert!(cold > base, "thick petrol needs a wider hole: {cold} {base}");
}

#[test]
fn a_head_so_low_that_the_jet_drips_is_said() {
    // a stream needs a Weber number of about 8 (from memory): 0.4 mm of water under 60 mm has less
    let line = "pilot_jet = { bore_number = 27.5 }";
    let jet = "pilot_jet = { volume = \"5 ml\", time = \"60 s\", head = \"60 mm\", liquid = \"water\" }";
    let loaded = load_text("drips", &template().replacen(line, jet, 1)).unwrap_or_else(|report| panic!("{report}"));
    assert!(loaded.warnings.iter().any(|w| w.message.contains("drips")), "{:?}", loaded.warnings);
}
