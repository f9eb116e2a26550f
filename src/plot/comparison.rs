//! Charts on one sheet: computed curves over exact points, with the source in the caption.
//!
//! A line style or a mark goes with each colour. Text that would have to be cut is refused.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::chart::{LEGEND_PITCH, RIGHT};
use super::colour::FAINT_INK;
use super::panel::{NOTE, TITLE};
use super::text::{Lettering, whole, wrapped};

pub use super::chart::{Chart, Scale};
pub use super::series::{Kind, Series};

/// A sheet of charts.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// Title.
    pub title: String,
    /// Set-up and source; broken into lines.
    pub caption: String,
    /// Charts in rows; up to three in a row.
    pub rows: Vec<Vec<Chart>>,
    /// Height of a chart's frame [px].
    pub height: f64,
}

/// Distance of caption lines [px].
const CAPTION_PITCH: f64 = 29.0;
/// Room above a legend for the heading, beneath a frame for the axis [px].
const HEADING: f64 = 52.0;
const AXIS: f64 = 100.0;
/// Edge of the sheet [px].
const EDGE: f64 = 28.0;

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// No chart, more than three in a row, a chart without a number, text wider than its room; drawing or coding failed.
pub fn comparison(sheet: &Comparison) -> Result<Vec<u8>, PlotError> {
    let columns = sheet.rows.iter().map(Vec::len).max().unwrap_or(0);
    if columns == 0 || columns > 3 || sheet.rows.iter().any(Vec::is_empty) {
        return Err(PlotError::Drawing("a sheet has one to three charts in each of its rows".to_owned()));
    }
    let width = if columns == 3 { 2100.0 } else { 1600.0 };
    let note = Lettering::new(NOTE).coloured(FAINT_INK);
    let caption = wrapped(&sheet.caption, note, width - 80.0)?;
    let left =
        sheet.rows.iter().flatten().map(|c| c.left(sheet.height)).try_fold(0.0, |a, b| b.map(|b| f64::max(a, b)))?;
    let room = |count: usize| (width - 2.0 * EDGE) / count as f64 - left - RIGHT;
    let mut lines = Vec::new();
    for row in &sheet.rows {
        let needs = row.iter().map(|c| c.legend(room(row.len())));
        lines.push(needs.collect::<Result<Vec<_>, _>>()?.iter().map(Vec::len).max().unwrap_or(0));
    }
    let head = 92.0 + CAPTION_PITCH * caption.len() as f64;
    let above = |lines: usize| HEADING + LEGEND_PITCH * lines as f64;
    let height: f64 = head + lines.iter().map(|n| above(*n) + sheet.height + AXIS).sum::<f64>() + 8.0;
    let mut canvas = Canvas::new(width as usize, height as usize)?;
    let title = Lettering::new(TITLE);
    canvas.text((40.0, 46.0), &whole(&sheet.title, title, width - 80.0)?, title)?;
    for (i, line) in caption.iter().enumerate() {
        canvas.text((40.0, 92.0 + CAPTION_PITCH * i as f64), line, note)?;
    }
    let mut top = head;
    for (row, lines) in sheet.rows.iter().zip(lines) {
        let room = room(row.len());
        for (i, chart) in row.iter().enumerate() {
            let start = EDGE + left + i as f64 * (left + room + RIGHT);
            let frame = top + above(lines);
            chart.draw(&mut canvas, Rect::new(start, frame, start + room, frame + sheet.height), top + 20.0)?;
        }
        top += above(lines) + sheet.height + AXIS;
    }
    canvas.finish(&sheet.title, &format!("bellmouth {}", env!("CARGO_PKG_VERSION")))
}
