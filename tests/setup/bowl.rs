//! The bowl that stands too high, tilted or not: what runs out, and where it begins.

use bellmouth::diagnostics::{Problem, Severity};
use bellmouth::media::atmosphere::G0;
use bellmouth::setup::{End, load_text, template};

fn text(bowl: &str) -> String {
    let changed = template().replace("level = \"12 mm\"", bowl);
    assert!(template().contains("level = \"12 mm\""));
    changed
}

fn problems(bowl: &str) -> Vec<Problem> {
    match load_text("bowl", &text(bowl)) {
        Ok(loaded) => loaded.warnings,
        Err(report) => report.problems,
    }
}

/// The flow that a message names [cc/min].
fn rate(problem: &Problem) -> f64 {
    let before = problem.message.split(" cc/min").next().unwrap_or_default();
    before.rsplit(' ').next().unwrap_or_default().parse().unwrap_or_else(|_| panic!("{}", problem.message))
}

#[test]
fn a_level_above_the_nozzle_floods_at_less_than_torricelli_s_rate_through_the_main_jet_alone() {
    // Torricelli: a jet of 1.45 mm alone passes at most A sqrt(2 g h). With the slide shut the narrow ring in series decides: laminar flow
    // in a thin gap, Q = pi D h^3 dp/(12 mu L), up to 2.5 times as much for a needle that leans on the wall (any text on viscous flow).
    let machine = load_text("level", template()).expect("a set-up").value.machine;
    let (main, fuel) = (&machine.carburettor.main, &machine.fuel);
    let ring = main.needle_jet.annulus(&main.needle, 0.0);
    let gap = 0.5 * (ring.outer_diameter - ring.inner_diameter);
    let middle = 0.5 * (ring.outer_diameter + ring.inner_diameter);
    let per_head = std::f64::consts::PI * middle * gap.powi(3) * G0 / (12.0 * fuel.viscosity * ring.length) * 6e7;
    let mut last = 0.0;
    for (level, head) in [("-5 mm", 1.2e-3), ("-7 mm", 3.2e-3), ("-9 mm", 5.2e-3)] {
        let found = problems(&format!("level = \"{level}\""));
        let flood = found.iter().find(|p| p.message.contains("above the nozzle and floods")).expect("it floods");
        assert_eq!(flood.severity, Severity::Error);
        let most = 0.25 * std::f64::consts::PI * 1.45e-3_f64.powi(2) * (2.0 * G0 * head).sqrt() * 6e7;
        let got = rate(flood);
        let thin = per_head * head;
        assert!((0.8 * thin..2.6 * thin).contains(&got), "{got} {thin}");
        assert!(got > last && got < 0.85 * most, "{got} {most}");
        last = got;
    }
}

#[test]
fn a_level_above_the_floor_of_the_bore_floods_the_pilot_outlet_and_says_how_fast() {
    let found = problems("level = \"-2 mm\"");
    let flood = found.iter().find(|p| p.message.contains("floods the pilot outlet")).expect("a warning");
    assert_eq!(flood.severity, Severity::Warning);
    // 0.275 mm under 2 mm: at most A sqrt(2 g h) = 0.71 cc/min
    assert!((0.2..0.71).contains(&rate(flood)), "{}", flood.message);
}

#[test]
fn a_tilt_that_floods_says_where_it_begins() {
    // Plane geometry: the nozzle's mouth, 12 + 3.8 mm up and 40 mm behind the floats, meets the fuel at atan(15.8/40) = 21.6 deg.
    let found = problems("level = \"12 mm\"\ntilt = \"30 deg\"\nnozzle_forward = \"-40 mm\"");
    let flood = found.iter().find(|p| p.message.contains("above the nozzle and floods")).expect("a warning");
    assert_eq!(flood.severity, Severity::Warning);
    assert!(rate(flood) > 0.1, "{}", flood.message);
    let help = flood.help.clone().unwrap_or_default();
    assert!(help.contains("a tilt of 21.5") || help.contains("a tilt of 21.6"), "{help}");
    // Braking: 15.8/40 g.
    let found = problems("level = \"12 mm\"\nacceleration = \"-0.6 g\"\nnozzle_forward = \"40 mm\"");
    let help = found.iter().find_map(|p| p.help.clone().filter(|h| h.contains("begins"))).unwrap_or_default();
    assert!(help.contains("an acceleration of -0.395 g"), "{help}");
    let quiet = problems("level = \"12 mm\"\ntilt = \"15 deg\"\nnozzle_forward = \"-40 mm\"");
    assert!(quiet.iter().all(|p| !p.message.contains("floods the")), "{quiet:?}");
}

#[test]
fn places_are_estimated_only_for_a_machine_that_is_not_level() {
    let origins = |bowl: &str| load_text("bowl", &text(bowl)).expect("a set-up").value.provenance;
    let places = |bowl: &str| {
        origins(bowl)
            .iter()
            .filter(|p| {
                p.key.starts_with("carburettor.bowl.") && (p.key.contains("_forward") || p.key.contains("_right"))
            })
            .count()
    };
    assert_eq!(places("level = \"12 mm\""), 0);
    assert_eq!(places("level = \"12 mm\"\ntilt = \"5 deg\""), 6);
    let level = load_text("bowl", &text("level = \"12 mm\"\nnozzle_forward = \"8 mm\"")).expect("a set-up").value;
    assert!(level.machine.carburettor.bowl.attitude.is_none());
}

#[test]
fn each_estimate_of_starter_pump_and_stance_loads_at_both_ends_of_its_range() {
    let more =
        "level = \"12 mm\"\ntilt = \"5 deg\"\n[carburettor.starter]\njet = { bore_number = 70 }\n[carburettor.pump]\n";
    let setup = load_text("parts", &text(more)).unwrap_or_else(|report| panic!("{report}")).value;
    let ours = ["carburettor.starter.", "carburettor.pump.", "carburettor.bowl."];
    let keys: Vec<String> =
        setup.estimates().filter(|p| ours.iter().any(|o| p.key.starts_with(o))).map(|p| p.key.clone()).collect();
    assert!(keys.len() >= 25, "{keys:?}");
    for key in &keys {
        for end in [End::Low, End::High] {
            let moved = setup.with_estimate_at(key, end).unwrap_or_else(|report| panic!("{key}\n{report}"));
            let note = moved.estimates().find(|p| p.key == *key).and_then(|p| p.estimate()).expect("still an estimate");
            assert!(note.low <= note.high, "{key}");
        }
    }
}
