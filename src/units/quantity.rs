//! A quantity: text to value and back.

use thiserror::Error;

use super::Dimension;
use super::number::{LONGEST_NUMBER, leading};
use super::table::find;

/// Why a text is not the quantity wanted.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum QuantityError {
    /// Nothing that starts like a number.
    #[error("no number at its start")]
    NoNumber,
    /// A comma where a point belongs.
    #[error("a comma in the number")]
    Comma,
    /// A fraction over zero.
    #[error("a fraction over zero")]
    ZeroBelow,
    /// More characters than a number needs.
    #[error("more than {LONGEST_NUMBER} characters in one number")]
    TooLong,
    /// Infinite, not a number, or too large for the machine.
    #[error("not a finite number")]
    NotFinite,
    /// A number alone.
    #[error("a number without a unit")]
    NoUnit,
    /// A unit nobody knows.
    #[error("unknown unit `{0}`")]
    UnknownUnit(String),
    /// A unit of something else.
    #[error("`{unit}` is a unit of {}", .of.word())]
    OtherDimension {
        /// The unit as written.
        unit: String,
        /// What it measures.
        of: Dimension,
    },
}

/// Value of `text` in the unit kept inside (SI; rev/min; turns).
///
/// ```
/// use bellmouth::units::{Dimension, parse};
/// assert!((parse("3/32 in", Dimension::Length).unwrap() - 2.381_25e-3).abs() < 1e-12);
/// assert!(parse("38", Dimension::Length).is_err());
/// ```
///
/// # Errors
/// Whatever keeps the text from being a finite quantity of `dimension`.
pub fn parse(text: &str, dimension: Dimension) -> Result<f64, QuantityError> {
    let (number, unit) = leading(text)?;
    let found = find(unit, dimension);
    let kept = match found {
        Some(u) if u.dimension == dimension => (u.to_kept)(number),
        _ if unit.is_empty() => return Err(QuantityError::NoUnit),
        Some(u) => return Err(QuantityError::OtherDimension { unit: unit.into(), of: u.dimension }),
        None => return Err(QuantityError::UnknownUnit(unit.into())),
    };
    if kept.is_finite() { Ok(kept) } else { Err(QuantityError::NotFinite) }
}

/// `kept` written in the unit spelled `unit`, in the fewest digits that read back as the same number of that unit.
///
/// A unit that is not of `dimension` gives the value in the unit kept inside.
#[must_use]
pub fn format(kept: f64, dimension: Dimension, unit: &str) -> String {
    match find(unit, dimension) {
        Some(u) if u.dimension == dimension => join(&(u.from_kept)(kept).to_string(), u.name()),
        _ => join(&kept.to_string(), dimension.kept_in()),
    }
}

/// `kept` written in the unit spelled `unit`, rounded to four significant digits for reading.
#[must_use]
pub fn significant(kept: f64, dimension: Dimension, unit: &str) -> String {
    match find(unit, dimension) {
        Some(u) if u.dimension == dimension => join(&rounded((u.from_kept)(kept)), u.name()),
        _ => join(&rounded(kept), dimension.kept_in()),
    }
}

/// Four significant digits, trailing zeros dropped.
fn rounded(value: f64) -> String {
    if value.abs() < 1e-12 || !value.is_finite() {
        return if value.is_finite() { "0".into() } else { "-".into() };
    }
    if value.abs() >= 1e7 || value.abs() < 1e-5 {
        return format!("{value:.3e}");
    }
    let place = libm::floor(libm::log10(value.abs())) as i32;
    let decimals = usize::try_from(3 - place).unwrap_or(0).min(12);
    let text = format!("{value:.decimals$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_string() } else { text }
}

fn join(number: &str, unit: &str) -> String {
    match unit {
        "" | "-" => number.to_string(),
        ":1" => format!("{number}:1"),
        _ => format!("{number} {unit}"),
    }
}
