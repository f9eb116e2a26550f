//! The well of a bleed nozzle in the file.

use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::rows::Rows;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::bleed_well::{BleedWell, SideHole};
use crate::hardware::nozzle::NozzleKind;
use crate::units::Dimension::Length;

const DIAMETER: Spec = Spec::new(Length, "mm", (2.0, 40.0), (5.0, 15.0));
const HOLE: Spec = Spec::new(Length, "mm", (0.1, 4.0), (0.4, 1.6));
const BELOW: Spec = Spec::new(Length, "mm", (0.5, 120.0), (5.0, 50.0));
/// Most side holes.
const MOST_HOLES: usize = 32;
/// Rows by rule: holes below the floor of the bore [mm].
const ROWS: [f64; 3] = [14.0, 20.0, 26.0];

/// Reads `[carburettor.nozzle.well]`; none for a primary nozzle, and none where the file says nothing of it: then air enters the needle jet
/// straight from its jet.
pub fn read(nozzle: &mut Reader<'_>, ledger: &mut Ledger, nozzle_kind: NozzleKind) -> Option<BleedWell> {
    if nozzle_kind == NozzleKind::Primary {
        if let Some(raw) = nozzle.raw(ledger, "well") {
            ledger.note(
                Problem::error("a primary nozzle has no well")
                    .at(Some(raw.place), "its air goes around the needle jet's mouth")
                    .help("blow through the main air jet: if the air comes out of holes in the needle jet, write kind = \"bleed\""),
            );
        }
        return None;
    }
    if !nozzle.has("well") {
        return None;
    }
    let mut t = nozzle.table(ledger, "well");
    let outer = Estimate::fixed(&DIAMETER, 9.0, (7.0, 12.0), "a drilling of 9 mm", COMMON);
    let outer = t.estimated(ledger, "outer", &DIAMETER, outer);
    let inner = Estimate::fixed(&DIAMETER, 7.0, (5.0, 8.0), "a holder of 7 mm in it", COMMON);
    let inner = t.estimated(ledger, "inner", &DIAMETER, inner);
    let holes = read_holes(&mut t, ledger);
    t.close(ledger);
    check_ring(ledger, &outer, &inner);
    Some(BleedWell { outer: outer.kept, inner: inner.kept, holes })
}

fn check_ring(ledger: &mut Ledger, outer: &Figure, inner: &Figure) {
    if inner.kept >= outer.kept {
        ledger.note(
            Problem::error("the needle jet's holder is as wide as the well around it")
                .at(inner.place.clone().or_else(|| outer.place.clone()), format!("inner {}", inner.label()))
                .against(outer.place.clone(), format!("outer {}", outer.label()))
                .help("`outer` is the drilling in the body, `inner` the outside of the holder with the side holes"),
        );
    }
}

fn read_holes(t: &mut Reader<'_>, ledger: &mut Ledger) -> Vec<SideHole> {
    let path = t.path("holes");
    let what = "write holes = [{ bore = \"0.8 mm\", below = \"14 mm\" }], one entry for each hole";
    let Some(raw) = t.raw(ledger, "holes") else {
        return (0..2 * ROWS.len()).map(|i| estimated_hole(ledger, &path, i)).collect();
    };
    let rows = Rows { one: "a hole", many: "holes", help: what };
    let Some(list) = rows.list(ledger, &path, &raw) else { return Vec::new() };
    if list.is_empty() || list.len() > MOST_HOLES {
        ledger.note(
            Problem::error(format!("`{path}` has {} holes", list.len()))
                .at(Some(raw.place), "this list")
                .allowed(format!("1 to {MOST_HOLES} holes"))
                .help("if no air enters the needle jet, the main air jet is plugged: main_air_jet = \"none\""),
        );
        return Vec::new();
    }
    let mut holes = Vec::with_capacity(list.len());
    for (i, item) in list.iter().enumerate() {
        let Some(mut inner) = rows.row(t, ledger, &path, (i, item)) else { continue };
        let bore =
            inner.required(ledger, "bore", &HOLE, "the hole's diameter, by drill shank or wire: bore = \"0.8 mm\"");
        let help = "how far the hole lies below the floor of the bore: below = \"14 mm\"";
        let below = inner.required(ledger, "below", &BELOW, help);
        inner.close(ledger);
        holes.push(SideHole { bore: bore.kept, below: below.kept });
    }
    holes
}

fn estimated_hole(ledger: &mut Ledger, path: &str, i: usize) -> SideHole {
    let bore = Estimate::fixed(&HOLE, 0.8, (0.6, 1.0), "two holes of 0.8 mm in each of three rows", COMMON);
    let bore = ledger.estimated(&format!("{path}[{i}].bore"), &HOLE, bore);
    let at = ROWS[i / 2];
    let rule = format!("{at} mm below the floor of the bore: rows 6 mm apart, the first just below the fuel's level");
    let below = Estimate::fixed(&BELOW, at, (at - 3.0, at + 3.0), &rule, COMMON);
    let below = ledger.estimated(&format!("{path}[{i}].below"), &BELOW, below);
    SideHole { bore: bore.kept, below: below.kept }
}
