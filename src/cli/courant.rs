//! Courant number of the gas solver, as an argument: `0.8`.

use crate::rig::settings::USUAL_COURANT;
use crate::units::{Dimension, parse};

/// Smallest Courant number accepted [-]: below it a map takes hours and gains nothing.
const SMALLEST: f64 = 0.05;
/// Largest Courant number that is stable [-].
const LARGEST: f64 = 1.0;

/// Reads a Courant number [-].
///
/// # Errors
/// A sentence when it is not a number, or outside the range.
pub fn courant(text: &str) -> Result<f64, String> {
    let asked = text.trim();
    let number = parse(asked, Dimension::Number)
        .map_err(|error| format!("{error}; a number from {SMALLEST} to {LARGEST} is wanted, as `0.5`"))?;
    if number > LARGEST {
        Err(format!(
            "a Courant number above 1 is unstable: a wave would pass a whole cell in one step; it is from {SMALLEST} to \
             {LARGEST}, {USUAL_COURANT} if you leave it out"
        ))
    } else if number >= SMALLEST {
        Ok(number)
    } else {
        Err(format!("a Courant number is from {SMALLEST} to {LARGEST}, not `{asked}`; a smaller one is slower"))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_courant_number_is_a_plain_number() {
        for (text, number) in [("0.8", 0.8), ("1", 1.0), ("1/2", 0.5), (" 0.05 ", 0.05)] {
            assert!((courant(text).unwrap() - number).abs() < 1e-15, "{text}");
        }
        for text in ["", "fast", "nan", "inf", "0.8 mm", "0,8"] {
            assert!(courant(text).unwrap_err().contains("from 0.05 to 1"), "{text}");
        }
    }

    #[test]
    fn an_unstable_or_too_small_courant_number_is_refused() {
        for text in ["1.01", "2", "1e9"] {
            assert!(courant(text).unwrap_err().starts_with("a Courant number above 1 is unstable: "), "{text}");
        }
        for text in ["0.049", "0", "-0.5"] {
            assert!(courant(text).unwrap_err().contains("from 0.05 to 1"), "{text}");
        }
    }
}
