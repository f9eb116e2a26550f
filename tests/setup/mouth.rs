//! Kinds of mouth.

use bellmouth::hardware::machine::Machine;
use bellmouth::setup::{load_text, template};

/// The template with the lines of its mouth replaced.
fn mouth(lines: &str) -> Machine {
    let (before, rest) = template().split_once("[carburettor.mouth]\n").expect("a mouth");
    let (_, after) = rest.split_once("\n\n").expect("an end of the mouth");
    let text = format!("{before}[carburettor.mouth]\n{lines}\n\n{after}");
    load_text("mouth", &text).unwrap_or_else(|report| panic!("{report}")).value.machine
}

#[track_caller]
fn near(got: f64, want: f64) {
    assert!((got - want).abs() <= 1e-9 * want.abs(), "got {got}, want {want}");
}

#[test]
fn a_flush_mouth_is_a_sharp_edged_hole_in_a_wall() {
    let c = mouth("kind = \"flush\"\nlength = \"48 mm\"").carburettor;
    near(c.mouth_loss, 0.5);
    near(c.end_correction, 0.8217);
    assert_eq!(c.mouth.len(), 1);
    near(c.mouth[0].length, 0.048);
    near(c.mouth[0].diameter_start, 0.038);
    near(c.mouth[0].diameter_end, 0.038);
}

#[test]
fn a_plain_mouth_loses_by_the_thickness_of_its_wall() {
    // Idelchik's method, as in a public table: wall over diameter and loss
    for (wall, loss) in [("0 mm", 1.0), ("0.38 mm", 0.86), ("0.76 mm", 0.72), ("1.9 mm", 0.5), ("5 mm", 0.5)] {
        let c = mouth(&format!("kind = \"plain\"\nthickness = \"{wall}\"")).carburettor;
        near(c.mouth_loss, loss);
        near(c.end_correction, 0.6133);
        near(c.mouth[0].diameter_start, 0.038);
    }
}

#[test]
fn a_flush_mouth_may_be_a_cone() {
    let c = mouth("kind = \"flush\"\nlength = \"48 mm\"\ndiameter = \"44 mm\"\nflare = \"20 mm\"").carburettor;
    assert_eq!(c.mouth.len(), 2);
    near(c.mouth[0].diameter_start, 0.044);
    near(c.mouth[1].length, 0.028);
}

#[test]
fn a_bell_mouth_may_say_so() {
    assert_eq!(mouth("kind = \"bell mouth\"\nradius = \"5 mm\""), mouth("radius = \"5 mm\""));
}
