//! What the pilot outlet and the by-pass holes give to the bore and take from it, against throttle.

use super::PlotError;
use super::axis::{Axis, Tick};
use super::canvas::{Canvas, Rect};
use super::colour::{self, FAINT_INK, INK};
use super::curve::{Look, Mark, cross};
use super::legend::{Sample, column};
use super::panel::{LABEL, Panel, headline};
use super::text::Lettering;
use crate::study::fraction::percent;
use crate::study::point::{PilotOpening, PointResult};
use crate::study::steps_result::StepsResult;

/// A number of an opening [g/s].
type Figure = fn(&PilotOpening) -> f64;

/// The picture of the points at `rpm` as the bytes of a PNG file, for the set-up called `name`.
///
/// # Errors
/// Drawing or coding failed.
pub fn bypass_holes(name: &str, steps: &StepsResult, rpm: f64) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1300)?;
    let beneath = "means over the cycle; as fitted; equal ratios of throttle take equal room, so that the first lift of the slide shows";
    headline(&mut canvas, &format!("Pilot outlet and by-pass holes at {rpm:.0} rpm: {name}"), beneath)?;
    let points = steps.fitted_at(rpm);
    let least = points.iter().map(|p| p.throttle).filter(|t| *t > 0.0).fold(1.0, f64::min);
    let x = Axis::new(0.8 * least, 1.1).logarithmic();
    let marks = marks();
    let values = |f: Figure| {
        let all = points.iter().flat_map(|p| &p.pilot_openings);
        all.map(f).filter(|v| v.is_finite()).map(|v| 1e3 * v).collect::<Vec<f64>>()
    };
    let net: Vec<f64> = values(PilotOpening::net).into_iter().chain(values(|o| -o.gas_taken_g_s)).collect();
    let (low, high) = net.iter().fold((0.0_f64, 1.0_f64), |(a, b), v| (a.min(*v), b.max(*v)));
    let low = low.min(-0.12 * high);
    let top = Panel { area: Rect::new(140.0, 130.0, 1180.0, 690.0), x, y: Axis::new(1.4 * low, 1.06 * high) };
    let ticks = top.y.ticks(9);
    top.grid(&mut canvas, &marks, &ticks)?;
    canvas.level(top.area.left, top.area.right, top.py(0.0), 3.0, INK)?;
    for opening in 0..steps.openings.len() {
        let taken = Look { dashes: &[4.0, 7.0], mark: Mark::None, ..look(opening) };
        taken.draw(&mut canvas, &top, &curve(&points, opening, |o| -o.gas_taken_g_s))?;
        look(opening).draw(&mut canvas, &top, &curve(&points, opening, PilotOpening::net))?;
        crosses(&mut canvas, &top, &points, opening, PilotOpening::net)?;
    }
    let word = Lettering::new(LABEL - 2.0).coloured(FAINT_INK);
    let right = top.area.right - 14.0;
    canvas.text((right, top.area.top + 26.0), "above the line: gives mixture", word.end())?;
    canvas.text((top.area.middle().0, top.area.bottom - 24.0), "below the line: takes in air", word.middle())?;
    top.frame(&mut canvas)?;
    top.left_axis(&mut canvas, &ticks, &["fuel and gas given, less gas taken [mg/s]"], 100.0)?;

    let most = values(|o| o.fuel_g_s).into_iter().fold(1.0, f64::max);
    let bottom = Panel { area: Rect::new(140.0, 770.0, 1180.0, 1180.0), x, y: Axis::new(-0.04 * most, 1.08 * most) };
    let ticks = bottom.y.ticks(6);
    bottom.grid(&mut canvas, &marks, &ticks)?;
    for opening in 0..steps.openings.len() {
        look(opening).draw(&mut canvas, &bottom, &curve(&points, opening, |o| o.fuel_g_s))?;
        crosses(&mut canvas, &bottom, &points, opening, |o| o.fuel_g_s)?;
    }
    bottom.frame(&mut canvas)?;
    bottom.left_axis(&mut canvas, &ticks, &["fuel given [mg/s]"], 100.0)?;
    bottom.bottom_axis(&mut canvas, &marks, "throttle: slide lift over bore, as a fraction and in per cent")?;
    canvas.text((bottom.area.left, bottom.area.top - 28.0), "The fuel alone", Lettering::new(LABEL))?;

    let mut entries = Vec::new();
    for (i, opening) in steps.openings.iter().enumerate() {
        let (name, size) = opening.split_once(", ").unwrap_or((opening, ""));
        entries.extend([(Sample::Curve(look(i)), name.to_owned()), (Sample::Note, size.to_owned())]);
    }
    let dashed = Look { colour: FAINT_INK, dashes: &[4.0, 7.0], mark: Mark::None };
    entries.push((Sample::Curve(dashed), "gas taken alone".to_owned()));
    for note in ["ahead: from the slide's edge on", "the engine's side towards the", "air filter"] {
        entries.push((Sample::Note, note.to_owned()));
    }
    if points.iter().any(|p| !p.converged) {
        entries.push((Sample::Cross, "not periodic".to_owned()));
    }
    column(&mut canvas, (1216.0, 146.0), 366.0, &entries)?;
    canvas.finish(&format!("by-pass holes: {name}"), &format!("bellmouth {}", env!("CARGO_PKG_VERSION")))
}

fn look(opening: usize) -> Look {
    Look { colour: colour::curve([1, 0, 2, 4, 3][opening % 5], 5), ..Look::of(opening, 5) }
}

/// Marks of the trade, halved on from 1/8 down.
fn marks() -> Vec<Tick> {
    [256, 128, 64, 32, 16, 8, 4, 2]
        .map(|parts| (1.0 / f64::from(parts), format!("1/{parts}")))
        .into_iter()
        .chain([(0.75, "3/4".to_owned()), (1.0, "1".to_owned())])
        .map(|(at, label)| Tick { at, label, below: percent(at).replace(" %", "") })
        .collect()
}

/// One number of an opening at a point [mg/s].
fn value(point: &PointResult, opening: usize, figure: Figure) -> Option<f64> {
    point.pilot_openings.get(opening).map(|o| 1e3 * figure(o)).filter(|v| v.is_finite())
}

/// One number of one opening over the throttle [mg/s]; points that are not periodic break the line.
fn curve(points: &[&PointResult], opening: usize, figure: Figure) -> Vec<Option<(f64, f64)>> {
    let pair = |p: &&PointResult| value(p, opening, figure).filter(|_| p.converged).map(|v| (p.throttle, v));
    points.iter().map(pair).collect()
}

/// The points that are not periodic.
fn crosses(
    canvas: &mut Canvas,
    panel: &Panel,
    points: &[&PointResult],
    opening: usize,
    figure: Figure,
) -> Result<(), PlotError> {
    for point in points.iter().filter(|p| !p.converged) {
        let Some(value) = value(point, opening, figure) else { continue };
        if panel.x.holds(point.throttle) && panel.y.holds(value) {
            cross(canvas, panel.place(point.throttle, value), look(opening).colour)?;
        }
    }
    Ok(())
}
