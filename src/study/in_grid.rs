//! The points of a map laid on its grid.

use super::map::MapResult;
use super::point::PointResult;

/// For each throttle, for each speed, the point there, if it was reached.
///
/// One pass while the points stand in the order of the grid, as they should; a search for each place otherwise.
#[must_use]
pub fn in_grid(map: &MapResult) -> Vec<Option<&PointResult>> {
    let grid = &map.grid;
    let places = || grid.throttles.iter().flat_map(|t| grid.speeds.iter().map(move |s| (*t, *s)));
    let mut points = map.points.iter().peekable();
    let on = |p: &PointResult, t: f64, s: f64| (p.throttle - t).abs() < 1e-9 && (p.rpm - s).abs() < 1e-6;
    let laid: Vec<_> = places().map(|(t, s)| points.next_if(|p| on(p, t, s))).collect();
    if points.peek().is_none() { laid } else { places().map(|(t, s)| map.at(t, s)).collect() }
}
