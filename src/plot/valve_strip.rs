//! When the valves are open, as bars over crank angle, from the lift traces.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{self, Colour, GRID, ink_on};
use super::panel::{NOTE, Panel};
use super::text::Lettering;
use crate::study::cycle::Traces;

/// Lift above which a valve counts as open [m]: a thousandth of a millimetre.
const OPEN: f64 = 1e-6;

/// Colours of the exhaust and the inlet bar.
fn colours() -> [Colour; 2] {
    [colour::tint(colour::curve(2, 6), 0.55), colour::tint(colour::curve(0, 6), 0.65)]
}

/// From where to where a valve is open [degrees].
#[must_use]
pub fn open_spans(crank_deg: &[f64], lift: &[f64]) -> Vec<(f64, f64)> {
    let mut spans: Vec<(f64, f64)> = Vec::new();
    let mut start = None;
    let mut last = 0.0;
    for (angle, lift) in crank_deg.iter().zip(lift).filter(|(a, _)| a.is_finite()) {
        match (start, *lift > OPEN) {
            (None, true) => start = Some(*angle),
            (Some(from), false) => {
                spans.push((from, *angle));
                start = None;
            }
            _ => {}
        }
        last = *angle;
    }
    if let Some(from) = start {
        spans.push((from, last));
    }
    spans
}

/// Spans of the exhaust and the inlet valve.
fn spans(traces: &Traces) -> [Vec<(f64, f64)>; 2] {
    [open_spans(&traces.crank_deg, &traces.exhaust_lift_m), open_spans(&traces.crank_deg, &traces.inlet_lift_m)]
}

/// Two bars with the angles at their ends.
///
/// # Errors
/// Drawing failed.
pub fn draw(canvas: &mut Canvas, panel: &Panel, traces: &Traces) -> Result<(), PlotError> {
    let height = 0.5 * panel.area.height();
    for (row, spans) in spans(traces).iter().enumerate() {
        let top = panel.area.top + row as f64 * height;
        let name = ["exhaust valve open", "inlet valve open"][row];
        canvas.fill(Rect::new(panel.area.left, top + 3.0, panel.area.right, top + height - 3.0), GRID)?;
        let y = top + 0.5 * height;
        for (from, to) in spans {
            let bar = panel.rect((*from, *to), (0.0, 1.0));
            let bar = Rect::new(bar.left, top + 3.0, bar.right, top + height - 3.0);
            canvas.fill(bar, colours()[row])?;
            let ink = ink_on(colours()[row]);
            let text = format!("{name} {from:.0}\u{b0} to {to:.0}\u{b0}");
            let look = Lettering::new(NOTE).middle().coloured(ink);
            if look.width(&text)? <= bar.width() - 8.0 {
                canvas.text(bar.middle(), &text, look)?;
            }
        }
        canvas.text((panel.area.right + 26.0, y), ["exhaust valve", "inlet valve"][row], Lettering::new(NOTE + 2.0))?;
    }
    Ok(())
}

/// Upright lines where a valve opens or shuts: full for the inlet, dotted for the exhaust.
///
/// # Errors
/// Drawing failed.
pub fn events(canvas: &mut Canvas, panel: &Panel, traces: &Traces) -> Result<(), PlotError> {
    for (row, spans) in spans(traces).iter().enumerate() {
        for angle in spans.iter().flat_map(|(a, b)| [*a, *b]).filter(|a| panel.x.holds(*a)) {
            let x = panel.px(angle);
            let colour = if row == 0 { colour::curve(2, 6) } else { colour::curve(0, 6) };
            if row == 1 {
                canvas.upright(x, panel.area.top, panel.area.bottom, 2.0, colour::tint(colour, 0.7))?;
                continue;
            }
            let mut y = panel.area.top;
            while y < panel.area.bottom {
                canvas.upright(x, y, (y + 5.0).min(panel.area.bottom), 2.0, colour::tint(colour, 0.8))?;
                y += 10.0;
            }
        }
    }
    Ok(())
}
