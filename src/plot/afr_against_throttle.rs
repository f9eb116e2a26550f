//! Air-fuel ratio against throttle, one curve per speed, and which circuit gives the fuel.

use super::PlotError;
use super::afr_axis::{afr_axis, band_rects, lambda_axis};
use super::afr_curve::{self, AfrCurve};
use super::axis::{Axis, Tick};
use super::canvas::{Canvas, Rect};
use super::colour::{BAND, BAND_EDGE, CIRCUITS};
use super::curve::Look;
use super::fuel_bars;
use super::ghost_lines;
use super::legend::{Sample, column};
use super::panel::{LABEL, NOTE, Panel, headline};
use super::text::Lettering;
use crate::study::circuit_share::{CIRCUITS as CIRCUIT_NAMES, circuit_shares};
use crate::study::fraction::{fraction, percent};
use crate::study::map::MapResult;
use crate::study::selection::spread;

/// Most curves in the picture.
const CURVES: usize = 8;

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn afr_against_throttle(map: &MapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1150)?;
    let beneath = format!(
        "fresh dry air over fresh fuel trapped in the cylinder; stoichiometric {:.2}; {}",
        map.stoichiometric,
        map.standing()
    );
    headline(&mut canvas, &format!("Air-fuel ratio against throttle: {}", map.name), &beneath)?;
    let x = throttle_axis(&map.grid.throttles);
    let marks = throttle_ticks();
    let top = Panel { area: Rect::new(140.0, 130.0, 1200.0, 690.0), x, y: afr_axis(map, |_| true, &map.targets) };
    curves(&mut canvas, map, &top, &marks)?;
    let bottom = Panel { area: Rect::new(140.0, 766.0, 1200.0, 1034.0), x, y: Axis::new(0.0, 100.0) };
    circuits(&mut canvas, map, &bottom, &marks)?;
    canvas.finish(&format!("AFR against throttle: {}", map.name), &format!("bellmouth {}", map.version))
}

/// Axis from shut to full, or to the largest opening asked for.
pub(super) fn throttle_axis(throttles: &[f64]) -> Axis {
    let most = throttles.iter().copied().filter(|t| t.is_finite()).fold(1.0, f64::max);
    Axis::new(0.0, 1.035 * most)
}

/// Marks of the trade.
pub(super) fn throttle_ticks() -> Vec<Tick> {
    [1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0]
        .map(|sixteenths| sixteenths / 16.0)
        .map(|at| Tick { at, label: fraction(at).unwrap_or_default(), below: percent(at).replace(" %", "") })
        .to_vec()
}

fn curves(canvas: &mut Canvas, map: &MapResult, panel: &Panel, marks: &[Tick]) -> Result<(), PlotError> {
    for rect in band_rects(map, panel) {
        canvas.fill(rect, BAND)?;
    }
    let ticks = panel.y.ticks(9);
    panel.grid(canvas, marks, &ticks)?;
    for rect in band_rects(map, panel) {
        canvas.level(rect.left, rect.right, rect.top, 2.0, BAND_EDGE)?;
        canvas.level(rect.left, rect.right, rect.bottom, 2.0, BAND_EDGE)?;
    }
    panel.frame(canvas)?;
    panel.left_axis(canvas, &ticks, &["AFR [-]"], 100.0)?;
    lambda_axis(canvas, panel, map)?;
    let speeds: Vec<f64> = spread(map.grid.speeds.len(), CURVES).into_iter().map(|i| map.grid.speeds[i]).collect();
    let mut entries = vec![(Sample::Heading, "speed".to_owned())];
    let mut curves = Vec::new();
    for (i, rpm) in speeds.iter().enumerate() {
        let look = Look::of(i, speeds.len());
        curves.push(AfrCurve::through(look, map.grid.throttles.iter().map(|t| (*t, map.at(*t, *rpm)))));
        entries.push((Sample::Curve(look), format!("{rpm:.0} rpm")));
    }
    if !map.targets.is_empty() {
        entries.push((Sample::Band, "wanted".to_owned()));
    }
    let ghosts = map.steps.as_ref().and_then(|steps| {
        let speeds = &steps.grid.speeds;
        speeds.get(speeds.len() / 2).map(|rpm| (steps, *rpm))
    });
    entries.extend(afr_curve::draw(canvas, panel, &curves)?);
    // after the curves, so that their names can be read
    let ghosts = match ghosts {
        Some((steps, rpm)) => ghost_lines::draw(canvas, panel, steps, rpm)?,
        None => Vec::new(),
    };
    entries.extend(ghosts);
    if map.grid.speeds.len() > CURVES {
        entries.push((Sample::Note, format!("{} of {} speeds drawn", speeds.len(), map.grid.speeds.len())));
    }
    column(canvas, (1330.0, 146.0), 262.0, &entries)?;
    Ok(())
}

fn circuits(canvas: &mut Canvas, map: &MapResult, panel: &Panel, marks: &[Tick]) -> Result<(), PlotError> {
    let ticks = Axis::new(0.0, 100.0).ticks(5);
    panel.grid(canvas, &[], &ticks)?;
    let speed = map.grid.speeds.get(map.grid.speeds.len() / 2);
    let points: Vec<_> = map.grid.throttles.iter().map(|t| speed.and_then(|rpm| map.at(*t, *rpm))).collect();
    fuel_bars::draw(canvas, panel, &map.grid.throttles, &points)?;
    panel.frame(canvas)?;
    panel.left_axis(canvas, &ticks, &["share [%]"], 100.0)?;
    panel.bottom_axis(canvas, marks, map.throttle_words())?;
    let title = match speed {
        Some(rpm) => format!("Where the fuel comes from at {rpm:.0} rpm"),
        None => "Where the fuel comes from".to_owned(),
    };
    canvas.text((panel.area.left, panel.area.top - 28.0), &title, Lettering::new(LABEL))?;
    let starter = points.iter().flatten().filter_map(|p| circuit_shares(p)).any(|s| s[2] > 0.0);
    let mut y = panel.area.top + 30.0;
    for circuit in (0..if starter { 3 } else { 2 }).rev() {
        let box_ = Rect::new(1330.0, y - 18.0, 1392.0, y + 18.0);
        canvas.fill(box_, CIRCUITS[circuit])?;
        fuel_bars::pattern(canvas, box_, circuit)?;
        canvas.text((1406.0, y), CIRCUIT_NAMES[circuit], Lettering::new(LABEL - 2.0))?;
        y += 52.0;
    }
    for line in ["needle jet: all that", "passes the needle,", "main jet included"] {
        canvas.text((1330.0, y), line, Lettering::new(NOTE))?;
        y += 29.0;
    }
    Ok(())
}
