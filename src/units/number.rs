//! Numbers as the trade writes them: decimals, fractions, and a whole with a fraction.

use super::QuantityError;

/// Longest number accepted [characters].
pub const LONGEST_NUMBER: usize = 40;

/// Splits `text` into the number at its front and the rest, without blanks around either.
///
/// Accepts `38`, `-3.5`, `1e-3`, `3/32`, `2 1/2`. The rest is the unit, not looked at here.
///
/// # Errors
/// No number, a comma for a point, a zero below the line, more than [`LONGEST_NUMBER`] characters, not finite.
pub fn leading(text: &str) -> Result<(f64, &str), QuantityError> {
    let text = text.trim();
    let end = extent(text);
    let (number, rest) = text.split_at(end);
    let number = number.trim_end();
    if number.len() > LONGEST_NUMBER {
        return Err(QuantityError::TooLong);
    }
    if rest.starts_with(',') {
        return Err(QuantityError::Comma);
    }
    if number.is_empty() {
        return Err(if names_infinity(text) { QuantityError::NotFinite } else { QuantityError::NoNumber });
    }
    let value = value(number)?;
    if value.is_finite() { Ok((value, rest.trim())) } else { Err(QuantityError::NotFinite) }
}

/// Bytes of `text` that belong to the number.
fn extent(text: &str) -> usize {
    let bytes = text.as_bytes();
    let first = plain(bytes, 0, true);
    if bytes.get(first) == Some(&b'/') {
        return plain(bytes, first + 1, false);
    }
    let blank = first + bytes[first..].iter().take_while(|b| **b == b' ').count();
    if blank > first {
        let numerator = plain(bytes, blank, false);
        if numerator > blank && bytes.get(numerator) == Some(&b'/') {
            return plain(bytes, numerator + 1, false);
        }
    }
    first
}

/// End of one plain number that starts at `from`.
fn plain(bytes: &[u8], from: usize, signed: bool) -> usize {
    let mut i = from;
    if signed && matches!(bytes.get(i), Some(b'+' | b'-')) {
        i += 1;
    }
    let digits = i;
    while matches!(bytes.get(i), Some(b'0'..=b'9' | b'.')) {
        i += 1;
    }
    if i == digits {
        return from;
    }
    if matches!(bytes.get(i), Some(b'e' | b'E')) {
        let mut j = i + 1;
        if matches!(bytes.get(j), Some(b'+' | b'-')) {
            j += 1;
        }
        if matches!(bytes.get(j), Some(b'0'..=b'9')) {
            while matches!(bytes.get(j), Some(b'0'..=b'9')) {
                j += 1;
            }
            i = j;
        }
    }
    i
}

fn value(number: &str) -> Result<f64, QuantityError> {
    let Some((left, below)) = number.split_once('/') else { return decimal(number) };
    let (whole, above) = match left.rsplit_once(' ') {
        Some((whole, above)) => (Some(whole.trim()), above),
        None => (None, left),
    };
    let below = decimal(below)?;
    if below <= 0.0 {
        return Err(QuantityError::ZeroBelow);
    }
    let part = decimal(above)? / below;
    Ok(match whole {
        None => part,
        Some(whole) if whole.starts_with('-') => decimal(whole)? - part,
        Some(whole) => decimal(whole)? + part,
    })
}

fn decimal(text: &str) -> Result<f64, QuantityError> {
    text.parse().map_err(|_| QuantityError::NoNumber)
}

fn names_infinity(text: &str) -> bool {
    let word = text.trim_start_matches(['+', '-']).to_ascii_lowercase();
    word.starts_with("inf") || word.starts_with("nan")
}
/// `value` with `decimals`, never `-0`; by powers of ten from a million, and `-` if it does not exist.
#[must_use]
pub fn rounded(value: Option<f64>, decimals: usize) -> String {
    let Some(value) = value.filter(|v| v.is_finite()) else { return "-".to_owned() };
    if value.abs() >= 1e6 {
        return format!("{value:.2e}");
    }
    let text = format!("{value:.decimals$}");
    if text.chars().any(|c| ('1'..='9').contains(&c)) { text } else { text.replace('-', "") }
}
