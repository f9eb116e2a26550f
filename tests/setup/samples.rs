//! Files in the repository that have to load, and what is known of each of their values.

use std::collections::BTreeSet;
use std::path::Path;

use bellmouth::diagnostics::Warned;
use bellmouth::setup::{End, Origin, Setup, load, load_text, template};

const FILES: [&str; 6] = [
    "scenarios/sidecar_34mm.toml",
    "scenarios/sidecar_38mm.toml",
    "scenarios/supply_crushed_inlet.toml",
    "scenarios/supply_bored_inlet.toml",
    "scenarios/snap_38mm.toml",
    "tests/trade/single_650.toml",
];

/// Every set-up of the repository, the template among them.
fn all() -> Vec<(String, Warned<Setup>)> {
    let file = |path: &str| {
        let full = Path::new(env!("CARGO_MANIFEST_DIR")).join(path);
        (path.to_string(), load(&full, None).unwrap_or_else(|report| panic!("{path}\n{report}")))
    };
    let template = load_text("template", template()).unwrap_or_else(|report| panic!("template\n{report}"));
    FILES.into_iter().map(file).chain([("template".to_string(), template)]).collect()
}

#[test]
fn scenarios_template_and_known_single_load_without_errors_or_warnings() {
    for (path, loaded) in all() {
        assert!(loaded.warnings.is_empty(), "{path}\n{:#?}", loaded.warnings);
    }
}

#[test]
fn every_estimate_has_a_rule_a_source_and_a_range_around_its_value() {
    for (path, loaded) in all() {
        assert!(loaded.value.estimates().count() > 10, "{path} has hardly any estimate");
        for entry in &loaded.value.provenance {
            let Origin::Estimated(note) = &entry.origin else { continue };
            let value = entry.value.expect("an estimate has a value");
            assert!(!note.rule.trim().is_empty() && !note.source.trim().is_empty(), "{path} {}", entry.key);
            assert!(note.low <= value && value <= note.high, "{path} {}: {note:?} {value}", entry.key);
            assert!(!entry.shown.is_empty() && !note.low_shown.is_empty() && !note.high_shown.is_empty());
        }
    }
}

#[test]
fn no_value_is_listed_twice() {
    for (path, loaded) in all() {
        let mut seen = BTreeSet::new();
        for entry in &loaded.value.provenance {
            assert!(seen.insert(entry.key.clone()), "{path}: `{}` twice", entry.key);
        }
    }
}

#[test]
fn every_estimate_can_be_moved_to_both_ends_and_nothing_given_can() {
    for (path, loaded) in all() {
        let setup = loaded.value;
        for entry in setup.provenance.iter() {
            for end in [End::Low, End::High] {
                let moved = setup.with_estimate_at(&entry.key, end);
                let Some(note) = entry.estimate() else {
                    assert!(moved.is_err(), "{path}: `{}` is given and moved", entry.key);
                    continue;
                };
                let moved = moved.unwrap_or_else(|report| panic!("{path} {} {end:?}\n{report}", entry.key));
                let now = moved.provenance.iter().find(|p| p.key == entry.key).expect("the same value");
                let wanted = if end == End::Low { note.low } else { note.high };
                assert!((now.value.expect("a value") - wanted).abs() <= 1e-12 * wanted.abs(), "{path} {}", entry.key);
                let same = (note.high - note.low).abs() <= 1e-12 * note.high.abs();
                assert!(
                    same || moved.machine != setup.machine
                        || moved.road != setup.road
                        || moved.supply != setup.supply
                        || (wanted - entry.value.expect("a value")).abs() < 1e-15,
                    "{path}: `{}` moves nothing",
                    entry.key
                );
            }
        }
    }
}

#[test]
fn a_mistyped_estimate_gets_a_suggestion() {
    let setup = load_text("template", template()).expect("the template").value;
    let report = setup.with_estimate_at("engine.rod_lenght", End::Low).expect_err("a refusal");
    assert!(report.to_string().contains("did you mean `engine.rod_length`?"), "{report}");
}

#[test]
fn loading_twice_gives_the_same_bits() {
    for (path, loaded) in all().into_iter().take(3) {
        let again = load(&Path::new(env!("CARGO_MANIFEST_DIR")).join(&path), None).expect("the same file");
        assert_eq!(loaded.value.to_json(), again.value.to_json(), "{path}");
    }
}

#[test]
fn the_record_holds_the_machine_and_the_origin_of_each_value() {
    let setup = load_text("template", template()).expect("the template").value;
    let record = setup.to_json();
    let bore = record["machine"]["carburettor"]["slide"]["bore"].as_f64().expect("a bore");
    assert!((bore - 0.038).abs() < 1e-15, "{bore}");
    let origins = record["provenance"].as_array().expect("a list");
    assert_eq!(origins.len(), setup.provenance.len());
    let rod = origins.iter().find(|o| o["key"] == "engine.rod_length").expect("the rod");
    assert!(rod["origin"]["estimated"]["rule"].is_string(), "{rod}");
}

#[test]
fn the_two_sidecar_set_ups_share_one_engine() {
    let all = all();
    let (a, b) = (&all[0].1.value.machine, &all[1].1.value.machine);
    assert_eq!(a.engine, b.engine);
    assert!(b.carburettor.slide.bore > a.carburettor.slide.bore);
}
