//! Cell size of the gas grid, as an argument: `5 mm`.

use crate::units::{Dimension, parse};

/// Smallest cell accepted [m]: below it a map takes days.
const SMALLEST: f64 = 0.001;
/// Largest cell accepted [m]: above it the carburettor is one cell.
const LARGEST: f64 = 0.05;

/// Reads a cell size [m].
///
/// # Errors
/// A sentence when it is not a length with its unit, or outside the range.
pub fn cell_size(text: &str) -> Result<f64, String> {
    let size = parse(text, Dimension::Length).map_err(|error| format!("{error}; a length is wanted, as `5 mm`"))?;
    if (SMALLEST..=LARGEST).contains(&size) {
        Ok(size)
    } else {
        Err(format!("a cell is from 1 mm to 50 mm long, not `{}`", text.trim()))
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_size_is_a_length_with_its_unit() {
        assert!((cell_size("5 mm").unwrap() - 0.005).abs() < 1e-15);
        assert!((cell_size("0.2 in").unwrap() - 0.00508).abs() < 1e-15);
        assert!(cell_size("5").unwrap_err().contains("mm"), "{}", cell_size("5").unwrap_err());
    }

    #[test]
    fn a_cell_too_small_or_too_large_is_refused() {
        for text in ["0 mm", "-5 mm", "0.9 mm", "51 mm", "1 m"] {
            assert!(cell_size(text).unwrap_err().contains("from 1 mm to 50 mm"), "{text}");
        }
    }
}
