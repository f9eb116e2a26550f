//! Fuels of the file: kinds, blends, density, volatility, the estimate of what evaporates.

use bellmouth::hardware::machine::Machine;
use bellmouth::setup::{Setup, load_text, template};

const LINES: &str = "kind = \"petrol\"\ndensity = \"745 kg/m3\"            # at 15 degC; weigh a litre if you like\n";

/// The template on another fuel.
fn on(lines: &str) -> Setup {
    assert!(template().contains(LINES), "the template's fuel reads otherwise");
    let text = template().replacen(LINES, lines, 1);
    load_text("fuel", &text).unwrap_or_else(|report| panic!("{lines}\n{report}")).value
}

fn machine(lines: &str) -> Machine {
    on(lines).machine
}

#[test]
fn every_kind_loads_with_its_own_air_fuel_ratio() {
    // blends by volume computed from 14.6 and 8.98, ethanol and methanol by atoms; 0.03: see the handbook checks
    for (kind, want) in [
        ("petrol", 14.60),
        ("gasoline", 14.60),
        ("E5", 14.30),
        ("E10", 14.01),
        ("e20", 13.42),
        ("E85", 9.78),
        ("ethanol", 9.00),
        ("methanol", 6.474),
    ] {
        let m = machine(&format!("kind = \"{kind}\"\n"));
        assert!((m.fuel.stoichiometric - want).abs() < 0.03, "{kind}: {}", m.fuel.stoichiometric);
        assert!(m.fuel.density > 700.0 && m.fuel.density < 830.0 && m.fuel.viscosity > 4e-7, "{kind}");
        assert!(m.evaporated_fraction > 0.02 && m.evaporated_fraction <= 0.30, "{kind}: {}", m.evaporated_fraction);
    }
}

#[test]
fn a_blend_of_ten_percent_is_e10_and_an_ethanol_key_alone_means_a_blend() {
    let e10 = machine("kind = \"E10\"\n").fuel;
    for lines in ["kind = \"blend\"\nethanol = \"10 %\"\n", "ethanol = 0.1\n"] {
        let fuel = machine(lines).fuel;
        assert_eq!(
            (fuel.density, fuel.viscosity, fuel.stoichiometric),
            (e10.density, e10.viscosity, e10.stoichiometric)
        );
        assert_eq!(fuel.name, "blend");
    }
    let racing = machine("kind = \"blend\"\nethanol = \"20 %\"\nmethanol = \"50 %\"\n").fuel;
    assert!(racing.blend.petrol() > 0.25 && racing.stoichiometric < 9.9 && racing.stoichiometric > 6.5);
}

#[test]
fn a_density_that_was_weighed_is_that_of_the_fuel_in_the_bowl() {
    for (lines, rho15) in [
        ("kind = \"E10\"\ndensity = \"756 kg/m3\"\ntemperature = \"15 degC\"\n", 756.0),
        ("kind = \"E85\"\ndensity = \"789 kg/m3\"\ntemperature = \"15 degC\"\n", 789.0),
        ("kind = \"ethanol\"\ndensity = \"805 kg/m3\"\ntemperature = \"15 degC\"\n", 805.0),
        ("kind = \"petrol\"\ndensity = \"731 kg/m3\"\ntemperature = \"15 degC\"\n", 731.0),
    ] {
        let got = machine(lines).fuel.density;
        assert!((got / rho15 - 1.0).abs() < 1e-9, "{lines}: {got}");
    }
}

#[test]
fn plain_petrol_evaporates_by_thirty_percent_and_its_class_moves_that() {
    // EN 228 classes (from memory): A 45 to 60 kPa, D 60 to 90, F 70 to 100; a percent for 4.5 kPa from 70 kPa
    let share = |more: &str| machine(&format!("kind = \"petrol\"\n{more}")).evaporated_fraction;
    assert!((share("") - 0.30).abs() < 1e-15);
    for (word, percent) in [
        ("A", 30.0 - 17.5 / 4.5),
        ("summer", 30.0 - 17.5 / 4.5),
        ("winter", 30.0 + 5.0 / 4.5),
        ("d", 30.0 + 5.0 / 4.5),
        ("F", 30.0 + 15.0 / 4.5),
    ] {
        let got = share(&format!("volatility = \"{word}\"\n"));
        assert!((100.0 * got - percent).abs() < 1e-9, "{word}: {got}");
    }
    // what is measured goes before it
    assert!((share("volatility = \"A\"\nevaporated = \"45 %\"\n") - 0.45).abs() < 1e-15);
    let setup = on("kind = \"E5\"\nvolatility = \"winter\"\n");
    let shown = setup.provenance.iter().find(|p| p.key == "fuel.volatility").map(|p| p.shown.clone());
    assert_eq!(shown.as_deref(), Some("winter, class D"));
}

#[test]
fn alcohol_evaporates_less_at_once_than_petrol_and_less_in_the_cold() {
    // adiabatic saturation of the air; direction: vapour pressure and latent heat
    let share = |kind: &str| machine(&format!("kind = \"{kind}\"\n")).evaporated_fraction;
    let kinds = ["petrol", "E10", "E85", "ethanol", "methanol"].map(share);
    assert!(kinds.windows(2).all(|w| w[1] < w[0]), "{kinds:?}");
    let text = template().replacen(LINES, "kind = \"ethanol\"\n", 1);
    let cold = text.replacen("temperature = \"21 degC\"", "temperature = \"0 degC\"", 1);
    assert_ne!(cold, text);
    let cold = load_text("cold", &cold).unwrap_or_else(|report| panic!("{report}")).value.machine.evaporated_fraction;
    assert!(cold < 0.7 * kinds[3], "{cold}");
}

#[test]
fn a_flow_number_counts_in_petrol_whatever_the_bowl_holds() {
    let with_flow =
        |kind: &str| {
            let text = template()
                .replacen(LINES, &format!("kind = \"{kind}\"\ntemperature = \"20 degC\"\n"), 1)
                .replacen("main_jet = { bore_number = 145 }\npilot", "main_jet = { flow = \"150 cc/min\" }\npilot", 1);
            load_text("flow", &text)
                .unwrap_or_else(|report| panic!("{report}"))
                .value
                .machine
                .carburettor
                .main
                .main_jet
                .bore
        };
    let (petrol, ethanol) = (with_flow("petrol"), with_flow("ethanol"));
    assert!((ethanol / petrol - 1.0).abs() < 1e-12 && (petrol / 1.22e-3 - 1.0).abs() < 0.04, "{petrol} {ethanol}");
}

#[test]
fn a_set_up_that_was_written_out_before_there_were_blends_still_reads() {
    let m = machine("kind = \"petrol\"\n");
    let mut json = serde_json::to_value(&m).expect("JSON");
    assert!(json["fuel"].get("blend").is_none(), "plain petrol is written as before");
    let back: Machine = serde_json::from_value(json.clone()).expect("a machine");
    assert_eq!(back, m);
    let e85 = machine("kind = \"E85\"\n");
    json = serde_json::to_value(&e85).expect("JSON");
    assert_eq!(serde_json::from_value::<Machine>(json).expect("a machine"), e85);
}
