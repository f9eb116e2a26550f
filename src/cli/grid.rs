//! The grid of a map: what was asked for, or the usual one.

use crate::hardware::engine::Engine;
use crate::study::map::Grid;

/// Most points in one map.
pub const POINT_LIMIT: usize = 1_000_000;
/// A map of more points than this gets a note.
pub const MANY_POINTS: usize = 10_000;
/// Speeds of the usual grid.
const SPEEDS: usize = 12;
/// Throttles of the usual grid [slide lift over bore]: sixteenths, close together where the circuits hand over.
const THROTTLES: [f64; 14] =
    [0.0625, 0.093_75, 0.125, 0.1875, 0.25, 0.3125, 0.375, 0.4375, 0.5, 0.625, 0.75, 0.875, 0.9375, 1.0];

/// Builds the grid; what was not asked for is taken from the usual one.
///
/// # Errors
/// A sentence when there are too many points.
pub fn build(throttles: Option<Vec<f64>>, speeds: Option<Vec<f64>>, engine: &Engine) -> Result<Grid, String> {
    let throttles = throttles.unwrap_or_else(|| THROTTLES.to_vec());
    let speeds = speeds.unwrap_or_else(|| usual_speeds(engine.idle_rpm, engine.highest_rpm));
    let points = throttles.len().saturating_mul(speeds.len());
    if points > POINT_LIMIT {
        return Err(format!("{points} points were asked for; one map has at most {POINT_LIMIT}"));
    }
    Ok(Grid { throttles, speeds })
}

/// Twelve speeds, evenly from the idle speed rounded to 100 rpm up to the highest, each rounded to 10 rpm.
fn usual_speeds(idle: f64, highest: f64) -> Vec<f64> {
    let from = ((idle / 100.0).round() * 100.0).min(highest);
    let step = (highest - from) / (SPEEDS - 1) as f64;
    let mut speeds: Vec<f64> =
        (0..SPEEDS - 1).map(|k| ((from + k as f64 * step) / 10.0).round() * 10.0).chain([highest]).collect();
    speeds.dedup_by(|a, b| *a <= *b);
    speeds
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_throttles_are_fourteen_and_end_at_full() {
        assert!(THROTTLES.windows(2).all(|pair| pair[0] < pair[1]));
        assert!(THROTTLES.iter().all(|t| (t * 32.0).fract().abs() < 1e-12), "all are thirty-seconds");
        assert!((THROTTLES[13] - 1.0).abs() < 1e-12);
    }

    #[test]
    fn the_usual_speeds_are_twelve_from_idle_to_the_highest() {
        let speeds = usual_speeds(1180.0, 7000.0);
        assert_eq!(speeds.len(), 12);
        assert_eq!((speeds[0].to_string(), speeds[11].to_string()), ("1200".to_owned(), "7000".to_owned()));
        assert!(speeds.windows(2).all(|pair| (500.0..=560.0).contains(&(pair[1] - pair[0]))));
    }

    #[test]
    fn an_engine_with_no_range_of_speeds_gets_one_speed() {
        assert_eq!(usual_speeds(1000.0, 1000.0), vec![1000.0]);
    }
}
