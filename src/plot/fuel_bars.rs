//! Share of each circuit in the fuel, as stacked bars over throttle.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{CIRCUITS, INK, ink_on};
use super::panel::{NOTE, Panel};
use super::text::Lettering;
use crate::study::circuit_share::circuit_shares;
use crate::study::point::PointResult;

/// Bars over `throttles`; `points` are those of one speed, in the same order.
///
/// # Errors
/// Drawing failed.
pub fn draw(
    canvas: &mut Canvas,
    panel: &Panel,
    throttles: &[f64],
    points: &[Option<&PointResult>],
) -> Result<(), PlotError> {
    for (i, (throttle, point)) in throttles.iter().zip(points).enumerate() {
        let x = panel.px(*throttle);
        let gap =
            |j: Option<usize>| j.and_then(|j| throttles.get(j)).map_or(f64::INFINITY, |t| (panel.px(*t) - x).abs());
        let room = gap(i.checked_sub(1)).min(gap(Some(i + 1))).min(90.0);
        let half = (0.41 * room).max(1.5);
        let column = Rect::new(
            (x - half).max(panel.area.left),
            panel.area.top,
            (x + half).min(panel.area.right),
            panel.area.bottom,
        );
        match point.filter(|p| p.converged).and_then(circuit_shares) {
            Some(shares) => bar(canvas, panel, column, shares)?,
            None => {
                let look = Lettering::new(NOTE).middle().upwards();
                let word = match point {
                    None => "absent",
                    Some(p) if !p.converged => "not converged",
                    Some(_) => "no fuel",
                };
                if column.width() > NOTE {
                    canvas.text(column.middle(), word, look)?;
                }
            }
        }
    }
    Ok(())
}

/// One bar, the first circuit at the bottom, with per cent where there is room.
fn bar(canvas: &mut Canvas, panel: &Panel, column: Rect, shares: [f64; 3]) -> Result<(), PlotError> {
    let mut below = 0.0;
    for (circuit, share) in shares.into_iter().enumerate() {
        let (low, high) = (panel.py(100.0 * below), panel.py(100.0 * (below + share)));
        below += share;
        if low - high < 0.5 {
            continue;
        }
        let part = Rect::new(column.left, high, column.right, low);
        canvas.fill(part, CIRCUITS[circuit])?;
        pattern(canvas, part, circuit)?;
        let word = format!("{:.0}", 100.0 * share);
        let look = Lettering::new(NOTE).middle().coloured(ink_on(CIRCUITS[circuit]));
        let width = look.width(&word)? + 8.0;
        if width <= part.width() && part.height() > NOTE + 4.0 {
            let (x, y) = part.middle();
            canvas.fill(Rect::new(x - 0.5 * width, y - 13.0, x + 0.5 * width, y + 13.0), CIRCUITS[circuit])?;
            canvas.text((x, y), &word, look)?;
        }
    }
    Ok(())
}

/// Second code beside the colour: the pilot plain, the needle jet with level lines, the starter with upright ones.
///
/// # Errors
/// Drawing failed.
pub fn pattern(canvas: &mut Canvas, part: Rect, circuit: usize) -> Result<(), PlotError> {
    let pitch = 12.0;
    let mut at = pitch * 0.5;
    match circuit {
        1 => {
            while at < part.height() {
                canvas.level(part.left, part.right, part.bottom - at, 1.0, INK)?;
                at += pitch;
            }
        }
        2 => {
            while at < part.width() {
                canvas.upright(part.left + at, part.top, part.bottom, 1.0, INK)?;
                at += pitch;
            }
        }
        _ => {}
    }
    Ok(())
}
