//! The main nozzle of the file.

use super::bleed_well;
use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::bleed_well::BleedWell;
use crate::hardware::nozzle::{Nozzle, NozzleKind};
use crate::hardware::slide::SlideKind;
use crate::units::Dimension::{Length, Number, Share};

const SHROUD: Spec = Spec::new(Length, "mm", (0.8, 20.0), (2.2, 9.0));
const PROTRUSION: Spec = Spec::new(Length, "mm", (0.0, 30.0), (0.0, 10.0));
const WIDTH: Spec = Spec::new(Length, "mm", (0.5, 40.0), (2.5, 14.0));
const SIGNAL: Spec = Spec::new(Number, "", (0.0, 1.5), (0.0, 1.5));
const CUTAWAY_SHARE: Spec = Spec::new(Share, "", (0.0, 1.0), (0.3, 1.0));

// Calibrated once: with 1.0, about the base pressure behind a cylinder, the full-throttle mixture of a 650-class single on its known
// starting point (main jet 150 in a 40 mm carburettor; common practice, no source) lies inside 11.5 to 14 from 3000 to 6500 rpm.
// Bounds: the wake of a bluff body.
const CALIBRATED: &str = "calibrated on the known jets of a 650-class single (common practice, no source)";

const IDLE: &str = "calibrated on the idle mixture of a 650-class single (common practice, no source)";

/// A nozzle, the figure of its mouth, and the well of a bleed nozzle.
#[derive(Debug)]
pub struct ReadNozzle {
    /// The part.
    pub nozzle: Nozzle,
    /// Its mouth.
    pub mouth: Figure,
    /// The well around the needle jet's holder.
    pub well: Option<BleedWell>,
}

/// Reads the nozzle's table; `slide` is the kind of slide above it.
pub fn read(
    mut reader: Reader<'_>,
    ledger: &mut Ledger,
    bore: &Figure,
    needle_jet: &Figure,
    slide: SlideKind,
) -> ReadNozzle {
    let r = &mut reader;
    let words = [("primary", NozzleKind::Primary), ("bleed", NozzleKind::Bleed)];
    let what = "blow through the main air jet: a primary nozzle blows around the needle jet's mouth, a bleed nozzle \
                blows through cross holes into the needle jet";
    let kind = r.choice(ledger, "kind", &words, what).unwrap_or(NozzleKind::Primary);
    let shroud = Estimate::times(needle_jet.kept, 1.7, (1.3, 2.3), "1.7 x the needle jet's bore", COMMON);
    let shroud = r.estimated(ledger, "shroud", &SHROUD, shroud);
    let protrusion = Estimate::times(bore.kept, 0.1, (0.0, 0.15), "a tenth of the bore", COMMON);
    let protrusion = r.estimated(ledger, "protrusion", &PROTRUSION, protrusion);
    let width = Estimate::plus(shroud.kept, 1.5e-3, (0.5e-3, 3e-3), "the mouth and a wall of 0.75 mm", COMMON);
    let width = r.estimated(ledger, "width", &WIDTH, width);
    let (forward, rule) = if protrusion.kept > 0.5e-3 {
        (1.0, "1 for a nozzle that stands into the bore: a velocity head, as behind a cylinder")
    } else {
        (0.0, "0 for a flush nozzle")
    };
    let forward = Estimate::fixed(&SIGNAL, forward, (0.0, 1.5), rule, CALIBRATED);
    let forward = r.estimated(ledger, "signal_forward", &SIGNAL, forward);
    let reverse = Estimate::fixed(&SIGNAL, 0.0, (0.0, 1.0), "0 for air that runs back", COMMON);
    let reverse = r.estimated(ledger, "signal_reverse", &SIGNAL, reverse);
    // Calibrated once: with 0.72 the known 650-class single idles at the middle of 11 to 14.5 of AFR (common practice, no source). A plane
    // bevel gives 0.5, a cutaway that rises at once behind its lip gives 1.
    let share = match slide {
        SlideKind::Round => {
            let share = "0.72, between a plane bevel (0.5) and a cutaway that rises at once behind a short lip (1)";
            let share = Estimate::fixed(&CUTAWAY_SHARE, 0.72, (0.5, 1.0), share, IDLE);
            r.estimated(ledger, "cutaway_share", &CUTAWAY_SHARE, share).kept
        }
        SlideKind::Flat => {
            let share = "half of the bevel, in the middle of a flat slide";
            let share = Estimate::fixed(&CUTAWAY_SHARE, 0.5, (0.3, 0.8), share, COMMON);
            r.estimated(ledger, "cutaway_share", &CUTAWAY_SHARE, share).kept
        }
        // It has no cutaway.
        SlideKind::Piston => 0.0,
    };
    let well = bleed_well::read(r, ledger, kind);
    reader.close(ledger);
    if protrusion.kept > 0.5 * bore.kept {
        ledger.note(
            Problem::error("the nozzle stands more than half-way across the bore")
                .at(protrusion.place.clone(), protrusion.label())
                .against(bore.place.clone(), format!("bore {}", bore.label())),
        );
    }
    if width.kept < shroud.kept {
        ledger.note(
            Problem::error("the nozzle is narrower than its own mouth")
                .at(width.place.clone().or_else(|| shroud.place.clone()), format!("width {}", width.label()))
                .against(shroud.place.clone(), format!("mouth {}", shroud.label())),
        );
    }
    let nozzle = Nozzle {
        kind,
        mouth_diameter: shroud.kept,
        protrusion: protrusion.kept,
        width: width.kept,
        signal_forward: forward.kept,
        signal_reverse: reverse.kept,
        cutaway_share: share,
    };
    ReadNozzle { nozzle, mouth: shroud, well }
}
