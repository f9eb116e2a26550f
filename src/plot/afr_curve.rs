//! Curves of AFR: converged points joined, others as crosses, and what lies off the scale as arrows at the edge.

use super::PlotError;
use super::canvas::Canvas;
use super::curve::{Look, Mark, cross, mark};
use super::legend::Sample;
use super::panel::Panel;
use crate::study::point::PointResult;

/// Distance of an arrow from the edge [px].
const FROM_EDGE: f64 = 14.0;

/// One curve.
pub struct AfrCurve {
    look: Look,
    converged: Vec<Option<(f64, f64)>>,
    doubtful: Vec<(f64, f64)>,
}

impl AfrCurve {
    /// Through points at places along the bottom axis. Points that are missing or have no AFR break the line.
    #[must_use]
    pub fn through<'a>(look: Look, points: impl Iterator<Item = (f64, Option<&'a PointResult>)>) -> Self {
        let mut curve = Self { look, converged: Vec::new(), doubtful: Vec::new() };
        for (x, point) in points {
            let pair = point.and_then(|p| p.afr).filter(|a| a.is_finite()).map(|afr| (x, afr));
            if point.is_some_and(|p| !p.converged) {
                curve.doubtful.extend(pair);
                curve.converged.push(None);
            } else {
                curve.converged.push(pair);
            }
        }
        curve
    }
}

/// Draw all curves, then the crosses and arrows over them; returns the entries of the legend that explain these.
///
/// # Errors
/// Drawing failed.
pub fn draw(canvas: &mut Canvas, panel: &Panel, curves: &[AfrCurve]) -> Result<Vec<(Sample, String)>, PlotError> {
    for curve in curves {
        curve.look.draw(canvas, panel, &curve.converged)?;
    }
    let (mut crossed, mut beyond) = (false, false);
    for curve in curves {
        for (x, afr) in &curve.doubtful {
            crossed = true;
            let (x, y) = panel.place(*x, *afr);
            let y = y.clamp(panel.area.top + FROM_EDGE, panel.area.bottom - FROM_EDGE);
            cross(canvas, (x, y), curve.look.colour)?;
        }
        for (x, afr) in curve.converged.iter().flatten().filter(|p| !panel.y.holds(p.1)) {
            beyond = true;
            let (y, arrow) = if *afr > panel.y.high {
                (panel.area.top + FROM_EDGE, Mark::Up)
            } else {
                (panel.area.bottom - FROM_EDGE, Mark::Down)
            };
            mark(canvas, (panel.px(*x), y), 9.0, arrow, curve.look.colour)?;
        }
    }
    let mut entries = Vec::new();
    if crossed {
        entries.push((Sample::Cross, "not converged".to_owned()));
    }
    if beyond {
        entries.push((Sample::Note, "triangle at the edge:".to_owned()));
        entries.push((Sample::Note, "off the scale".to_owned()));
    }
    Ok(entries)
}
