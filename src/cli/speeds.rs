//! Engine speeds, as people write them: `1500,3000,6000` or `1500 to 6500 by 500`.

use super::grid::POINT_LIMIT;
use super::opening::rising;
use crate::units::{Dimension, parse};

/// Lowest speed accepted [rpm]: below it a cycle takes over a second and no engine runs.
pub const LOWEST_RPM: f64 = 100.0;
/// Highest speed accepted [rpm].
pub const HIGHEST_RPM: f64 = 30_000.0;

/// Reads a speed [rpm].
///
/// # Errors
/// A sentence when it is not a number or outside the range.
pub fn speed(text: &str) -> Result<f64, String> {
    let text = text.trim();
    let value = text.parse().ok().or_else(|| parse(text, Dimension::Speed).ok());
    let value: f64 = value.ok_or_else(|| {
        format!("`{text}` is not a speed in rpm: write a number from {LOWEST_RPM} to {HIGHEST_RPM}, as `4500`")
    })?;
    if (LOWEST_RPM..=HIGHEST_RPM).contains(&value) {
        Ok(value)
    } else {
        Err(format!("a speed is from {LOWEST_RPM} to {HIGHEST_RPM} rpm, as `4500`, not `{text}`"))
    }
}

/// Reads a list of speeds [rpm], separated by commas, or a range with its step; returns it rising. The upper end
/// belongs to the range when a step lands on it.
///
/// # Errors
/// A sentence for an empty list, a bad entry, a speed given twice, or a range that does not rise.
pub fn speeds(text: &str) -> Result<Vec<f64>, String> {
    match text.split_once("to") {
        None => rising(text, speed),
        Some((from, rest)) => {
            let (to, step) = rest.split_once("by").ok_or("a range needs its step: `1500 to 6500 by 500`")?;
            range(speed(from)?, speed(to)?, step)
        }
    }
}

/// A note when a speed is so far above the set-up's highest one that it is hardly meant.
#[must_use]
pub fn far_beyond(speeds: &[f64], highest: f64) -> Option<String> {
    let fastest = speeds.iter().copied().fold(0.0, f64::max);
    (fastest > 2.0 * highest)
        .then(|| format!("note: {fastest} rpm is more than twice the set-up's highest speed, {highest} rpm"))
}

fn range(from: f64, to: f64, step: &str) -> Result<Vec<f64>, String> {
    let step: f64 = step
        .trim()
        .parse()
        .ok()
        .filter(|step| *step > 0.0)
        .ok_or_else(|| format!("a step is a speed above 0 rpm, not `{}`", step.trim()))?;
    if from > to {
        return Err(format!("the range falls from {from} to {to} rpm"));
    }
    let steps = ((to - from) / step + 1e-9).floor();
    if steps >= POINT_LIMIT as f64 {
        return Err(format!("the range has more than {POINT_LIMIT} speeds"));
    }
    Ok((0..=steps as usize).map(|k| from + k as f64 * step).collect())
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_list_comes_back_rising() {
        assert_eq!(speeds("6000,1500 rpm, 3000"), Ok(vec![1500.0, 3000.0, 6000.0]));
    }

    #[test]
    fn a_range_includes_the_end_that_a_step_lands_on() {
        assert_eq!(speeds("1500 to 3000 by 500"), Ok(vec![1500.0, 2000.0, 2500.0, 3000.0]));
        assert_eq!(speeds("1500to2900by500"), Ok(vec![1500.0, 2000.0, 2500.0]));
        assert_eq!(speeds("1500 to 1500 by 1"), Ok(vec![1500.0]));
        assert_eq!(speeds("1000 to 1001 by 0.1").unwrap().len(), 11);
    }

    #[test]
    fn a_range_that_falls_or_has_no_useful_step_is_refused() {
        for text in
            ["6000 to 1500 by 500", "1500 to 6000", "1500 to 6000 by 0", "1500 to 6000 by -5", "1500 to 6000 by nan"]
        {
            assert!(speeds(text).is_err(), "{text}");
        }
        assert!(speeds("100 to 30000 by 1e-9").unwrap_err().contains("more than 1000000 speeds"));
    }

    #[test]
    fn a_speed_above_twice_the_highest_gets_a_note() {
        assert_eq!(far_beyond(&[3000.0, 13_000.0], 6500.0), None);
        assert!(far_beyond(&[3000.0, 13_001.0], 6500.0).unwrap().contains("13001 rpm"));
    }

    #[test]
    fn speeds_that_no_engine_turns_are_refused() {
        for text in ["", "0", "-3000", "99", "30001", "nan", "inf", "1e9", "fast", "3000,3000", "3000,,4000"] {
            assert!(speeds(text).is_err(), "{text}");
        }
    }
}
