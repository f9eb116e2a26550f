//! A panel: a frame with an axis along the bottom and one or two at the sides.

use super::PlotError;
use super::axis::{Axis, Tick};
use super::canvas::{Canvas, Rect};
use super::colour::{FAINT_INK, GRID, INK};
use super::text::Lettering;

/// Size of the title of a picture [px].
pub const TITLE: f64 = 34.0;
/// Size of axis titles and legends [px].
pub const LABEL: f64 = 26.0;
/// Size of the numbers at an axis [px].
pub const NUMBER: f64 = 23.0;
/// Size of notes [px].
pub const NOTE: f64 = 21.0;

/// A frame with axes.
#[derive(Debug, Clone, Copy)]
pub struct Panel {
    /// Where curves are drawn.
    pub area: Rect,
    /// Axis along the bottom.
    pub x: Axis,
    /// Axis at the left.
    pub y: Axis,
}

impl Panel {
    /// Place of a pair of numbers [px].
    #[must_use]
    pub fn place(&self, x: f64, y: f64) -> (f64, f64) {
        (self.px(x), self.py(y))
    }

    /// Place along the bottom [px].
    #[must_use]
    pub fn px(&self, x: f64) -> f64 {
        self.area.left + self.x.share(x) * self.area.width()
    }

    /// Height [px].
    #[must_use]
    pub fn py(&self, y: f64) -> f64 {
        self.area.bottom - self.y.share(y) * self.area.height()
    }

    /// Rectangle between two pairs of numbers, held inside the panel.
    #[must_use]
    pub fn rect(&self, x: (f64, f64), y: (f64, f64)) -> Rect {
        let across = |v: f64| self.px(v).clamp(self.area.left, self.area.right);
        let up = |v: f64| self.py(v).clamp(self.area.top, self.area.bottom);
        Rect::new(across(x.0), up(y.1), across(x.1), up(y.0))
    }

    /// Grid lines at the ticks, before anything else is drawn.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn grid(&self, canvas: &mut Canvas, x: &[Tick], y: &[Tick]) -> Result<(), PlotError> {
        for tick in x.iter().filter(|t| self.x.holds(t.at)) {
            canvas.upright(self.px(tick.at), self.area.top, self.area.bottom, 1.0, GRID)?;
        }
        for tick in y.iter().filter(|t| self.y.holds(t.at)) {
            canvas.level(self.area.left, self.area.right, self.py(tick.at), 1.0, GRID)?;
        }
        Ok(())
    }

    /// The frame.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn frame(&self, canvas: &mut Canvas) -> Result<(), PlotError> {
        canvas.outline(self.area, 2.0, INK)
    }

    /// Numbers and title of the left axis; the title stands `out` [px] left of the frame.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn left_axis(&self, canvas: &mut Canvas, ticks: &[Tick], title: &[&str], out: f64) -> Result<(), PlotError> {
        for tick in ticks.iter().filter(|t| self.y.holds(t.at)) {
            let y = self.py(tick.at);
            canvas.level(self.area.left - 7.0, self.area.left, y, 2.0, INK)?;
            canvas.text((self.area.left - 13.0, y), &tick.label, Lettering::new(NUMBER).end())?;
        }
        self.side_title(canvas, title, self.area.left - out)
    }

    /// Numbers and title of a right axis.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn right_axis(
        &self,
        canvas: &mut Canvas,
        axis: Axis,
        ticks: &[Tick],
        title: &[&str],
        out: f64,
    ) -> Result<(), PlotError> {
        let panel = Self { y: axis, ..*self };
        for tick in ticks.iter().filter(|t| axis.holds(t.at)) {
            let y = panel.py(tick.at);
            canvas.level(self.area.right, self.area.right + 7.0, y, 2.0, INK)?;
            canvas.text((self.area.right + 13.0, y), &tick.label, Lettering::new(NUMBER))?;
        }
        self.side_title(canvas, title, self.area.right + out)
    }

    /// Lines of an upright title, the first one leftmost, around x [px].
    fn side_title(&self, canvas: &mut Canvas, lines: &[&str], x: f64) -> Result<(), PlotError> {
        let pitch = LABEL * 1.25;
        let first = x - 0.5 * pitch * (lines.len() as f64 - 1.0);
        for (i, line) in lines.iter().enumerate() {
            let at = (first + pitch * i as f64, self.area.middle().1);
            canvas.text(at, line, Lettering::new(LABEL).middle().upwards())?;
        }
        Ok(())
    }

    /// Numbers along the bottom, one or two lines; labels that would touch their left neighbour are left out.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn bottom_axis(&self, canvas: &mut Canvas, ticks: &[Tick], title: &str) -> Result<(), PlotError> {
        let look = Lettering::new(NUMBER).middle();
        let second = Lettering::new(NOTE).middle().coloured(FAINT_INK);
        let mut taken = f64::NEG_INFINITY;
        let two = ticks.iter().any(|t| !t.below.is_empty());
        for tick in ticks.iter().filter(|t| self.x.holds(t.at)) {
            let x = self.px(tick.at);
            canvas.upright(x, self.area.bottom, self.area.bottom + 7.0, 2.0, INK)?;
            let half = 0.5 * look.width(&tick.label)?.max(second.width(&tick.below)?) + 4.0;
            if x - half < taken {
                continue;
            }
            taken = x + half;
            canvas.text((x, self.area.bottom + 24.0), &tick.label, look)?;
            canvas.text((x, self.area.bottom + 52.0), &tick.below, second)?;
        }
        let down = if two { 90.0 } else { 62.0 };
        canvas.text((self.area.middle().0, self.area.bottom + down), title, Lettering::new(LABEL).middle())
    }
}

/// Title and the line beneath it, at the top of the sheet.
///
/// # Errors
/// Drawing failed.
pub fn headline(canvas: &mut Canvas, title: &str, beneath: &str) -> Result<(), PlotError> {
    let room = canvas.size().0 - 80.0;
    let (large, small) = (Lettering::new(TITLE), Lettering::new(NOTE).coloured(FAINT_INK));
    let title = large.fitted(title, room)?;
    let beneath = small.fitted(beneath, room)?;
    canvas.text((40.0, 46.0), &title, large)?;
    canvas.text((40.0, 90.0), &beneath, small)
}
