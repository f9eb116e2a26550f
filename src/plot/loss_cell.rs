//! One cell of the map of torque given away: ground, share, and on which side of the best mixture it is.

use super::PlotError;
use super::axis::Axis;
use super::canvas::{Canvas, Rect};
use super::colour::{Colour, DOUBT, INK, PAPER, ink_on, ramp};
use super::heat_cell::{crossed, haloed, slanted, triangle};
use super::panel::{LABEL, NOTE, NUMBER};
use super::text::Lettering;
use crate::study::point::PointResult;

/// Share at the dark end of the scale [-]; the same for every map, so that two can be laid side by side.
pub const MOST: f64 = 0.15;
/// Share below which a cell gets no mark [-]: what rounds to nothing.
const NOTHING: f64 = 0.005;

/// What a cell says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Loss {
    /// Share of the torque given away [-], and whether the mixture is leaner than the best.
    Share(f64, bool),
    /// No mixture gives brake torque.
    NoPull,
    /// The charge did not burn.
    NoFire,
    /// The point gave no number.
    Failed,
}

impl Loss {
    /// What `point` says.
    #[must_use]
    pub fn of(point: &PointResult) -> Self {
        let finite = |x: Option<f64>| x.filter(|x| x.is_finite());
        if point.torque_nm.is_none() {
            return Self::Failed;
        }
        if !point.fired {
            return Self::NoFire;
        }
        match (finite(point.torque_lost), finite(point.trapped_lambda).zip(finite(point.lambda_of_best))) {
            (Some(share), Some((own, best))) => Self::Share(share, own > best),
            (Some(share), None) => Self::Share(share, false),
            (None, _) => Self::NoPull,
        }
    }

    /// The share [-], if there is one.
    #[must_use]
    pub fn share(self) -> Option<f64> {
        if let Self::Share(share, _) = self { Some(share) } else { None }
    }
}

/// Colour of a share [-]: bright where nothing is given away.
#[must_use]
pub fn colour(share: f64) -> Colour {
    ramp(1.0 - share / MOST)
}

fn ground(point: &PointResult) -> Colour {
    if point.converged { Loss::of(point).share().map_or(PAPER, colour) } else { DOUBT }
}

/// The ground and what marks it as not converged or absent.
///
/// # Errors
/// Drawing failed.
pub fn draw_ground(canvas: &mut Canvas, cell: Rect, point: Option<&PointResult>) -> Result<(), PlotError> {
    canvas.fill(cell, point.map_or(PAPER, ground))?;
    match point {
        None => slanted(canvas, cell),
        Some(point) if !point.converged => crossed(canvas, cell),
        Some(_) => Ok(()),
    }
}

/// Share in per cent: one decimal below ten, `>100` where the mixture leaves no brake torque at all.
#[must_use]
pub fn percent_text(share: f64) -> String {
    let percent = 100.0 * share;
    if percent.abs() < 9.95 {
        format!("{percent:.1}")
    } else if percent < 100.0 {
        format!("{percent:.0}")
    } else {
        ">100".to_owned()
    }
}

/// Number and mark.
///
/// # Errors
/// Drawing failed.
pub fn draw_words(canvas: &mut Canvas, cell: Rect, point: &PointResult) -> Result<(), PlotError> {
    let loss = Loss::of(point);
    let ground = ground(point);
    let ink = ink_on(ground);
    let (x, y) = cell.middle();
    let word = match loss {
        Loss::Share(share, _) if point.converged => percent_text(share),
        Loss::Share(share, _) => format!("({})", percent_text(share)),
        Loss::NoPull => "no pull".to_owned(),
        Loss::NoFire => "no fire".to_owned(),
        Loss::Failed => String::new(),
    };
    let numbers = loss.share().is_some();
    let size = (cell.width() / 3.1).min(cell.height() / 1.35).min(if numbers { 26.0 } else { 18.0 });
    let look = Lettering::new(size).middle().coloured(ink);
    let fits = size >= 11.0 && look.width(&word)? <= cell.width() - 4.0;
    let side = match loss {
        Loss::Share(share, lean) if share >= NOTHING => Some(lean),
        _ => None,
    };
    let tall = cell.height() >= 48.0;
    if fits {
        let up = if tall && side.is_some() { 11.0 } else { 0.0 };
        haloed(canvas, (x, y - up), &word, look, ground)?;
    } else if !numbers && !word.is_empty() {
        // Too small for its word: an empty cell with a dash.
        let half = 0.25 * cell.width().min(cell.height());
        canvas.line((x - half, y), (x + half, y), 2.0, INK)?;
    }
    let Some(lean) = side else { return Ok(()) };
    if fits && tall {
        let look = Lettering::new(17.0).coloured(ink);
        triangle(canvas, (x - 9.0, y + 16.0), 6.5, lean, ink)?;
        haloed(canvas, (x + 3.0, y + 16.0), if lean { "L" } else { "R" }, look, ground)
    } else {
        let r = (0.16 * cell.width().min(cell.height())).clamp(4.0, 6.0);
        let at = if fits { (cell.right - r - 3.0, cell.top + r + 3.0) } else { (x, y) };
        triangle(canvas, at, r, lean, ink)
    }
}

/// The scale: a bar from nothing, at the top, to [`MOST`], with a point for more.
///
/// # Errors
/// Drawing failed.
pub fn scale(canvas: &mut Canvas, bar: Rect) -> Result<(), PlotError> {
    let steps = bar.height().round().max(1.0);
    for i in 0..steps as usize {
        let y = bar.top + i as f64;
        canvas.fill(Rect::new(bar.left, y, bar.right, y + 1.0), colour((i as f64 + 0.5) / steps * MOST))?;
    }
    let (middle, _) = bar.middle();
    let tip = (middle, bar.bottom + 16.0);
    canvas.polygon(&[(bar.left, bar.bottom), (bar.right, bar.bottom), tip], colour(MOST))?;
    let sides = [
        ((bar.left, bar.top), (bar.right, bar.top)),
        ((bar.left, bar.top), (bar.left, bar.bottom)),
        ((bar.right, bar.top), (bar.right, bar.bottom)),
        ((bar.left, bar.bottom), tip),
        (tip, (bar.right, bar.bottom)),
    ];
    for (from, to) in sides {
        canvas.line(from, to, 1.8, INK)?;
    }
    for tick in Axis::new(0.0, 100.0 * MOST).ticks(8) {
        let y = bar.top + 0.01 * tick.at / MOST * bar.height();
        canvas.level(bar.right, bar.right + 7.0, y, 2.0, INK)?;
        canvas.text((bar.right + 12.0, y), &format!("{} %", tick.label), Lettering::new(NUMBER))?;
    }
    canvas.text((middle, bar.top - 40.0), "loss", Lettering::new(LABEL).middle())?;
    canvas.text((middle, bar.bottom + 40.0), "more", Lettering::new(NOTE).middle())
}
