//! Colour scale of the mixture map: AFR on one side, lambda on the other.

use super::PlotError;
use super::axis::{Axis, plain};
use super::canvas::{Canvas, Rect};
use super::colour::{Colour, INK, ramp};
use super::panel::{LABEL, NOTE, NUMBER};
use super::text::Lettering;

/// Lambda at the dark end [-].
const LOW: f64 = 0.75;
/// Lambda at the bright end [-]. The range is the same for every map, so that two maps can be laid side by side.
const HIGH: f64 = 1.15;

/// Colour of a lambda [-]; beyond the ends the colour of the end.
#[must_use]
pub fn colour(lambda: f64) -> Colour {
    ramp((lambda - LOW) / (HIGH - LOW))
}

/// The bar with its numbers.
///
/// # Errors
/// Drawing failed.
pub fn draw(canvas: &mut Canvas, bar: Rect, stoichiometric: f64) -> Result<(), PlotError> {
    let steps = bar.height().round().max(1.0);
    for i in 0..steps as usize {
        let share = 1.0 - (i as f64 + 0.5) / steps;
        let y = bar.top + i as f64;
        canvas.fill(Rect::new(bar.left, y, bar.right, y + 1.0), ramp(share))?;
    }
    let (middle, _) = bar.middle();
    let point = 16.0;
    canvas.polygon(&[(bar.left, bar.top), (bar.right, bar.top), (middle, bar.top - point)], ramp(1.0))?;
    canvas.polygon(&[(bar.left, bar.bottom), (bar.right, bar.bottom), (middle, bar.bottom + point)], ramp(0.0))?;
    let sides = [
        ((bar.left, bar.top), (bar.left, bar.bottom)),
        ((bar.right, bar.top), (bar.right, bar.bottom)),
        ((bar.left, bar.top), (middle, bar.top - point)),
        ((middle, bar.top - point), (bar.right, bar.top)),
        ((bar.left, bar.bottom), (middle, bar.bottom + point)),
        ((middle, bar.bottom + point), (bar.right, bar.bottom)),
    ];
    for (from, to) in sides {
        canvas.line(from, to, 1.8, INK)?;
    }
    let y = |lambda: f64| bar.bottom - (lambda - LOW) / (HIGH - LOW) * bar.height();
    for tick in Axis::new(LOW * stoichiometric, HIGH * stoichiometric).ticks(8) {
        let y = y(tick.at / stoichiometric);
        canvas.level(bar.left - 7.0, bar.left, y, 2.0, INK)?;
        canvas.text((bar.left - 12.0, y), &tick.label, Lettering::new(NUMBER).end())?;
    }
    for tick in Axis::new(LOW, HIGH).ticks(9) {
        let y = y(tick.at);
        canvas.level(bar.right, bar.right + 7.0, y, 2.0, INK)?;
        canvas.text((bar.right + 12.0, y), &plain(tick.at, 2), Lettering::new(NUMBER))?;
    }
    let head = bar.top - 40.0;
    canvas.text((bar.left - 8.0, head), "AFR", Lettering::new(LABEL).end())?;
    canvas.text((bar.right + 8.0, head), "lambda", Lettering::new(LABEL))?;
    canvas.text((middle, head - 34.0), "leaner", Lettering::new(NOTE).middle())?;
    canvas.text((middle, bar.bottom + 40.0), "richer", Lettering::new(NOTE).middle())
}
