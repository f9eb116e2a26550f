//! One cell of the mixture map: ground, number, and how far it is from the wanted mixture.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{Colour, DOUBT, FAINT_INK, INK, PAPER, ink_on};
use super::heat_scale;
use super::text::{Align, Lettering};
use crate::study::point::PointResult;
use crate::study::verdict::Verdict;

/// Ground of a point: the colour of its lambda if it converged and has fuel.
fn ground(point: Option<&PointResult>) -> Colour {
    match point {
        Some(point) if !point.converged => DOUBT,
        Some(point) => point.lambda.filter(|l| l.is_finite()).map_or(PAPER, heat_scale::colour),
        None => PAPER,
    }
}

/// AFR with one decimal, whole above 100, `>999` beyond.
#[must_use]
pub fn afr_text(afr: f64) -> String {
    if afr.abs() < 99.95 {
        format!("{afr:.1}")
    } else if afr < 999.5 {
        format!("{afr:.0}")
    } else {
        ">999".to_owned()
    }
}

/// The ground and what marks it as not converged or absent; goes under the iso-lines.
///
/// # Errors
/// Drawing failed.
pub fn draw_ground(canvas: &mut Canvas, cell: Rect, point: Option<&PointResult>) -> Result<(), PlotError> {
    canvas.fill(cell, ground(point))?;
    match point {
        None => slanted(canvas, cell),
        Some(point) if !point.converged => crossed(canvas, cell),
        Some(_) => Ok(()),
    }
}

/// Both diagonals: not converged.
///
/// # Errors
/// Drawing failed.
pub fn crossed(canvas: &mut Canvas, cell: Rect) -> Result<(), PlotError> {
    let c = cell.inset(2.0);
    canvas.line((c.left, c.top), (c.right, c.bottom), 1.8, FAINT_INK)?;
    canvas.line((c.left, c.bottom), (c.right, c.top), 1.8, FAINT_INK)
}

/// Slanting lines: the point was not reached.
///
/// # Errors
/// Drawing failed.
pub fn slanted(canvas: &mut Canvas, cell: Rect) -> Result<(), PlotError> {
    canvas.clip = Some(cell.inset(1.0));
    let pitch = 11.0;
    let mut along = -cell.height();
    while along < cell.width() {
        let from = (cell.left + along, cell.bottom);
        canvas.line(from, (from.0 + cell.height(), cell.top), 1.2, FAINT_INK)?;
        along += pitch;
    }
    canvas.clip = None;
    Ok(())
}

/// Number and mark, over the iso-lines.
///
/// # Errors
/// Drawing failed.
pub fn draw_words(canvas: &mut Canvas, cell: Rect, point: &PointResult, verdict: Verdict) -> Result<(), PlotError> {
    let ground = ground(Some(point));
    let ink = ink_on(ground);
    let (x, y) = cell.middle();
    let off = match verdict {
        // What rounds to nothing gets no mark.
        Verdict::Leaner(by) if by >= 0.005 => Some((true, by)),
        Verdict::Richer(by) if by >= 0.005 => Some((false, by)),
        _ => None,
    };
    let size = (cell.width() / 3.1).min(cell.height() / 1.35).min(26.0);
    let word = match point.afr.filter(|a| a.is_finite()) {
        Some(afr) if point.converged => afr_text(afr),
        Some(afr) => format!("({})", afr_text(afr)),
        None if point.converged => "no fuel".to_owned(),
        None => String::new(),
    };
    let look = Lettering::new(size).middle().coloured(ink);
    let fits = size >= 13.0 && look.width(&word)? <= cell.width() - 4.0;
    let second = cell.height() >= 48.0 && cell.width() >= 62.0;
    if !fits {
        let small = Lettering::new((size * 0.7).min(17.0)).middle().coloured(ink);
        if word == "no fuel" && small.size >= 11.0 && small.width(&word)? <= cell.width() - 4.0 {
            haloed(canvas, (x, y), &word, small, ground)?;
        }
    } else if second && off.is_some() {
        haloed(canvas, (x, y - 11.0), &word, look, ground)?;
    } else {
        haloed(canvas, (x, y), &word, look, ground)?;
    }
    let Some((lean, by)) = off else { return Ok(()) };
    if second {
        let letter = if lean { "L" } else { "R" };
        let percent = match by {
            _ if point.converged && !point.fired => "no fire".to_owned(),
            by if by < 9.995 => format!("{letter} {:.0} %", 100.0 * by),
            _ => format!("{letter} >999 %"),
        };
        let look = Lettering::new(17.0).coloured(ink);
        let width = look.width(&percent)?;
        let left = x - 0.5 * (width + 18.0);
        triangle(canvas, (left + 6.0, y + 16.0), 6.5, lean, ink)?;
        haloed(canvas, (left + 18.0, y + 16.0), &percent, look, ground)
    } else {
        let r = (0.16 * cell.width().min(cell.height())).clamp(4.0, 6.0);
        let at = if fits { (cell.right - r - 3.0, cell.top + r + 3.0) } else { (x, y) };
        triangle(canvas, at, r, lean, ink)
    }
}

/// Text on a plate in the colour of the ground, which interrupts an iso-line, so that both can be read.
///
/// # Errors
/// Drawing failed.
pub fn haloed(
    canvas: &mut Canvas,
    (x, y): (f64, f64),
    text: &str,
    look: Lettering,
    ground: Colour,
) -> Result<(), PlotError> {
    let width = look.width(text)?;
    let left = if look.align == Align::Middle { x - 0.5 * width } else { x };
    let up = 0.5 * look.capital() + 3.0;
    canvas.fill(Rect::new(left - 3.0, y - up, left + width + 3.0, y + up), ground)?;
    canvas.text((x, y), text, look)
}

/// Point up: leaner than wanted. Point down: richer.
///
/// # Errors
/// Drawing failed.
pub fn triangle(canvas: &mut Canvas, at: (f64, f64), r: f64, up: bool, colour: Colour) -> Result<(), PlotError> {
    let s = if up { -r } else { r };
    canvas.polygon(&[(at.0, at.1 + s), (at.0 - 1.1 * r, at.1 - 0.8 * s), (at.0 + 1.1 * r, at.1 - 0.8 * s)], colour)
}

/// Samples for the legend.
#[derive(Debug, Clone, Copy)]
pub enum Sample {
    /// Leaner than wanted.
    Lean,
    /// Richer than wanted.
    Rich,
    /// Within the band.
    Within,
    /// Not converged.
    Crossed,
    /// Not reached.
    Absent,
    /// Line of equal AFR.
    IsoLine,
}

/// Draw a sample of `width` by about 36 px at a place; its middle height is y.
///
/// # Errors
/// Drawing failed.
pub fn sample(canvas: &mut Canvas, sample: Sample, (left, y): (f64, f64), width: f64) -> Result<(), PlotError> {
    let cell = Rect::new(left, y - 17.0, left + width, y + 17.0);
    let (x, _) = cell.middle();
    let mark = |canvas: &mut Canvas, lean: bool, letter: &str| {
        triangle(canvas, (x - 12.0, y), 7.5, lean, INK)?;
        canvas.text((x + 2.0, y), letter, Lettering::new(20.0))
    };
    match sample {
        Sample::Lean => mark(canvas, true, "L")?,
        Sample::Rich => mark(canvas, false, "R")?,
        Sample::Within => {
            canvas.fill(cell, heat_scale::colour(0.92))?;
            let ink = ink_on(heat_scale::colour(0.92));
            canvas.text((x, y), "13.4", Lettering::new(20.0).middle().coloured(ink))?;
        }
        Sample::Crossed => {
            canvas.fill(cell, DOUBT)?;
            crossed(canvas, cell)?;
        }
        Sample::Absent => slanted(canvas, cell)?,
        Sample::IsoLine => {
            canvas.line((cell.left + 4.0, y), (cell.right - 4.0, y), 5.0, PAPER)?;
            canvas.line((cell.left + 4.0, y), (cell.right - 4.0, y), 2.4, INK)?;
            return Ok(());
        }
    }
    canvas.outline(cell, 1.0, FAINT_INK)
}
