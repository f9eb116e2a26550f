//! The carburettor's mouth: bell mouth, hole in a wall or plain pipe end, and the passage to the slide.

use super::ledger::{Figure, Ledger};
use super::pipe;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::duct::{LEAST_STEP, Piece};
use crate::laws::loss::{FLUSH_PIPE, bell_mouth, plain_pipe};
use crate::units::Dimension::{Length, Number};

const RADIUS: Spec = Spec::new(Length, "mm", (0.0, 60.0), (0.0, 30.0));
const THICKNESS: Spec = Spec::new(Length, "mm", (0.0, 30.0), (0.5, 8.0));
const LOSS: Spec = Spec::new(Number, "", (0.0, 3.0), (0.02, 1.1));
const END: Spec = Spec::new(Number, "", (0.0, 1.0), (0.5, 0.85));
const FLARE: Spec = Spec::new(Length, "mm", (0.0, 500.0), (0.0, 80.0));

/// Name of the piece between what widens and the slide.
pub const PASSAGE: &str = "passage to the slide";

/// Shortest piece that is kept [m]; a shorter one belongs to its neighbour.
const SHORTEST: f64 = 1e-4;

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

/// What the open end looks like.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// A rounded lip.
    BellMouth,
    /// A sharp-edged hole in a wall.
    Flush,
    /// The free end of a pipe.
    Plain,
}

const WORDS: [(&str, Kind); 3] = [("bell mouth", Kind::BellMouth), ("flush", Kind::Flush), ("plain", Kind::Plain)];

/// Reads the mouth's table; `bore` is the carburettor's.
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger, bore: &Figure, air: f64) -> Mouth {
    let r = &mut reader;
    let what =
        "\"bell mouth\" has a rounded lip, \"flush\" is a sharp-edged hole in a wall, \"plain\" the free end of a pipe";
    let kind = if r.has("kind") { r.choice(ledger, "kind", &WORDS, what) } else { Some(Kind::BellMouth) };
    let flares = kind.unwrap_or(Kind::BellMouth) == Kind::BellMouth;
    let rule = "50 mm from the open end to the slide, half of a body 90 to 110 mm long";
    let length = Estimate::fixed(&pipe::LENGTH, 50.0, (40.0, 60.0), rule, COMMON);
    let length = r.estimated(ledger, "length", &pipe::LENGTH, length);
    let diameter = if flares {
        Estimate::times(bore.kept, 1.25, (1.1, 1.4), "1.25 x bore", COMMON)
    } else {
        Estimate::times(bore.kept, 1.0, (1.0, 1.0), "as wide as the bore, without a bell mouth", COMMON)
    };
    let diameter = r.estimated(ledger, "diameter", &pipe::DIAMETER, diameter);
    let flare = if flares {
        Estimate::times(length.kept, 0.4, (0.2, 0.8), "the first 0.4 of the length", COMMON)
    } else {
        Estimate::fixed(&FLARE, 0.0, (0.0, 0.0), "nothing widens, without a bell mouth", COMMON)
    };
    let flare = r.estimated(ledger, "flare", &FLARE, flare);
    let loss = read_loss(r, ledger, kind, &diameter);
    let (end, rule) = match kind {
        Some(Kind::Flush) => (0.8217, "0.8217 of its radius, an opening in a wide wall; 0.6133 without the wall"),
        _ => (0.6133, "0.6133, a pipe without flange; 0.8217 with a wide flange"),
    };
    let source = "Levine & Schwinger 1948 (from memory)";
    let end = Estimate { value: end, low: 0.6133, high: 0.8217, rule: rule.into(), source };
    let end = r.estimated(ledger, "end_correction", &END, end);
    let wall = pipe::wall(r, ledger, 5.0, (0.0, 20.0), air);
    reader.close(ledger);
    check(ledger, &length, &flare, &diameter, bore);
    let piece = |name: &str, length: f64, from: f64| Piece::plain(name, length, from, bore.kept, wall.kept);
    let mut pieces = Vec::new();
    let straight = length.kept - flare.kept;
    if flare.kept > SHORTEST {
        pieces.push(piece(if flares { "bell mouth" } else { "cone of the mouth" }, flare.kept, diameter.kept));
    }
    if straight > SHORTEST || pieces.is_empty() {
        pieces.push(piece(PASSAGE, straight, bore.kept));
    }
    Mouth { pieces, loss: loss.kept, end_correction: end.kept }
}

/// `loss` as given, or by the shape of the open end.
fn read_loss(reader: &mut Reader<'_>, ledger: &mut Ledger, kind: Option<Kind>, diameter: &Figure) -> Figure {
    const TABLE: &str = "Idelchik/Fried 1989 p. 52, bell mouth table";
    const WALL: &str = "Idelchik's method for a pipe in free space, as in a public table";
    let radius = shape(reader, ledger, ("radius", &RADIUS), kind, Kind::BellMouth);
    let thickness = shape(reader, ledger, ("thickness", &THICKNESS), kind, Kind::Plain);
    let estimate = match (kind.unwrap_or(Kind::BellMouth), radius, thickness) {
        (Kind::BellMouth, Some(radius), _) => {
            let by = |factor: f64| bell_mouth(factor * radius.kept / diameter.kept);
            Estimate {
                value: by(1.0),
                low: by(1.3),
                high: by(0.7),
                rule: "by its radius over its diameter".into(),
                source: TABLE,
            }
        }
        (Kind::BellMouth, None, _) => {
            let rule = "a radius of a tenth of its diameter".into();
            Estimate { value: bell_mouth(0.1), low: bell_mouth(0.2), high: bell_mouth(0.02), rule, source: TABLE }
        }
        (Kind::Flush, ..) => Estimate {
            value: FLUSH_PIPE,
            low: 0.4,
            high: 0.57,
            rule: "0.5, a sharp edge in a wall; handbooks print 0.50 to 0.57, a broken edge has less".into(),
            source: "handbook value",
        },
        (Kind::Plain, _, Some(thickness)) => {
            let by = |factor: f64| plain_pipe(factor * thickness.kept / diameter.kept);
            let rule = "by the thickness of its wall over its diameter".into();
            Estimate { value: by(1.0), low: by(1.3), high: by(0.7), rule, source: WALL }
        }
        (Kind::Plain, _, None) => {
            let by = |wall: f64| plain_pipe(THICKNESS.kept(wall) / diameter.kept);
            let rule = "by a wall 2 mm thick over its diameter".into();
            Estimate { value: by(2.0), low: by(4.0), high: by(1.0), rule, source: WALL }
        }
    };
    reader.estimated(ledger, "loss", &LOSS, estimate)
}

/// A value that only one kind of mouth has; for another kind it is noted. Any kind takes it while `kind` is not known.
fn shape(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    (key, spec): (&str, &Spec),
    kind: Option<Kind>,
    owner: Kind,
) -> Option<Figure> {
    let word = |kind: Kind| WORDS.iter().find(|w| w.1 == kind).map_or("", |w| w.0);
    let Some(other) = kind.filter(|k| *k != owner) else { return reader.optional(ledger, key, spec) };
    let place = reader.value_place(ledger, key)?;
    let against = reader.value_place(ledger, "kind");
    let said = if against.is_some() { "not for this kind" } else { "a mouth without `kind` is a bell mouth" };
    ledger.note(
        Problem::error(format!("`{}` belongs to a mouth of kind \"{}\" alone", reader.path(key), word(owner)))
            .at(Some(place), said)
            .against(against, format!("the mouth is of kind \"{}\"", word(other)))
            .help(format!("leave out `{key}`, or write kind = \"{}\"", word(owner))),
    );
    None
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
    } else if diameter.place.is_some()
        && flare.kept <= SHORTEST
        && (diameter.kept - bore.kept).abs() > LEAST_STEP * diameter.kept.max(bore.kept)
    {
        ledger.note(
            Problem::error("the mouth is not as wide as the bore, but nothing of it widens")
                .at(diameter.place.clone(), format!("diameter {}", diameter.label()))
                .against(flare.place.clone(), format!("flare {}", flare.label()))
                .allowed(format!("{}, the bore", bore.shown()))
                .help("`flare` is the length over which the mouth widens from the bore to `diameter`"),
        );
    }
}
