//! Numbers to draw: what they are, and how that looks.

use super::PlotError;
use super::canvas::Canvas;
use super::colour::{self, FAINT_INK, INK};
use super::curve::{Look, Mark, mark};
use super::panel::Panel;

/// What a series of numbers is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Computed, close together: a line.
    Computed,
    /// Computed at a few places: a line with marks.
    Marked,
    /// Computed at single places: marks without a line.
    Spots,
    /// Exact: open dark marks without a line, thinned where they would touch.
    Exact,
    /// A slope or a level for the eye: a thin dashed line.
    Reference,
}

/// Numbers to draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Name in the legend; none where an earlier series of the chart stands for it.
    pub name: String,
    /// What it is.
    pub kind: Kind,
    /// Colour, line style and mark, from 0; a computed series and the exact one it is held against share it.
    pub look: usize,
    /// Pairs; one that is not finite breaks the line.
    pub points: Vec<(f64, f64)>,
}

impl Series {
    /// From its parts.
    #[must_use]
    pub fn new(name: &str, kind: Kind, look: usize, points: Vec<(f64, f64)>) -> Self {
        Self { name: name.to_owned(), kind, look, points }
    }

    /// Whether its points are joined.
    pub(super) fn lined(&self) -> bool {
        !matches!(self.kind, Kind::Exact | Kind::Spots)
    }

    /// Half size of its marks [px].
    fn size(&self) -> f64 {
        if self.kind == Kind::Exact { 6.5 } else { 10.0 }
    }

    pub(super) fn style(&self) -> Look {
        let usual = Look::of(self.look, 5);
        let open = [Mark::Ring, Mark::Box, Mark::OpenDiamond, Mark::Up, Mark::Down];
        match self.kind {
            Kind::Computed => Look { mark: Mark::None, ..usual },
            Kind::Marked | Kind::Spots => usual,
            Kind::Exact => Look { colour: INK, dashes: &[], mark: open[self.look % open.len()] },
            Kind::Reference => Look::line(colour::tint(INK, 0.55), &[9.0, 7.0]),
        }
    }
}

/// Least distance of two exact marks [px].
const EXACT_PITCH: f64 = 17.0;
/// Length of a sample in a legend [px].
pub const SAMPLE: f64 = 50.0;
/// Look of upright lines.
pub const UPRIGHT: Look = Look { colour: FAINT_INK, dashes: &[3.0, 6.0], mark: Mark::None };

/// What stands in front of a name in a legend, from x on around y [px]; no series stands for the upright lines.
///
/// # Errors
/// Drawing failed.
pub fn sample(canvas: &mut Canvas, (left, y): (f64, f64), series: Option<&Series>) -> Result<(), PlotError> {
    let middle = left + 0.5 * SAMPLE;
    match series {
        Some(series) if series.lined() => series.style().sample(canvas, (left, y), SAMPLE),
        Some(series) => mark(canvas, (middle, y), series.size(), series.style().mark, series.style().colour),
        None => UPRIGHT.stroke(canvas, &[(middle, y + 15.0), (middle, y - 15.0)]),
    }
}

/// Marks inside the frame, exact ones so far apart that they do not cover each other.
///
/// # Errors
/// Drawing failed.
pub fn spots(canvas: &mut Canvas, panel: &Panel, series: &Series) -> Result<(), PlotError> {
    let pitch = if series.kind == Kind::Exact { EXACT_PITCH } else { 0.0 };
    let mut last: Option<(f64, f64)> = None;
    for (x, y) in series.points.iter().filter(|p| panel.x.holds(p.0) && panel.y.holds(p.1)) {
        let place = panel.place(*x, *y);
        let apart = |l: (f64, f64)| (l.0 - place.0).abs().max((l.1 - place.1).abs());
        if last.is_none_or(|l| apart(l) >= pitch) {
            mark(canvas, place, series.size(), series.style().mark, series.style().colour)?;
            last = Some(place);
        }
    }
    Ok(())
}
