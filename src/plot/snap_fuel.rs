//! The fuel of a snap: needed and trapped, missing and squirted, on the walls.

use super::PlotError;
use super::axis::Axis;
use super::canvas::Canvas;
use super::curve::Mark;
use super::legend::{Sample, column};
use super::panel::headline;
use super::snap_panel::{Figure, LEGEND, axis, beneath, curves, framed, look, points, shown, time, wanted};
use crate::study::snap::result::SnapResult;

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn snap_fuel(r: &SnapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1680, 1500)?;
    headline(&mut canvas, &format!("Fuel while the throttle is snapped open: {}", r.name), &beneath(r))?;
    charge(&mut canvas, r)?;
    squirt(&mut canvas, r)?;
    film(&mut canvas, r)?;
    canvas.finish(&format!("Fuel of a snap: {}", r.name), &format!("bellmouth {}", r.version))
}

/// What the charge needs, what the circuits meter, what is trapped.
fn charge(canvas: &mut Canvas, r: &SnapResult) -> Result<(), PlotError> {
    let all = shown(r);
    let x = time(&all);
    let (needed, metered, trapped): (Figure, Figure, Figure) =
        (|c| Some(c.needed_mg), |c| Some(c.metered_mg), |c| Some(c.fuel_mg));
    let y = axis(&all, &[needed, metered, trapped], 5.0);
    let y = Axis::new(0.0, y.high);
    let panel = framed(canvas, (130.0, 590.0), (x, y), &["fuel per cycle [mg]"], &r.without)?;
    let line = look(1, &[3.0, 6.0], Mark::Up);
    wanted().draw(canvas, &panel, &points(&r.without, needed))?;
    line.draw(canvas, &panel, &points(&r.without, metered))?;
    let mut entries = vec![
        (Sample::Curve(wanted()), "needed, no pump".to_owned()),
        (Sample::Curve(line), "metered, no pump".to_owned()),
        (Sample::Heading, "trapped:".to_owned()),
    ];
    entries.extend(curves(canvas, &panel, &all, trapped)?);
    let notes = ["metered in a cycle is", "trapped at the beginning", "of the next one; shaded:", "lean hole, no pump"];
    entries.extend(notes.map(|n| (Sample::Note, n.to_owned())));
    column(canvas, (LEGEND.0, 150.0), LEGEND.1, &entries)?;
    Ok(())
}

/// What the pump gives against what is missing without it.
fn squirt(canvas: &mut Canvas, r: &SnapResult) -> Result<(), PlotError> {
    let all = shown(r);
    let x = time(&all);
    let missing: Figure = |c| Some((c.needed_mg - c.fuel_mg).max(0.0));
    let squirt: Figure = |c| Some(c.squirt_mg);
    let low = axis(&all[..1], &[missing], 2.0);
    let high = axis(&all[1..], &[squirt], 2.0).high.max(low.high);
    let panel = framed(canvas, (650.0, 1000.0), (x, Axis::new(0.0, high)), &["fuel per cycle [mg]"], &r.without)?;
    wanted().draw(canvas, &panel, &points(&r.without, missing))?;
    let mut entries = vec![(Sample::Curve(wanted()), "missing, no pump".to_owned())];
    if all.len() > 1 {
        entries.push((Sample::Heading, "squirt:".to_owned()));
        entries.extend(curves(canvas, &panel, &all[1..], squirt)?);
    }
    column(canvas, (LEGEND.0, 670.0), LEGEND.1, &entries)?;
    Ok(())
}

fn film(canvas: &mut Canvas, r: &SnapResult) -> Result<(), PlotError> {
    let all = shown(r);
    let x = time(&all);
    let film: Figure = |c| Some(c.film_mg);
    let y = axis(&all, &[film], 10.0);
    let panel = framed(canvas, (1060.0, 1400.0), (x, Axis::new(0.0, y.high)), &["film on the walls [mg]"], &r.without)?;
    let mut entries = curves(canvas, &panel, &all, film)?;
    entries.extend(["at the end of", "the cycle"].map(|n| (Sample::Note, n.to_owned())));
    column(canvas, (LEGEND.0, 1080.0), LEGEND.1, &entries)?;
    panel.bottom_axis(canvas, &x.ticks(12), "time after the throttle begins to open [s]")
}
