//! Air-fuel ratio over throttle and speed.
//!
//! Each point of the grid is a cell of equal size, so that small openings are as easy to read as large ones.

use super::PlotError;
use super::axis::Tick;
use super::canvas::{Canvas, Rect};
use super::colour::{FAINT_INK, INK, PAPER};
use super::contour::Field;
use super::heat_cell::{self, Sample};
use super::heat_scale;
use super::panel::{LABEL, NOTE, NUMBER, headline};
use super::text::Lettering;
use crate::study::fraction::{fraction, percent};
use crate::study::in_grid::in_grid;
use crate::study::map::{Grid, MapResult};
use crate::study::verdict::Verdict;

/// Size of the picture [px].
const SIZE: (usize, usize) = (1600, 1100);
/// Openings that get a mark before any other.
const MARKS: [f64; 9] = [0.0625, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875, 1.0];

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn afr_heat_map(map: &MapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(SIZE.0, SIZE.1)?;
    let sheet = Sheet { area: Rect::new(150.0, 184.0, 1370.0, 866.0), grid: &map.grid };
    let beneath = format!(
        "fresh dry air over fresh fuel trapped in the cylinder; stoichiometric {:.2}; {}{}{}",
        map.stoichiometric,
        map.standing(),
        if map.interrupted { "; stopped before the end" } else { "" },
        if sheet.thinning() == (1, 1) { "" } else { "; triangles at some points only" }
    );
    headline(&mut canvas, &format!("Air-fuel ratio (AFR) over throttle and speed: {}", map.name), &beneath)?;
    if sheet.is_empty() {
        canvas.text(sheet.area.middle(), "the grid holds no points", Lettering::new(LABEL).middle())?;
    } else {
        sheet.cells(&mut canvas, map)?;
        sheet.wanted(&mut canvas, map)?;
        sheet.axes(&mut canvas)?;
    }
    let stoichiometric = if map.stoichiometric.is_finite() { map.stoichiometric.clamp(0.1, 1e3) } else { 14.6 };
    heat_scale::draw(&mut canvas, Rect::new(1436.0, 254.0, 1472.0, 816.0), stoichiometric)?;
    legend(&mut canvas)?;
    canvas.finish(&format!("AFR map: {}", map.name), &format!("bellmouth {}", map.version))
}

/// The field of cells on the sheet.
struct Sheet<'a> {
    area: Rect,
    grid: &'a Grid,
}

impl Sheet<'_> {
    fn is_empty(&self) -> bool {
        self.grid.throttles.is_empty() || self.grid.speeds.is_empty()
    }

    /// Place of a position in columns and rows, the middle of the first cell at 0, 0.
    fn place(&self, column: f64, row: f64) -> (f64, f64) {
        let (columns, rows) = (self.grid.throttles.len() as f64, self.grid.speeds.len() as f64);
        let x = self.area.left + (column + 0.5) / columns * self.area.width();
        (x, self.area.bottom - (row + 0.5) / rows * self.area.height())
    }

    fn cell(&self, column: usize, row: usize) -> Rect {
        let (column, row) = (column as f64, row as f64);
        let (from, to) = (self.place(column - 0.5, row - 0.5), self.place(column + 0.5, row + 0.5));
        Rect::new(from.0, to.1, to.0, from.1)
    }

    /// Every how many columns and rows a cell gets a mark: all of them while a mark has room.
    fn thinning(&self) -> (usize, usize) {
        let every = |room: f64, count: usize| {
            let size = room / count.max(1) as f64;
            if size >= 11.0 { 1 } else { (22.0 / size).ceil() as usize }
        };
        (every(self.area.width(), self.grid.throttles.len()), every(self.area.height(), self.grid.speeds.len()))
    }

    /// Grounds, iso-lines, then words on top.
    fn cells(&self, canvas: &mut Canvas, map: &MapResult) -> Result<(), PlotError> {
        let rows = self.grid.speeds.len();
        let places: Vec<_> =
            in_grid(map).into_iter().enumerate().map(|(i, p)| (self.cell(i / rows, i % rows), p)).collect();
        for (cell, point) in &places {
            heat_cell::draw_ground(canvas, *cell, *point)?;
        }
        let afr = |p: Option<&crate::study::point::PointResult>| {
            p.filter(|p| p.converged).and_then(|p| p.afr).filter(|a| a.is_finite())
        };
        let values = places.iter().map(|(_, p)| afr(*p)).collect();
        let field = Field { columns: self.grid.throttles.len(), rows: self.grid.speeds.len(), values };
        let labels = self.iso_lines(canvas, &field)?;
        let thin = self.thinning();
        for (i, (cell, point)) in places.iter().enumerate() {
            let kept = (i / rows).is_multiple_of(thin.0) && (i % rows).is_multiple_of(thin.1);
            if let Some(point) = point.filter(|_| kept) {
                heat_cell::draw_words(canvas, *cell, point, Verdict::of_point(map, point))?;
            }
        }
        for (box_, label) in labels {
            canvas.fill(box_, PAPER)?;
            canvas.outline(box_, 1.0, INK)?;
            canvas.text(box_.middle(), &label, Lettering::new(17.0).middle())?;
        }
        canvas.outline(self.area, 2.0, INK)
    }

    /// Lines of equal AFR; returns their labels with the places kept free for them.
    fn iso_lines(&self, canvas: &mut Canvas, field: &Field) -> Result<Vec<(Rect, String)>, PlotError> {
        let mut labels: Vec<(Rect, String)> = Vec::new();
        for (level, decimals) in levels(field) {
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

    /// Strip above the cells with the wanted AFR by range of throttle.
    fn wanted(&self, canvas: &mut Canvas, map: &MapResult) -> Result<(), PlotError> {
        let (top, bottom) = (132.0, 174.0);
        canvas.text((self.area.left - 12.0, 146.0), "wanted", Lettering::new(NOTE).end())?;
        canvas.text((self.area.left - 12.0, 168.0), "AFR", Lettering::new(NOTE).end())?;
        let bands: Vec<_> = self.grid.throttles.iter().map(|t| map.target(*t)).collect();
        let mut start = 0;
        for run in bands.chunk_by(|a, b| a == b) {
            let end = start + run.len();
            let (left, right) = (self.cell(start, 0).left + 3.0, self.cell(end - 1, 0).right - 3.0);
            start = end;
            let box_ = Rect::new(left, top, right, bottom);
            canvas.outline(box_, 1.0, FAINT_INK)?;
            let (low, high) = match run[0] {
                Some(b) => (b.lambda_rich * map.stoichiometric, b.lambda_lean * map.stoichiometric),
                None => continue,
            };
            let text = format!("{} to {}", heat_cell::afr_text(low), heat_cell::afr_text(high));
            for size in [24.0, 20.0, 16.0, 13.0] {
                let look = Lettering::new(size).middle();
                if look.width(&text)? <= box_.width() - 8.0 {
                    canvas.text(box_.middle(), &text, look)?;
                    break;
                }
            }
        }
        Ok(())
    }

    fn axes(&self, canvas: &mut Canvas) -> Result<(), PlotError> {
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
        let title = "throttle: slide lift over bore, as a fraction and in per cent";
        canvas.text((self.area.middle().0, self.area.bottom + 86.0), title, Lettering::new(LABEL).middle())?;
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

/// Levels of the iso-lines with their decimals: whole numbers where they suffice, between AFR 6 and 30.
fn levels(field: &Field) -> Vec<(f64, usize)> {
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for value in field.values.iter().flatten() {
        low = low.min(value.clamp(8.0, 18.0));
        high = high.max(value.clamp(8.0, 18.0));
    }
    if high - low < 0.2 {
        return Vec::new();
    }
    let step = if high - low < 2.5 {
        0.5
    } else if high - low < 9.0 {
        1.0
    } else {
        2.0
    };
    let decimals = usize::from(step < 1.0);
    let first = (low / step).ceil() as i32;
    let last = (high / step).floor() as i32;
    (first..=last).map(|i| (f64::from(i) * step, decimals)).collect()
}

/// What the marks mean, along the bottom of the sheet.
fn legend(canvas: &mut Canvas) -> Result<(), PlotError> {
    let rows = [
        [
            (Sample::Lean, "leaner than wanted, by this share of the lean edge"),
            (Sample::Rich, "richer than wanted, by this share of the rich edge"),
        ],
        [(Sample::Within, "no mark: wanted mixture, or none stated"), (Sample::IsoLine, "line of equal AFR")],
        [(Sample::Crossed, "crossed: did not converge, do not rely on it"), (Sample::Absent, "slanted: not computed")],
    ];
    for (i, row) in rows.iter().enumerate() {
        let y = 996.0 + 41.0 * i as f64;
        for (j, (sample, word)) in row.iter().enumerate() {
            let left = 150.0 + 700.0 * j as f64;
            heat_cell::sample(canvas, *sample, (left, y), 62.0)?;
            canvas.text((left + 76.0, y), word, Lettering::new(NOTE))?;
        }
    }
    Ok(())
}
