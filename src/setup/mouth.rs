//! The carburettor's mouth: bell mouth and the passage to the slide.

use super::ledger::{Figure, Ledger};
use super::pipe;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::duct::Piece;
use crate::laws::loss::bell_mouth;
use crate::units::Dimension::{Length, Number};

const RADIUS: Spec = Spec::new(Length, "mm", (0.0, 60.0), (0.0, 30.0));
const LOSS: Spec = Spec::new(Number, "", (0.0, 3.0), (0.02, 1.1));
const END: Spec = Spec::new(Number, "", (0.0, 1.0), (0.5, 0.85));
const FLARE: Spec = Spec::new(Length, "mm", (0.0, 500.0), (0.0, 80.0));

/// The mouth in SI.
#[derive(Debug)]
pub struct Mouth {
    /// Pieces from the open end to the slide.
    pub pieces: Vec<Piece>,
    /// Loss coefficient [-].
    pub loss: f64,
    /// End correction [-].
    pub end_correction: f64,
}

/// Reads the mouth's table; `bore` is the carburettor's.
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger, bore: &Figure, air: f64) -> Mouth {
    let r = &mut reader;
    let rule = "50 mm from the open end to the slide, half of a body 90 to 110 mm long";
    let length = Estimate::fixed(&pipe::LENGTH, 50.0, (40.0, 60.0), rule, COMMON);
    let length = r.estimated(ledger, "length", &pipe::LENGTH, length);
    let diameter = Estimate::times(bore.kept, 1.25, (1.1, 1.4), "1.25 x bore", COMMON);
    let diameter = r.estimated(ledger, "diameter", &pipe::DIAMETER, diameter);
    let flare = Estimate::times(length.kept, 0.4, (0.2, 0.8), "the first 0.4 of the length", COMMON);
    let flare = r.estimated(ledger, "flare", &FLARE, flare);
    let loss = read_loss(r, ledger, &diameter);
    let end = Estimate {
        value: 0.6133,
        low: 0.6133,
        high: 0.8217,
        rule: "0.6133, a pipe without flange; 0.8217 with a wide flange".into(),
        source: "Levine & Schwinger 1948 (from memory)",
    };
    let end = r.estimated(ledger, "end_correction", &END, end);
    let wall = pipe::wall(r, ledger, 5.0, (0.0, 20.0), air);
    reader.close(ledger);
    check(ledger, &length, &flare, &diameter, bore);
    let piece = |name: &str, length: f64, from: f64| Piece::plain(name, length, from, bore.kept, wall.kept);
    let mut pieces = Vec::new();
    let straight = length.kept - flare.kept;
    if flare.kept > 1e-4 {
        pieces.push(piece("bell mouth", flare.kept, diameter.kept));
    }
    if straight > 1e-4 || pieces.is_empty() {
        pieces.push(piece("passage to the slide", straight, bore.kept));
    }
    Mouth { pieces, loss: loss.kept, end_correction: end.kept }
}

/// `loss` as given, or by the radius of the bell mouth.
fn read_loss(reader: &mut Reader<'_>, ledger: &mut Ledger, diameter: &Figure) -> Figure {
    const TABLE: &str = "Idelchik/Fried 1989 p. 52, bell mouth table";
    let radius = reader.optional(ledger, "radius", &RADIUS);
    let (value, low, high, rule) = match &radius {
        Some(radius) => {
            let by = |factor: f64| bell_mouth(factor * radius.kept / diameter.kept);
            (by(1.0), by(1.3), by(0.7), "by its radius over its diameter".to_string())
        }
        None => (bell_mouth(0.1), bell_mouth(0.2), bell_mouth(0.02), "a radius of a tenth of its diameter".to_string()),
    };
    reader.estimated(ledger, "loss", &LOSS, Estimate { value, low, high, rule, source: TABLE })
}

fn check(ledger: &mut Ledger, length: &Figure, flare: &Figure, diameter: &Figure, bore: &Figure) {
    if flare.kept > length.kept * (1.0 + 1e-9) {
        ledger.note(
            Problem::error("the flare is longer than the whole mouth")
                .at(flare.place.clone(), format!("flare {}", flare.label()))
                .against(length.place.clone(), format!("length {}", length.label()))
                .help("`length` runs from the open end to the slide, `flare` is the part of it that widens"),
        );
    }
    if diameter.kept < 0.8 * bore.kept {
        ledger.note(
            Problem::error("the mouth is narrower than the bore")
                .at(diameter.place.clone(), diameter.label())
                .against(bore.place.clone(), format!("bore {}", bore.label()))
                .help("`diameter` is the width at the open end"),
        );
    }
}
