//! Fuel passages of the file.

use super::ledger::Ledger;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::hardware::carburettor::Passage;
use crate::units::Dimension::Length;

const LENGTH: Spec = Spec::new(Length, "mm", (2.0, 300.0), (10.0, 150.0));
const BORE: Spec = Spec::new(Length, "mm", (0.3, 15.0), (0.8, 8.0));
/// Length of a short drilling.
pub const SHORT: Spec = Spec::new(Length, "mm", (0.1, 60.0), (0.3, 20.0));

/// Reads the passage under `key`, by rule `length` long and `bore` wide [mm].
pub fn read(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    key: &str,
    length: f64,
    lengths: (f64, f64),
    bore: f64,
    bores: (f64, f64),
) -> Passage {
    let mut t = reader.table(ledger, key);
    let estimate =
        Estimate::fixed(&LENGTH, length, lengths, &format!("{length} mm from its jet to its outlet"), COMMON);
    let length = t.estimated(ledger, "length", &LENGTH, estimate);
    let estimate = Estimate::fixed(&BORE, bore, bores, &format!("a drilling of {bore} mm"), COMMON);
    let bore = t.estimated(ledger, "bore", &BORE, estimate);
    t.close(ledger);
    Passage { length: length.kept, bore: bore.kept }
}
