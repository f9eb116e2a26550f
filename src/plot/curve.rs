//! Curves: colour, line style and mark together tell them apart.

use super::PlotError;
use super::canvas::Canvas;
use super::colour::{self, Colour, PAPER};
use super::panel::Panel;

/// Width of a curve [px].
pub const WIDTH: f64 = 3.4;

/// Least distance of marks along a curve [px]; where points lie closer, some go without.
const MARK_PITCH: f64 = 27.0;

/// Form of a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mark {
    /// No mark.
    None,
    /// Filled circle.
    Disc,
    /// Filled square.
    Square,
    /// Triangle, point up.
    Up,
    /// Diamond.
    Diamond,
    /// Triangle, point down.
    Down,
    /// Circle filled white.
    Ring,
    /// Square filled white.
    Box,
    /// Diamond filled white.
    OpenDiamond,
}

/// How a curve looks.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// Colour.
    pub colour: Colour,
    /// Lengths of dash and gap in turn [px]; none for a full line.
    pub dashes: &'static [f64],
    /// Mark at each point.
    pub mark: Mark,
}

const MARKS: [Mark; 8] =
    [Mark::Disc, Mark::Square, Mark::Up, Mark::Diamond, Mark::Down, Mark::Ring, Mark::Box, Mark::OpenDiamond];
const DASHES: [&[f64]; 4] = [&[], &[16.0, 7.0], &[3.0, 8.0], &[18.0, 7.0, 3.0, 7.0]];

impl Look {
    /// Look of curve `index` out of `count`.
    #[must_use]
    pub fn of(index: usize, count: usize) -> Self {
        Self {
            colour: colour::curve(index, count),
            dashes: DASHES[index % DASHES.len()],
            mark: MARKS[index % MARKS.len()],
        }
    }

    /// A full or dashed line without marks.
    #[must_use]
    pub fn line(colour: Colour, dashes: &'static [f64]) -> Self {
        Self { colour, dashes, mark: Mark::None }
    }

    /// Draw a curve; a point that is missing breaks the line, and each piece begins with a mark.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn draw(&self, canvas: &mut Canvas, panel: &Panel, points: &[Option<(f64, f64)>]) -> Result<(), PlotError> {
        canvas.clip = Some(panel.area);
        let places: Vec<_> = points.iter().map(|p| p.map(|(x, y)| panel.place(x, y))).collect();
        for run in places.split(Option::is_none) {
            let run: Vec<_> = run.iter().flatten().copied().collect();
            self.stroke(canvas, &run)?;
        }
        canvas.clip = None;
        let mut last: Option<(f64, f64)> = None;
        for (point, place) in points.iter().zip(&places) {
            let (Some((x, y)), Some(place)) = (point, place) else {
                last = None;
                continue;
            };
            let near = last.is_some_and(|l| (l.0 - place.0).abs().max((l.1 - place.1).abs()) < MARK_PITCH);
            if !near && panel.x.holds(*x) && panel.y.holds(*y) {
                mark(canvas, *place, 8.0, self.mark, self.colour)?;
                last = Some(*place);
            }
        }
        Ok(())
    }

    /// A line through places [px].
    ///
    /// # Errors
    /// Drawing failed.
    pub fn stroke(&self, canvas: &mut Canvas, places: &[(f64, f64)]) -> Result<(), PlotError> {
        self.stroke_wide(canvas, places, WIDTH)
    }

    /// A line through places [px] of another width [px].
    ///
    /// # Errors
    /// Drawing failed.
    pub fn stroke_wide(&self, canvas: &mut Canvas, places: &[(f64, f64)], width: f64) -> Result<(), PlotError> {
        if self.dashes.is_empty() {
            for ends in places.windows(2) {
                canvas.line(ends[0], ends[1], width, self.colour)?;
            }
            return Ok(());
        }
        let (mut part, mut left) = (0, self.dashes[0]);
        for ends in places.windows(2) {
            let (from, to) = (ends[0], ends[1]);
            let length = ((to.0 - from.0) * (to.0 - from.0) + (to.1 - from.1) * (to.1 - from.1)).sqrt();
            if !(length.is_finite() && length < 1e5) {
                canvas.line(from, to, width, self.colour)?;
                continue;
            }
            let at = |s: f64| (from.0 + (to.0 - from.0) * s / length, from.1 + (to.1 - from.1) * s / length);
            let mut done = 0.0;
            while done < length {
                let end = (done + left).min(length);
                if part % 2 == 0 {
                    canvas.line(at(done), at(end), width, self.colour)?;
                }
                left -= end - done;
                done = end;
                if left <= 1e-9 {
                    part = (part + 1) % self.dashes.len();
                    left = self.dashes[part];
                }
            }
        }
        Ok(())
    }

    /// A sample for a legend, from x to x + `length` [px].
    ///
    /// # Errors
    /// Drawing failed.
    pub fn sample(&self, canvas: &mut Canvas, (x, y): (f64, f64), length: f64) -> Result<(), PlotError> {
        self.stroke(canvas, &[(x, y), (x + length, y)])?;
        mark(canvas, (x + 0.5 * length, y), 8.0, self.mark, self.colour)
    }
}

/// One mark of about `r` [px] half size.
///
/// # Errors
/// Drawing failed.
pub fn mark(canvas: &mut Canvas, at: (f64, f64), r: f64, mark: Mark, colour: Colour) -> Result<(), PlotError> {
    let (outer, open) = match mark {
        Mark::None => return Ok(()),
        Mark::Disc | Mark::Ring => {
            canvas.disc(at, r + 1.5, PAPER)?;
            canvas.disc(at, r, colour)?;
            return if mark == Mark::Ring { canvas.disc(at, r - 3.0, PAPER) } else { Ok(()) };
        }
        Mark::Square | Mark::Box => (vec![(-0.9, -0.9), (0.9, -0.9), (0.9, 0.9), (-0.9, 0.9)], mark == Mark::Box),
        Mark::Up => (vec![(0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)], false),
        Mark::Down => (vec![(0.0, 1.2), (1.1, -0.8), (-1.1, -0.8)], false),
        Mark::Diamond | Mark::OpenDiamond => {
            (vec![(0.0, -1.25), (1.25, 0.0), (0.0, 1.25), (-1.25, 0.0)], mark == Mark::OpenDiamond)
        }
    };
    let sized = |k: f64| outer.iter().map(|c: &(f64, f64)| (at.0 + c.0 * k, at.1 + c.1 * k)).collect::<Vec<_>>();
    canvas.polygon(&sized(r + 2.0), PAPER)?;
    canvas.polygon(&sized(r), colour)?;
    if open { canvas.polygon(&sized(r - 3.2), PAPER) } else { Ok(()) }
}

/// An open cross: a point that did not converge.
///
/// # Errors
/// Drawing failed.
pub fn cross(canvas: &mut Canvas, at: (f64, f64), colour: Colour) -> Result<(), PlotError> {
    let r = 9.0;
    for (width, colour) in [(7.0, PAPER), (3.2, colour)] {
        canvas.line((at.0 - r, at.1 - r), (at.0 + r, at.1 + r), width, colour)?;
        canvas.line((at.0 - r, at.1 + r), (at.0 + r, at.1 - r), width, colour)?;
    }
    Ok(())
}
