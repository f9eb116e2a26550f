//! Legends: a sample and a word for each curve or mark.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{BAND, BAND_EDGE, Colour, FAINT_INK, INK};
use super::curve::{Look, cross};
use super::panel::{LABEL, NOTE};
use super::text::Lettering;

/// What stands in front of a word.
#[derive(Debug, Clone, Copy)]
pub enum Sample {
    /// A curve.
    Curve(Look),
    /// Area of the wanted mixture.
    Band,
    /// Cross of a point that did not converge.
    Cross,
    /// A filled area.
    Area(Colour),
    /// Nothing: a heading.
    Heading,
    /// Nothing: small text.
    Note,
}

/// Entries beneath each other from a corner [px], each cut to `room` [px]; returns the height below the last.
///
/// # Errors
/// Drawing failed.
pub fn column(
    canvas: &mut Canvas,
    (left, top): (f64, f64),
    room: f64,
    entries: &[(Sample, String)],
) -> Result<f64, PlotError> {
    let length = 62.0;
    let mut y = top;
    let mut after_note = false;
    for (sample, word) in entries {
        let note = matches!(sample, Sample::Note);
        if after_note && !note {
            y += 12.0;
        }
        after_note = note;
        let box_ = Rect::new(left, y - 12.0, left + length, y + 12.0);
        match sample {
            Sample::Curve(look) => look.sample(canvas, (left, y), length)?,
            Sample::Cross => cross(canvas, (left + 0.5 * length, y), INK)?,
            Sample::Area(colour) => canvas.fill(box_, *colour)?,
            Sample::Band => {
                canvas.fill(box_, BAND)?;
                canvas.level(box_.left, box_.right, box_.top, 2.0, BAND_EDGE)?;
                canvas.level(box_.left, box_.right, box_.bottom, 2.0, BAND_EDGE)?;
            }
            Sample::Heading | Sample::Note => {}
        }
        let (look, indent) = match sample {
            Sample::Heading => (Lettering::new(LABEL), 0.0),
            Sample::Note => (Lettering::new(NOTE).coloured(FAINT_INK), 0.0),
            _ => (Lettering::new(LABEL - 2.0), length + 14.0),
        };
        let word = look.fitted(word, room - indent)?;
        canvas.text((left + indent, y), &word, look)?;
        y += if note { 29.0 } else { 40.0 };
    }
    Ok(y)
}
