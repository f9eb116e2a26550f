//! Ducts that cannot be cut into cells, and runs that leave physical bounds: refused with the place, the value, the
//! bound and help.

use bellmouth::gas::duct_cells::{DuctCells, Unphysical};
use bellmouth::gas::grid::{FEWEST_CELLS, FINEST, GridError, STEEPEST_TAPER};
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::trace::Vessel;
use bellmouth::hardware::duct::Piece;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

use super::found;

const CELL: f64 = 5e-3;

fn air() -> GasModel {
    GasModel::constant(287.05, 1.4)
}

fn piece(name: &str, length_mm: f64, start_mm: f64, end_mm: f64) -> Piece {
    Piece::plain(name, 1e-3 * length_mm, 1e-3 * start_mm, 1e-3 * end_mm, 300.0)
}

/// Why a duct whose middle piece is `bad` cannot be cut.
fn refused(bad: Piece) -> GridError {
    let pieces = [piece("boot", 60.0, 40.0, 40.0), bad, piece("port", 80.0, 36.0, 36.0)];
    DuctCells::new(&pieces, CELL, &air(), 1e5, 300.0).unwrap_err()
}

/// Fails unless the message and its help hold all of `parts`.
#[track_caller]
fn says(error: &GridError, parts: &[&str]) {
    let text = format!("{error}; {}", error.help());
    found("a duct refused", &text);
    for part in parts {
        assert!(text.contains(part), "`{part}` is missing: {text}");
    }
}

#[test]
fn piece_too_short_for_its_cells_is_refused_by_name() {
    // Three cells of at least 0.4 of the size wanted: 6 mm.
    let shortest = 1e3 * FEWEST_CELLS as f64 * FINEST * CELL;
    let error = refused(piece("spacer", shortest - 0.1, 50.0, 50.0));
    assert!(matches!(error, GridError::TooFewCells { .. }), "{error}");
    says(&error, &["`spacer`", "5.90 mm", "3 cells of 5.00 mm", "at most 4.91 mm"]);
    // The shortest that is allowed passes, and what the help says works.
    let duct =
        [piece("boot", 60.0, 40.0, 40.0), piece("spacer", shortest, 50.0, 50.0), piece("port", 80.0, 36.0, 36.0)];
    assert!(DuctCells::new(&duct, CELL, &air(), 1e5, 300.0).is_ok());
    let duct = [piece("boot", 60.0, 40.0, 40.0), piece("spacer", shortest - 0.1, 50.0, 50.0)];
    assert!(DuctCells::new(&duct, 4.91e-3, &air(), 1e5, 300.0).is_ok());
}

#[test]
fn piece_without_a_length_or_a_bore_is_refused_by_name() {
    for (length, start, end, value) in [
        (30.0, 0.0, 40.0, "0.000 and 40.000 mm"),
        (30.0, 40.0, -1.0, "40.000 and -1.000 mm"),
        (0.0, 40.0, 40.0, "length of 0.000 mm"),
        (30.0, 40.0, f64::NAN, "40.000 and NaN mm"),
        (f64::INFINITY, 40.0, 40.0, "length of inf mm"),
    ] {
        let error = refused(piece("adapter", length, start, end));
        assert!(matches!(error, GridError::NoArea { .. }), "{error}");
        says(&error, &["`adapter`", value, "above 0", "measure the piece"]);
    }
}

#[test]
fn taper_too_steep_for_one_dimension_is_refused_by_name() {
    let steep = 36.0 + 30.0 * STEEPEST_TAPER;
    let error = refused(piece("flare", 30.0, steep + 1.1, 36.0));
    assert!(matches!(error, GridError::TooSteep { .. }), "{error}");
    says(&error, &["`flare`", "97.1 to 36.0 mm over 30.0 mm", "2 mm of diameter per mm", "at least 30.6 mm long"]);
    let duct = [piece("flare", 30.0, steep, 36.0), piece("port", 80.0, 36.0, 36.0)];
    assert!(DuctCells::new(&duct, CELL, &air(), 1e5, 300.0).is_ok());
}

/// A straight duct of 0.2 m of air at rest.
fn still(ends: [End; 2]) -> LoneDuct {
    let gas = air();
    let duct = DuctCells::new(&[piece("pipe", 200.0, 40.0, 40.0)], CELL, &gas, 1e5, 300.0).unwrap();
    LoneDuct::new(gas, duct, ends)
}

/// Fails unless the error names a place in the duct and a state that cannot be.
#[track_caller]
fn is_told(what: &str, error: Unphysical) {
    found(what, &format!("{error:?}"));
    assert!((0.0..=0.2).contains(&error.x), "{error:?}");
    assert!(!(error.rho > 0.0 && error.p > 0.0 && error.p.is_finite()), "{error:?}");
}

#[test]
fn duct_sucked_empty_stops_the_run_and_says_where() {
    // 1.2 kg/m3 at 500 m/s out of an end, whatever the duct has left; it holds 0.24 kg/m2.
    let mut lone = still([End::Shut, End::Given(1.2, 500.0, 1e5)]);
    let error = lone.run_to(1e-3).unwrap_err();
    is_told("a duct sucked empty by a given end", error);
    // The gas goes at the end that draws it.
    assert!(error.x > 0.1, "{error:?}");
    // An opening into next to nothing draws only what a wave can bring, and the duct stays physical.
    let nothing = Vessel::new(&air(), 100.0, 300.0, Composition::default());
    let mut lone = still([End::Shut, End::Open(nothing, 0.0)]);
    assert_eq!(lone.run_to(5e-3), Ok(()));
    found(
        "a duct open to 100 Pa, gas left after 5 ms",
        &format!("{:.3} of it", lone.cells.store()[0] / (0.2 * 1.161 * lone.cells.end_area(true))),
    );
}

#[test]
fn step_far_beyond_the_stable_one_stops_the_run_and_is_not_repaired() {
    let jump = || {
        let mut lone = still([End::Shut, End::Shut]);
        lone.cells.fill(&air(), |x| (1.2, 0.0, if x < 0.1 { 2e5 } else { 1e5 }, Composition::default()));
        lone
    };
    let mut lone = jump();
    let dt = 20.0 * lone.cells.crossing_time();
    let error = (0..200).find_map(|_| lone.step(dt).err()).expect("an absurd step passes");
    is_told("a step of a Courant number of 20", error);
    // At its own step the same duct runs on.
    assert_eq!(jump().run_to(5e-3), Ok(()));
}
