//! A snap cycle by cycle: throttle and speed, air-fuel ratio with the lean hole shaded, torque.

use super::PlotError;
use super::axis::Axis;
use super::canvas::Canvas;
use super::curve::{Mark, cross};
use super::legend::{Sample, column};
use super::panel::headline;
use super::snap_panel::{Figure, LEGEND, axis, beneath, curves, framed, look, points, shade, shown, time, wanted};
use crate::study::snap::result::SnapResult;

/// Leanest ratio over the wanted one that the axis takes [-]; what is leaner is drawn at the edge.
const LEANEST: f64 = 1.9;

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn snap_cycles(r: &SnapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1680, 1500)?;
    headline(&mut canvas, &format!("Throttle snapped open: {}", r.name), &beneath(r))?;
    throttle(&mut canvas, r)?;
    mixture(&mut canvas, r)?;
    torque(&mut canvas, r)?;
    canvas.finish(&format!("Throttle snapped open: {}", r.name), &format!("bellmouth {}", r.version))
}

/// Throttle, and speed where it is not held.
fn throttle(canvas: &mut Canvas, r: &SnapResult) -> Result<(), PlotError> {
    let all = shown(r);
    let x = time(&all);
    let panel = framed(canvas, (130.0, 390.0), (x, Axis::new(0.0, 105.0)), &["throttle [%]"], &r.without)?;
    let line = look(4, &[], Mark::None);
    let open: Figure = |c| Some(100.0 * c.throttle);
    line.draw(canvas, &panel, &points(&r.without, open))?;
    let mut entries = vec![(Sample::Curve(line), "throttle".to_owned())];
    if r.inertia_kg_m2.is_some() {
        let rpm: Figure = |c| Some(c.rpm);
        let right = axis(&all, &[rpm], 100.0);
        panel.right_axis(canvas, right, &right.ticks(5), &["speed [rpm]"], 100.0)?;
        let beside = super::panel::Panel { y: right, ..panel };
        let speeds = curves(canvas, &beside, &all, rpm)?;
        entries.push((Sample::Heading, "speed:".to_owned()));
        entries.extend(speeds);
    }
    entries.push((Sample::Area(shade()), "hole, no pump".to_owned()));
    column(canvas, (LEGEND.0, 150.0), LEGEND.1, &entries)?;
    Ok(())
}

fn mixture(canvas: &mut Canvas, r: &SnapResult) -> Result<(), PlotError> {
    let all = shown(r);
    let x = time(&all);
    let afr: Figure = |c| c.afr.map(|a| a.min(LEANEST * a / c.lambda.unwrap_or(1.0) * c.lambda_wanted));
    let want: Figure = |c| Some(c.air_mg / c.needed_mg);
    let y = axis(&all, &[afr, want], 2.0);
    let panel = framed(canvas, (450.0, 930.0), (x, y), &["air-fuel ratio [-]"], &r.without)?;
    wanted().draw(canvas, &panel, &points(&r.without, want))?;
    let mut entries = curves(canvas, &panel, &all, afr)?;
    entries.push((Sample::Curve(wanted()), "wanted".to_owned()));
    let mut silent = false;
    for s in &all {
        for c in s.run.cycles.iter().filter(|c| !c.fired) {
            silent = true;
            let at = afr(c).unwrap_or(y.high).clamp(y.low, y.high);
            cross(canvas, panel.place(c.time_s, at), s.look.colour)?;
        }
    }
    if silent {
        entries.push((Sample::Cross, "did not fire".to_owned()));
    }
    entries.extend(["trapped when the inlet", "valve shuts"].map(|n| (Sample::Note, n.to_owned())));
    column(canvas, (LEGEND.0, 470.0), LEGEND.1, &entries)?;
    Ok(())
}

fn torque(canvas: &mut Canvas, r: &SnapResult) -> Result<(), PlotError> {
    let all = shown(r);
    let x = time(&all);
    let torque: Figure = |c| Some(c.torque_nm);
    let y = axis(&all, &[torque], 5.0);
    let panel = framed(canvas, (990.0, 1400.0), (x, y), &["torque [N m]"], &r.without)?;
    let mut entries = curves(canvas, &panel, &all, torque)?;
    entries.extend(["brake, mean of", "the cycle"].map(|n| (Sample::Note, n.to_owned())));
    column(canvas, (LEGEND.0, 1010.0), LEGEND.1, &entries)?;
    panel.bottom_axis(canvas, &x.ticks(12), "time after the throttle begins to open [s]")
}
