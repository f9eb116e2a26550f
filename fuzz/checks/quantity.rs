//! A text as a quantity: finite or an error, and what is written of it reads back.

use bellmouth::units::number::LONGEST_NUMBER;
use bellmouth::units::{Dimension, format, parse, significant};

/// Whether `input` is a quantity of any dimension.
pub fn check(input: &[u8]) -> bool {
    let Ok(text) = std::str::from_utf8(input) else { return false };
    let mut taken = false;
    for dimension in Dimension::ALL {
        match parse(text, dimension) {
            Err(error) => assert!(!error.to_string().is_empty()),
            Ok(kept) => {
                assert!(kept.is_finite(), "{text:?} is {kept}");
                reads_back(kept, dimension);
                taken = true;
            }
        }
    }
    taken
}

/// Asserts that `kept` written in each unit reads back as the same, to the round-off of two conversions.
fn reads_back(kept: f64, dimension: Dimension) {
    for unit in dimension.units() {
        let written = format(kept, dimension, unit.name());
        assert!(!significant(kept, dimension, unit.name()).contains("NaN"), "{kept} {dimension:?}");
        let number = written.split(' ').next().unwrap_or_default().trim_end_matches(":1");
        // Far from all that an engine has: a number this long is refused, and an overflow is none.
        if number.len() > LONGEST_NUMBER || number.contains("inf") || kept.abs() < 1e-290 {
            continue;
        }
        let again = parse(&written, dimension);
        // Zero of a thermometer is some 300 to 500 from the zero that is kept.
        let offset = if dimension == Dimension::Temperature { 500.0 } else { 0.0 };
        let near = 4.0 * f64::EPSILON * (kept.abs() + offset);
        assert!(again.as_ref().is_ok_and(|again| (again - kept).abs() <= near), "{kept} as {written:?}: {again:?}");
    }
}
