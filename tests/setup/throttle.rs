//! The kinds of throttle: what each is estimated to be, and what is written out.
#![allow(clippy::unwrap_used)]

use std::path::Path;

use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::slide::SlideKind;
use bellmouth::setup::{Setup, describe, load, load_text, template};

fn changed(from: &str, to: &str) -> Setup {
    assert!(template().contains(from), "no `{from}` in the template");
    load_text("changed", &template().replacen(from, to, 1)).unwrap_or_else(|report| panic!("{report}")).value
}

/// A vacuum piston with only what the file must give.
fn shortest() -> Setup {
    changed(
        "[carburettor.slide]\ncutaway = \"3.0 mm\"",
        "[carburettor.piston]\ndiameter = \"60 mm\"\nmass = \"60 g\"\n[carburettor.butterfly]",
    )
}

fn near(got: f64, want: f64) {
    assert!((got - want).abs() <= 1e-12 + 1e-9 * want.abs(), "got {got}, want {want}");
}

#[test]
fn a_flat_slide_is_thin_without_lip_and_half_of_its_bevel_stands_over_the_nozzle() {
    // The rules themselves; common practice, no source.
    let flat = changed("[carburettor.slide]", "[carburettor.slide]\nkind = \"flat\"").machine.carburettor;
    assert_eq!(flat.slide.kind, SlideKind::Flat);
    near(flat.slide.width, 11e-3);
    near(flat.slide.discharge_shut, 0.7);
    near(flat.slide.discharge_open, 0.99);
    near(flat.main.nozzle.cutaway_share, 0.5);
    let round = changed("[carburettor.slide]", "[carburettor.slide]\nkind = \"round\"").machine.carburettor;
    assert_eq!(round, load_text("plain", template()).unwrap().value.machine.carburettor);
    near(round.main.nozzle.cutaway_share, 0.72);
    near(round.slide.leak_area, flat.slide.leak_area);
}

#[test]
fn a_vacuum_piston_needs_its_diameter_and_mass_and_everything_else_has_a_rule() {
    // The rules themselves, for a bore of 38 mm.
    let setup = shortest();
    let c = &setup.machine.carburettor;
    let v = c.vacuum.unwrap();
    near(v.area, 0.25 * std::f64::consts::PI * 0.0036);
    near(v.mass, 0.06);
    near(v.spring_rate, 80.0);
    near(v.spring_force, 1.0);
    near(v.highest, 38e-3);
    near(v.butterfly.plate, 38e-3);
    near(v.butterfly.closed_angle, 12.0_f64.to_radians());
    assert_eq!((v.bleed_holes, c.slide.kind), (2, SlideKind::Piston));
    near(c.slide.cutaway, 0.0);
    near(c.between().unwrap().length, 30e-3);
    let keys: Vec<&str> = setup.estimates().map(|p| p.key.as_str()).collect();
    for key in ["carburettor.piston.spring_rate", "carburettor.piston.bleed", "carburettor.butterfly.shaft"] {
        assert!(keys.contains(&key), "{key}");
    }
    assert!(!keys.iter().any(|k| k.starts_with("carburettor.slide") || k.ends_with("cutaway_share")));
    // `check` shows what it needs to rise.
    let sheet = describe(&setup, &[]);
    let off = sheet.derived.iter().find(|d| d.key == "piston_off").unwrap();
    near(off.value, 1e-3 * v.floating_depression(v.lowest));
}

#[test]
fn units_of_mass_force_and_spring_rate_mean_what_they_say() {
    // 2 oz is 56.699 g, 0.3 lbf is 1.33447 N: international avoirdupois.
    let setup = changed(
        "[carburettor.slide]\ncutaway = \"3.0 mm\"",
        "[carburettor.piston]\ndiameter = \"60 mm\"\nmass = \"2 oz\"\nspring_force = \"0.3 lbf\"\nspring_rate = \"0.1 N/mm\"",
    );
    let v = setup.machine.carburettor.vacuum.unwrap();
    assert!((v.mass - 0.056_699_046).abs() < 1e-8, "{}", v.mass);
    assert!((v.spring_force - 1.334_466_5).abs() < 1e-6, "{}", v.spring_force);
    near(v.spring_rate, 100.0);
}

#[test]
fn a_machine_written_before_there_were_kinds_of_slide_is_still_read() {
    // Old files have no such fields; a round slide writes none.
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trade/single_650.toml");
    let machine = load(&path, None).unwrap().value.machine;
    let text = serde_json::to_string(&machine).unwrap();
    assert!(!text.contains("\"vacuum\"") && !text.contains("\"round\""), "{text}");
    let back: Machine = serde_json::from_str(&text).unwrap();
    assert_eq!((back.carburettor.slide.kind, back.carburettor.vacuum), (SlideKind::Round, None));
}

#[test]
fn a_spring_that_holds_the_piston_low_is_warned_of_with_figures() {
    let text = template().replacen(
        "[carburettor.slide]\ncutaway = \"3.0 mm\"",
        "[carburettor.piston]\ndiameter = \"60 mm\"\nmass = \"60 g\"\nspring_rate = \"2000 N/m\"",
        1,
    );
    let warned = load_text("stiff", &text).unwrap_or_else(|report| panic!("{report}"));
    let said = warned.warnings.iter().find(|w| w.message.contains("lower half of its lift"));
    let said = said.unwrap_or_else(|| panic!("{:?}", warned.warnings));
    assert!(said.label.contains("kPa"), "{}", said.label);
}
