//! What the throttle is: a round or flat slide, or a vacuum piston with its butterfly. Exactly one of them.

use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use super::vacuum_piston;
use crate::diagnostics::Problem;
use crate::hardware::slide::{Slide, SlideKind};
use crate::hardware::vacuum_piston::VacuumPiston;
use crate::units::Dimension::{Length, Number};

const CUTAWAY: Spec = Spec::new(Length, "mm", (0.0, 15.0), (1.0, 5.0));
/// Width of a slide along the flow.
pub const WIDTH: Spec = Spec::new(Length, "mm", (2.0, 80.0), (8.0, 55.0));
/// Discharge coefficient of an opening.
pub const DISCHARGE: Spec = Spec::new(Number, "", (0.3, 1.0), (0.6, 1.0));
/// Leak, as a hole.
pub const LEAK: Spec = Spec::new(Length, "mm", (0.0, 5.0), (0.0, 2.5));

const WORDS: [(&str, SlideKind); 2] = [("round", SlideKind::Round), ("flat", SlideKind::Flat)];
const KINDS: &str = "a round slide is a cylinder, hollow below; a flat one is a gate some 10 mm thick; a vacuum piston has the \
                     tables [carburettor.piston] and [carburettor.butterfly] in place of [carburettor.slide]";
const PISTON: [&str; 2] = ["piston", "butterfly"];

/// The kind of throttle, which estimates of other parts need first; what is wrong with it is noted later.
#[must_use]
pub fn kind_of(reader: &mut Reader<'_>) -> SlideKind {
    if PISTON.iter().any(|key| reader.has(key)) {
        return SlideKind::Piston;
    }
    let mut aside = Ledger::default();
    let mut table = reader.table(&mut aside, "slide");
    if table.has("kind") {
        table.choice(&mut aside, "kind", &WORDS, KINDS).unwrap_or_default()
    } else {
        SlideKind::Round
    }
}

/// Reads the throttle of the carburettor's table.
pub fn read(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    kind: SlideKind,
    bore: &Figure,
) -> (Slide, Option<VacuumPiston>) {
    if kind != SlideKind::Piston {
        // known here, so that a misspelt heading is told
        let _ = PISTON.map(|key| reader.raw(ledger, key));
        return (read_slide(reader, ledger, kind, bore), None);
    }
    if reader.has("slide") {
        let other = if reader.has("piston") { "piston" } else { "butterfly" };
        ledger.note(
            Problem::error(format!("`{}` and `{}` are two throttles", reader.path("slide"), reader.path(other)))
                .at(reader.key_place("slide"), "this one")
                .against(reader.key_place(other), "and this one")
                .help("keep [carburettor.slide] for a slide on a cable, else [carburettor.piston] and [carburettor.butterfly]"),
        );
    }
    let _ = reader.raw(ledger, "slide");
    let (slide, piston) = vacuum_piston::read(reader, ledger, bore);
    (slide, Some(piston))
}

fn read_slide(reader: &mut Reader<'_>, ledger: &mut Ledger, kind: SlideKind, bore: &Figure) -> Slide {
    let mut t = reader.table(ledger, "slide");
    if t.has("kind") {
        let _ = t.choice(ledger, "kind", &WORDS, KINDS);
    }
    let cutaway = Estimate::fixed(&CUTAWAY, 3.0, (2.5, 3.5), "3 mm, the middle of 2.5 to 3.5", COMMON);
    let cutaway = t.estimated(ledger, "cutaway", &CUTAWAY, cutaway);
    let flat = kind == SlideKind::Flat;
    let width = if flat {
        Estimate::fixed(&WIDTH, 11.0, (8.0, 14.0), "a flat slide, 11 mm thick", COMMON)
    } else {
        Estimate::times(bore.kept, 1.05, (1.0, 1.15), "a round slide, 1.05 x bore", COMMON)
    };
    let width = t.estimated(ledger, "width", &WIDTH, width);
    let shut = if flat {
        let rule = "0.7 for a small opening under a thin gate, between a sharp one (0.61) and a short passage (0.8)";
        Estimate::fixed(
            &DISCHARGE,
            0.7,
            (0.61, 0.8),
            rule,
            "pi/(pi+2) of a free jet, Kirchhoff; the rest common practice",
        )
    } else {
        Estimate::fixed(&DISCHARGE, 0.8, (0.65, 0.9), "0.8 for a small opening", COMMON)
    };
    let shut = t.estimated(ledger, "discharge_shut", &DISCHARGE, shut);
    let open = if flat {
        Estimate::fixed(&DISCHARGE, 0.99, (0.96, 1.0), "0.99: only the gap of its guide is left", COMMON)
    } else {
        Estimate::fixed(&DISCHARGE, 0.98, (0.93, 1.0), "0.98 with the slide out of the way", COMMON)
    };
    let open = t.estimated(ledger, "discharge_open", &DISCHARGE, open);
    let leak = "as much as a hole of 1 mm, for a slide with 0.02 mm of clearance";
    let leak = Estimate::fixed(&LEAK, 1.0, (0.3, 1.7), leak, COMMON);
    let leak = t.estimated(ledger, "leak", &LEAK, leak);
    t.close(ledger);
    if cutaway.kept > 0.5 * bore.kept {
        ledger.note(
            Problem::error("the cutaway is higher than half of the bore")
                .at(cutaway.place.clone(), cutaway.label())
                .against(bore.place.clone(), format!("bore {}", bore.label()))
                .help("stand the slide on a flat plate and measure the gap under its filter side, usually 2 to 4 mm"),
        );
    }
    Slide {
        bore: bore.kept,
        cutaway: cutaway.kept,
        width: width.kept,
        discharge_shut: shut.kept,
        discharge_open: open.kept,
        leak_area: 0.25 * std::f64::consts::PI * leak.kept * leak.kept,
        kind,
    }
}
