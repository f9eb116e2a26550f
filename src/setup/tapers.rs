//! A needle with two or three tapers in the file: where each starts, and its included angle.

use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::rows::Rows;
use super::spec::Spec;
use crate::diagnostics::Problem;

/// Most tapers of one needle.
pub const MOST: usize = 3;
const SHAPE: &str = "write tapers = [{ starts = \"19.5 mm\", angle = \"1 deg\" }, { starts = \"32 mm\", angle = \"2 deg\" }], down the \
                     needle, each start measured from the top groove";

/// One cone of the needle.
#[derive(Debug)]
pub struct Taper {
    /// Where it starts, below the top groove.
    pub starts: Figure,
    /// Its included angle.
    pub angle: Figure,
}

/// Reads `tapers`, from the top downwards; `along` and `angle` are their ranges.
pub fn read(needle: &mut Reader<'_>, ledger: &mut Ledger, along: &Spec, angle: &Spec) -> Vec<Taper> {
    let path = needle.path("tapers");
    let Some(raw) = needle.raw(ledger, "tapers") else { return Vec::new() };
    let rows = Rows { one: "a taper", many: "tapers", help: SHAPE };
    let Some(list) = rows.list(ledger, &path, &raw) else { return Vec::new() };
    if !(1..=MOST).contains(&list.len()) {
        ledger.note(
            Problem::error(format!("`{path}` has {} tapers", list.len()))
                .at(Some(raw.place), "this list")
                .allowed(format!("1 to {MOST}"))
                .help("a needle with more is better measured: diameters = [[\"0 mm\", \"2.52 mm\"], ...]"),
        );
        return Vec::new();
    }
    let mut tapers: Vec<Taper> = Vec::with_capacity(list.len());
    for (i, item) in list.iter().enumerate() {
        let Some(mut inner) = rows.row(needle, ledger, &path, (i, item)) else { continue };
        let what = "where it starts, measured down from the top groove: starts = \"19.5 mm\"";
        let starts = inner.required(ledger, "starts", along, what);
        let angle = inner.required(ledger, "angle", angle, "its included angle: angle = \"1 deg\"");
        inner.close(ledger);
        if let Some(above) = tapers.last().filter(|t| starts.kept <= t.starts.kept) {
            ledger.note(
                Problem::error("two tapers of the needle overlap")
                    .at(starts.place.clone(), format!("this one starts at {}", starts.label()))
                    .against(above.starts.place.clone(), format!("the one above it at {}", above.starts.label()))
                    .help("list them down the needle; each ends where the next one starts"),
            );
        }
        tapers.push(Taper { starts, angle });
    }
    tapers
}
