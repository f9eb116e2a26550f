//! Parts on hand, and another day or another fuel in place of the file's.
#![allow(clippy::unwrap_used)]

use bellmouth::hardware::part::Part;
use bellmouth::hardware::stock::Stock;
use bellmouth::media::atmosphere::standard_pressure;
use bellmouth::setup::{Instead, Origin, Setup, load_text, template};

fn loaded(text: &str) -> Setup {
    load_text("changed", text).unwrap_or_else(|report| panic!("{report}")).value
}

/// The template with the lines under `[parts]`.
fn with_parts(lines: &str) -> Setup {
    loaded(&format!("{}\n[parts]\n{lines}\n", template()))
}

fn labels(stock: &Stock) -> Vec<&str> {
    stock.sizes.iter().map(|s| s.label.as_str()).collect()
}

#[test]
fn a_list_and_a_range_of_stamps_take_the_family_of_the_fitted_jet_and_hold_it() {
    let base = loaded(template()).machine;
    let own = Part::MainJet.setting(&base);
    let number: f64 = own.parse().unwrap();
    let setup = with_parts(&format!(
        "main_jet = [\"{}\", {}]\nclip = [2, 3, 4]\npilot_jet = {{ from = 20, to = 30, step = 2.5 }}",
        number + 5.0,
        number - 5.0
    ));
    let find = |part: Part| setup.on_hand.iter().find(|s| s.part == part).unwrap();
    let main = find(Part::MainJet);
    assert_eq!(labels(main), [(number - 5.0).to_string(), own, (number + 5.0).to_string()]);
    assert_eq!(main.fitted, 1);
    assert!((main.sizes[0].value - (number - 5.0) * 1e-5).abs() < 1e-12);
    assert!(find(Part::PilotJet).sizes.len() >= 5);
    assert_eq!(setup.machine, base, "what is on hand does not change the machine");
}

#[test]
fn an_air_jet_runs_from_the_widest_which_is_leanest() {
    let setup = with_parts("main_air_jet = [\"1.0 mm\", \"1.6 mm\"]");
    let sizes: Vec<f64> = setup.on_hand[0].sizes.iter().map(|s| s.value).collect();
    assert!(sizes.windows(2).all(|w| w[0] > w[1]), "{sizes:?}");
}

#[test]
fn flow_numbers_take_the_head_of_the_fitted_jet() {
    let line = template().lines().find(|l| l.starts_with("main_jet")).unwrap();
    let flow = "\nmain_jet = { flow = \"180 cc/min\", head = \"360 mm\" }";
    let text = template().replacen(&format!("\n{line}"), flow, 1);
    let own = loaded(&text).machine.carburettor.main.main_jet.bore;
    let setup = loaded(&format!("{text}\n[parts]\nmain_jet = [170, 180, 190]\n"));
    let stock = &setup.on_hand[0];
    // the fitted flow again gives the fitted bore
    assert_eq!(labels(stock), ["170 cc/min", "180 cc/min", "190 cc/min"]);
    assert!((stock.sizes[1].value - own).abs() < 1e-12);
    // the jet stays the same piece of brass on a cold day, though its flow number counts in petrol as warm as the bowl's
    let cold = setup.instead(&instead(None, Some("-10 degC"), None)).unwrap().value;
    assert_eq!(cold.machine.carburettor.main, setup.machine.carburettor.main);
    assert_eq!(cold.on_hand, setup.on_hand);
    // a jet's flow goes about as the square of its bore
    let ratio = stock.sizes[2].value / stock.sizes[0].value;
    assert!((ratio - (190.0_f64 / 170.0).sqrt()).abs() < 0.01, "{ratio}");
}

fn instead(altitude: Option<&str>, temperature: Option<&str>, fuel: Option<&str>) -> Instead {
    let own = |x: Option<&str>| x.map(str::to_owned);
    Instead { altitude: own(altitude), temperature: own(temperature), humidity: None, fuel: own(fuel), snap: None }
}

#[test]
fn another_day_replaces_the_air_and_says_who_said_so() {
    let setup = loaded(template());
    assert_eq!(setup.instead(&Instead::default()).unwrap().value.machine, setup.machine);
    let there = setup.instead(&instead(Some("2000 m"), Some("5 degC"), None)).unwrap().value;
    assert!((there.machine.air.pressure - standard_pressure(2000.0)).abs() < 1e-6);
    assert!((there.machine.air.temperature - 278.15).abs() < 1e-9);
    assert_eq!(there.machine.carburettor.main, setup.machine.carburettor.main);
    assert_eq!(there.machine.carburettor.pilot, setup.machine.carburettor.pilot);
    let origin = there.provenance.iter().find(|p| p.key == "air.altitude").unwrap();
    assert!(matches!(&origin.origin, Origin::Given { file, .. } if file == "command line"), "{origin:?}");
}

#[test]
fn a_height_replaces_the_station_pressure_and_a_fuel_what_belongs_to_the_other() {
    let stripped = |table: &str| {
        let at = template().find(&format!("\n[{table}]")).unwrap();
        let rest = &template()[at + 1..];
        let end = rest[1..].find("\n[").map_or(template().len(), |e| at + 1 + e + 1);
        format!("{}\n{}", &template()[..at], &template()[end..])
    };
    let text = stripped("air") + "\n[air]\npressure = \"950 hPa\"\ntemperature = \"20 degC\"\n";
    let there = loaded(&text).instead(&instead(Some("1000 m"), None, None)).unwrap();
    assert!((there.value.machine.air.pressure - standard_pressure(1000.0)).abs() < 1e-6);
    assert!(there.warnings.iter().all(|w| !w.message.contains("pressure")), "{:?}", there.warnings);

    let text = stripped("fuel") + "\n[fuel]\nkind = \"blend\"\nethanol = \"7 %\"\ndensity = \"750 kg/m3\"\n";
    let other = loaded(&text).instead(&instead(None, None, Some("E85"))).unwrap().value;
    assert_eq!(other.machine.fuel.name, "E85");
}

#[test]
fn a_value_that_cannot_be_is_refused_where_it_was_said() {
    let setup = loaded(template());
    for (bad, said) in [
        (instead(Some("20000 m"), None, None), "`air.altitude` is out of range"),
        (instead(Some("2000"), None, None), "`air.altitude` needs a unit"),
        (instead(None, Some("\"\n[x]"), None), "`air.temperature`"),
        (instead(None, None, Some("diesel")), "does not know the fuel"),
    ] {
        let report = setup.instead(&bad).unwrap_err();
        assert!(report.problems.iter().any(|p| p.message.contains(said)), "{said}: {report}");
        let place = report.problems[0].place.as_ref().unwrap();
        assert_eq!(place.source.name, "command line");
    }
}
