//! A throttle opening or another share, as people write it: `1/8`, `12.5 %` or `0.125`.

use crate::units::{Dimension, parse};

/// Reads a number as a plain decimal, a fraction or a percentage [-].
///
/// # Errors
/// A sentence when the text is none of the three, or not finite.
pub fn number(text: &str) -> Result<f64, String> {
    let text = text.trim();
    parse(text, Dimension::Share).map_err(|error| {
        format!("{error}: `{text}` is not a fraction (`1/8`), a percentage (`12.5 %`) or a decimal (`0.125`)")
    })
}

/// Reads a share from 0 to 1 [-].
///
/// # Errors
/// A sentence when it is not a number or outside the range.
pub fn share(text: &str) -> Result<f64, String> {
    let value = number(text)?;
    if (0.0..=1.0).contains(&value) { Ok(value) } else { Err(format!("`{}` is not from 0 to 1", text.trim())) }
}

/// Reads a throttle opening, slide lift over bore, above 0 and up to 1 [-].
///
/// # Errors
/// A sentence when it is not a number or outside the range.
pub fn throttle(text: &str) -> Result<f64, String> {
    let value = number(text)?;
    if value > 0.0 && value <= 1.0 {
        return Ok(value);
    }
    let hint = if value > 1.0 && value <= 100.0 { format!("; did you mean `{value} %`?") } else { String::new() };
    Err(format!("a throttle is above 0 (shut) and at most 1 (full), not `{}`{hint}", text.trim()))
}

/// Reads a list of throttle openings, separated by commas; returns it rising.
///
/// # Errors
/// A sentence for an empty list, a bad entry, or one throttle given twice.
pub fn throttles(text: &str) -> Result<Vec<f64>, String> {
    rising(text, throttle)
}

/// Reads entries separated by commas with `one`, and sorts them.
pub(super) fn rising(text: &str, one: impl Fn(&str) -> Result<f64, String>) -> Result<Vec<f64>, String> {
    if text.trim().is_empty() {
        return Err("the list is empty".to_owned());
    }
    let mut values = text.split(',').map(one).collect::<Result<Vec<f64>, String>>()?;
    values.sort_by(f64::total_cmp);
    match values.windows(2).find(|pair| pair[1] - pair[0] <= 1e-9 * pair[1]) {
        Some(pair) => Err(format!("`{}` is given twice", pair[1])),
        None => Ok(values),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_fraction_a_percentage_and_a_decimal_are_the_same_opening() {
        for text in ["1/8", " 1/8 ", "12.5 %", "12.5%", "0.125", ".125"] {
            assert_eq!(throttle(text), Ok(0.125), "{text}");
        }
    }

    #[test]
    fn a_throttle_that_is_shut_or_beyond_full_is_refused() {
        for text in ["0", "-1/8", "1.01", "101 %", "9/8", "0/5"] {
            assert!(throttle(text).unwrap_err().contains("above 0 (shut) and at most 1 (full)"), "{text}");
        }
        assert!(throttle("12.5").unwrap_err().ends_with("did you mean `12.5 %`?"));
    }

    #[test]
    fn what_is_not_a_number_is_refused_with_the_ways_to_write_one() {
        for text in ["", "half", "nan", "inf", "1/0", "0/0", "1/2/4", "1e999", "%", "/", "50 % %"] {
            assert!(throttle(text).unwrap_err().contains("`12.5 %`"), "{text}");
        }
    }

    #[test]
    fn a_list_comes_back_rising() {
        assert_eq!(throttles("1, 1/4,50 %"), Ok(vec![0.25, 0.5, 1.0]));
    }

    #[test]
    fn an_empty_list_a_gap_or_a_repetition_is_refused() {
        assert!(throttles(" ").unwrap_err().contains("empty"));
        assert!(throttles("1/4,,1").is_err());
        assert!(throttles("1/4,25 %,1").unwrap_err().contains("`0.25` is given twice"));
    }

    #[test]
    fn a_share_includes_both_its_ends() {
        assert_eq!(share("0"), Ok(0.0));
        assert_eq!(share("100 %"), Ok(1.0));
        assert!(share("1.5").unwrap_err().contains("from 0 to 1"));
    }
}
