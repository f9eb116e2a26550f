//! Tests of the supply with jug and watch: `[[supply.jug_test]]`.

use serde::{Deserialize, Serialize};

use super::ledger::Ledger;
use super::limits::MOST_ROWS;
use super::reader::Reader;
use super::rows::Rows;
use super::spec::Spec;
use super::supply::HEAD;
use crate::diagnostics::Problem;
use crate::units::Dimension::{Time, Volume};

const VOLUME: Spec = Spec::new(Volume, "ml", (5.0, 20_000.0), (50.0, 2_000.0));
const TIME: Spec = Spec::new(Time, "s", (2.0, 7_200.0), (20.0, 1_200.0));

/// Where the fuel ran out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum JugEnd {
    /// From the hose, pulled off the carburettor.
    HoseEnd,
    /// From the bowl's drain or with the bowl off, through inlet and open needle.
    BowlDrain,
}

/// One test.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct JugTest {
    /// Where it ran out.
    pub at: JugEnd,
    /// Mean flow [m3/s].
    pub flow: f64,
    /// Fuel in the tank above the outlet: the hose's end, or the float needle's seat [m].
    pub head: f64,
}

const ROWS: Rows = Rows {
    one: "a test",
    many: "tests",
    help: "write a heading [[supply.jug_test]] for each test, with at, volume, time and head below it",
};

/// Reads the list of tests.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Vec<JugTest> {
    let Some(raw) = reader.raw(ledger, "jug_test") else { return Vec::new() };
    let path = reader.path("jug_test");
    let Some(list) = ROWS.list(ledger, &path, &raw) else { return Vec::new() };
    if list.len() > MOST_ROWS {
        ledger.note(
            Problem::error(format!("`{path}` has too many tests"))
                .at(Some(raw.place), format!("{} tests", list.len()))
                .allowed(format!("at most {MOST_ROWS}")),
        );
        return Vec::new();
    }
    let mut tests = Vec::new();
    for (i, item) in list.iter().enumerate() {
        let Some(mut inner) = ROWS.row(reader, ledger, &path, (i, item)) else { continue };
        let words = [("hose end", JugEnd::HoseEnd), ("bowl drain", JugEnd::BowlDrain)];
        let what = "where the fuel ran into the jug: at = \"hose end\" or at = \"bowl drain\"";
        let at = inner.choice(ledger, "at", &words, what);
        let volume = inner.required(ledger, "volume", &VOLUME, "what ran into the jug: volume = \"500 ml\"");
        let time = inner.required(ledger, "time", &TIME, "how long it took: time = \"2 min\"");
        let what = "the fuel in the tank above the hose's end or above the needle's seat: head = \"200 mm\"";
        let head = inner.required(ledger, "head", &HEAD, what);
        inner.close(ledger);
        if head.kept <= 0.0 {
            ledger.note(
                Problem::error("nothing runs without a head")
                    .at(head.place.clone(), head.label())
                    .allowed("above 0 mm")
                    .help(what),
            );
        }
        let test = at.map(|at| JugTest { at, flow: volume.kept / time.kept, head: head.kept });
        tests.extend(test.filter(|t| t.flow.is_finite() && t.head > 0.0));
    }
    tests
}
