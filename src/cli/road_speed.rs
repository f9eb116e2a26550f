//! Road speeds, as people write them: `70 mph`, `110 km/h`.

use crate::units::{Dimension, parse};

/// Highest road speed accepted [m/s]: beyond it no machine of this kind runs.
const HIGHEST: f64 = 150.0;

/// A road speed as it was written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RoadSpeed {
    /// Speed [m/s].
    pub metres_per_second: f64,
    /// Whether it was written in miles per hour.
    pub mph: bool,
}

/// Reads a road speed with its unit.
///
/// # Errors
/// A sentence when it is not a speed above zero, or none that a machine reaches.
pub fn road_speed(text: &str) -> Result<RoadSpeed, String> {
    let text = text.trim();
    let help = "write it with its unit, as `70 mph` or `110 km/h`";
    let value =
        parse(text, Dimension::RoadSpeed).map_err(|error| format!("`{text}` is no road speed: {error}; {help}"))?;
    if value > 0.0 && value <= HIGHEST {
        Ok(RoadSpeed { metres_per_second: value, mph: text.contains("mph") || text.contains("mi") })
    } else {
        Err(format!("a road speed is above 0 and at most {:.0} km/h, not `{text}`; {help}", 3.6 * HIGHEST))
    }
}
