//! The sheet of a heat map: cells of equal size over throttle and speed, their axes, lines of equal value.

use super::PlotError;
use super::axis::Tick;
use super::canvas::{Canvas, Rect};
use super::colour::{FAINT_INK, INK, PAPER};
use super::contour::Field;
use super::panel::{LABEL, NOTE, NUMBER};
use super::text::Lettering;
use crate::study::fraction::{fraction, percent};
use crate::study::map::Grid;

/// Openings that get a mark before any other.
const MARKS: [f64; 9] = [0.0625, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0];

/// The field of cells on the sheet.
#[derive(Debug, Clone, Copy)]
pub struct Sheet<'a> {
    /// Where the cells are.
    pub area: Rect,
    /// The grid.
    pub grid: &'a Grid,
}

impl<'a> Sheet<'a> {
    /// The sheet of `grid` at its usual place.
    #[must_use]
    pub fn of(grid: &'a Grid) -> Self {
        Self { area: Rect::new(150.0, 184.0, 1370.0, 866.0), grid }
    }

    /// Whether there is no cell.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.grid.throttles.is_empty() || self.grid.speeds.is_empty()
    }

    /// Place of a position in columns and rows, the middle of the first cell at 0, 0.
    #[must_use]
    pub fn place(&self, column: f64, row: f64) -> (f64, f64) {
        let (columns, rows) = (self.grid.throttles.len() as f64, self.grid.speeds.len() as f64);
        let x = self.area.left + (column + 0.5) / columns * self.area.width();
        (x, self.area.bottom - (row + 0.5) / rows * self.area.height())
    }

    /// The cell of a column and a row.
    #[must_use]
    pub fn cell(&self, column: usize, row: usize) -> Rect {
        let (column, row) = (column as f64, row as f64);
        let (from, to) = (self.place(column - 0.5, row - 0.5), self.place(column + 0.5, row + 0.5));
        Rect::new(from.0, to.1, to.0, from.1)
    }

    /// Every how many columns and rows a cell gets a mark: all of them while a mark has room.
    #[must_use]
    pub fn thinning(&self) -> (usize, usize) {
        let every = |room: f64, count: usize| {
            let size = room / count.max(1) as f64;
            if size >= 11.0 { 1 } else { (22.0 / size).ceil() as usize }
        };
        (every(self.area.width(), self.grid.throttles.len()), every(self.area.height(), self.grid.speeds.len()))
    }

    /// Lines of equal value at `levels`, given with their decimals; returns their labels with the places kept free for them.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn iso_lines(
        &self,
        canvas: &mut Canvas,
        field: &Field,
        levels: &[(f64, usize)],
    ) -> Result<Vec<(Rect, String)>, PlotError> {
        let mut labels: Vec<(Rect, String)> = Vec::new();
        for &(level, decimals) in levels {
            let pieces = field.iso_line(level);
            for (width, colour) in [(4.4, PAPER), (2.2, INK)] {
                for (from, to) in &pieces {
                    canvas.line(self.place(from.0, from.1), self.place(to.0, to.1), width, colour)?;
                }
            }
            let text = format!("{level:.decimals$}");
            // near the corner of four cells, away from their numbers
            let from_corner = |m: (f64, f64)| (m.0.fract() - 0.5).abs() + 1.5 * (m.1.fract() - 0.5).abs();
            let mut middles: Vec<((f64, f64), f64)> = pieces
                .iter()
                .map(|(a, b)| (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1)))
                .map(|m| (m, from_corner(m)))
                .collect();
            middles.sort_by(|a, b| a.1.total_cmp(&b.1));
            let half = (0.5 * Lettering::new(17.0).width(&text)? + 5.0, 11.0);
            let mut set: Vec<Rect> = Vec::new();
            for (middle, far) in middles {
                let (x, y) = self.place(middle.0, middle.1);
                let free = Rect::new(x - half.0, y - half.1, x + half.0, y + half.1);
                let apart = set.iter().all(|s| (s.middle().0 - x).abs().max((s.middle().1 - y).abs()) > 420.0);
                let wide = free.inset(-4.0);
                let inside = free.top > self.area.top + 2.0 && free.bottom < self.area.bottom - 2.0;
                let open = inside && labels.iter().all(|(taken, _)| !taken.meets(&wide));
                if apart && open && (set.is_empty() || (far < 0.45 && set.len() < 3)) {
                    set.push(free);
                }
            }
            labels.extend(set.into_iter().map(|s| (s, text.clone())));
        }
        Ok(labels)
    }

    /// Labels of the iso-lines and the frame, over everything else.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn labels(&self, canvas: &mut Canvas, labels: Vec<(Rect, String)>) -> Result<(), PlotError> {
        for (box_, label) in labels {
            canvas.fill(box_, PAPER)?;
            canvas.outline(box_, 1.0, INK)?;
            canvas.text(box_.middle(), &label, Lettering::new(17.0).middle())?;
        }
        canvas.outline(self.area, 2.0, INK)
    }

    /// Marks and titles along the bottom, which has the title `throttle`, and the left.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn axes(&self, canvas: &mut Canvas, throttle: &str) -> Result<(), PlotError> {
        let look = Lettering::new(NUMBER).middle();
        let second = Lettering::new(NOTE - 2.0).middle().coloured(FAINT_INK);
        let mut taken: Vec<(f64, f64)> = Vec::new();
        for tick in throttle_marks(&self.grid.throttles) {
            let x = self.place(tick.at, 0.0).0;
            let half = 0.5 * look.width(&tick.label)?.max(second.width(&tick.below)?) + 4.0;
            if taken.iter().any(|t| x - half < t.1 && t.0 < x + half) {
                continue;
            }
            taken.push((x - half, x + half));
            canvas.upright(x, self.area.bottom, self.area.bottom + 7.0, 2.0, INK)?;
            canvas.text((x, self.area.bottom + 24.0), &tick.label, look)?;
            canvas.text((x, self.area.bottom + 50.0), &tick.below, second)?;
        }
        canvas.text((self.area.middle().0, self.area.bottom + 86.0), throttle, Lettering::new(LABEL).middle())?;
        let mut above = f64::INFINITY;
        for (row, rpm) in self.grid.speeds.iter().enumerate() {
            let y = self.place(0.0, row as f64).1;
            if above - y >= 24.0 {
                above = y;
                canvas.level(self.area.left - 7.0, self.area.left, y, 2.0, INK)?;
                canvas.text((self.area.left - 13.0, y), &format!("{rpm:.0}"), Lettering::new(NUMBER).end())?;
            }
        }
        let at = (36.0, self.area.middle().1);
        canvas.text(at, "speed [rpm]", Lettering::new(LABEL).middle().upwards())
    }
}

/// Marks along the throttle in columns of the grid, the sixteenths and eighths of the trade first.
fn throttle_marks(throttles: &[f64]) -> Vec<Tick> {
    let column = |wanted: f64| {
        throttles.windows(2).enumerate().find(|(_, w)| wanted >= w[0] - 1e-9 && wanted <= w[1] + 1e-9).map(|(i, w)| {
            let width = w[1] - w[0];
            i as f64 + if width > 1e-12 { ((wanted - w[0]) / width).clamp(0.0, 1.0) } else { 0.0 }
        })
    };
    let tick = |at: f64, throttle: f64| {
        let per_cent = percent(throttle);
        match fraction(throttle) {
            Some(label) => Tick { at, label, below: per_cent },
            None => Tick { at, label: per_cent, below: String::new() },
        }
    };
    let marks = MARKS.into_iter().filter_map(|m| column(m).map(|at| tick(at, m)));
    let rest = throttles.iter().enumerate().map(|(i, t)| tick(i as f64, *t));
    marks.chain(rest).collect()
}
