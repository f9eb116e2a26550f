//! The AFR axis of line charts and the wanted band on it.

use super::PlotError;
use super::axis::Axis;
use super::canvas::{Canvas, Rect};
use super::panel::Panel;
use crate::setup::targets::TargetBand;
use crate::study::map::MapResult;

/// Lowest and highest AFR that an axis shows, about what a spark can light; what lies beyond is marked at the edge and left to
/// the table [-].
const SHOWN: (f64, f64) = (9.0, 18.0);

/// Axis around the AFR of the points at chosen throttles and wanted bands.
#[must_use]
pub fn afr_axis(map: &MapResult, at: impl Fn(f64) -> bool, bands: &[TargetBand]) -> Axis {
    let points = map.points.iter().filter(|p| at(p.throttle)).filter_map(|p| p.afr);
    let bands = bands.iter().flat_map(|t| [t.lambda_rich, t.lambda_lean]).map(|l| l * map.stoichiometric);
    let shown = points.chain(bands).filter(|a| a.is_finite()).map(|a| a.clamp(SHOWN.0, SHOWN.1));
    let values: Vec<f64> = shown.collect();
    if values.is_empty() { Axis::new(10.0, 18.0) } else { Axis::around(values.into_iter(), 3.0) }
}

/// Rectangles of the wanted bands on a panel whose bottom axis is the throttle.
#[must_use]
pub fn band_rects(map: &MapResult, panel: &Panel) -> Vec<Rect> {
    let rect = |t: &TargetBand| {
        let afr = (t.lambda_rich * map.stoichiometric, t.lambda_lean * map.stoichiometric);
        panel.rect((t.throttle_from, t.throttle_to), afr)
    };
    map.targets.iter().map(rect).filter(|r| r.width() > 0.0 && r.height() > 0.0).collect()
}

/// The same axis in lambda, at the right.
///
/// # Errors
/// Drawing failed.
pub fn lambda_axis(canvas: &mut Canvas, panel: &Panel, map: &MapResult) -> Result<(), PlotError> {
    if !(map.stoichiometric.is_finite() && map.stoichiometric > 0.0) {
        return Ok(());
    }
    let axis = Axis::new(panel.y.low / map.stoichiometric, panel.y.high / map.stoichiometric);
    let ticks = axis.ticks((panel.area.height() / 45.0) as usize);
    panel.right_axis(canvas, axis, &ticks, &["lambda [-]"], 92.0)
}
