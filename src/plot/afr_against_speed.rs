//! Air-fuel ratio against speed at fixed throttle openings; one panel for each wanted band.

use super::PlotError;
use super::afr_axis::{afr_axis, lambda_axis};
use super::afr_curve::{self, AfrCurve};
use super::axis::Axis;
use super::canvas::{Canvas, Rect};
use super::colour::{BAND, BAND_EDGE};
use super::curve::Look;
use super::legend::{Sample, column};
use super::panel::{LABEL, Panel, headline};
use super::text::Lettering;
use crate::setup::targets::TargetBand;
use crate::study::fraction::{fraction, percent};
use crate::study::map::MapResult;
use crate::study::selection::nearest;

/// Openings that are drawn, or their nearest neighbours in the grid [-].
const OPENINGS: [f64; 5] = [0.125, 0.25, 0.5, 0.75, 1.0];

/// Openings that share a wanted band, with their place among all curves.
struct Group<'a> {
    band: Option<&'a TargetBand>,
    openings: Vec<(usize, f64)>,
}

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn afr_against_speed(map: &MapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1500)?;
    let beneath = format!(
        "fresh dry air over fresh fuel trapped in the cylinder; stoichiometric {:.2}; {}",
        map.stoichiometric,
        map.standing()
    );
    headline(&mut canvas, &format!("Air-fuel ratio against speed at fixed throttle: {}", map.name), &beneath)?;
    let groups = groups(map);
    let x = Axis::around(map.grid.speeds.iter().copied(), 100.0);
    let (top, bottom, gap) = (150.0, 1400.0, 62.0);
    let count = groups.len().max(1) as f64;
    let height = (bottom - top - gap * (count - 1.0)) / count;
    let lowest = groups.len().saturating_sub(1);
    for (i, group) in groups.iter().enumerate() {
        let upper = top + i as f64 * (height + gap);
        let area = Rect::new(140.0, upper, 1200.0, upper + height);
        let drawn = |t: f64| group.openings.iter().any(|(_, o)| (o - t).abs() < 1e-9);
        let y = afr_axis(map, drawn, group.band.map(std::slice::from_ref).unwrap_or_default());
        draw(&mut canvas, map, &Panel { area, x, y }, group, i == lowest)?;
    }
    if groups.is_empty() {
        canvas.text((705.0, 760.0), "the grid holds no points", Lettering::new(LABEL).middle())?;
    }
    canvas.finish(&format!("AFR against speed: {}", map.name), &format!("bellmouth {}", map.version))
}

/// The openings of the grid that are drawn, gathered by their wanted band.
fn groups(map: &MapResult) -> Vec<Group<'_>> {
    let mut openings: Vec<f64> = Vec::new();
    for wanted in OPENINGS {
        let Some(found) = nearest(&map.grid.throttles, wanted).map(|i| map.grid.throttles[i]) else { continue };
        if openings.iter().all(|o| (o - found).abs() > 1e-9) {
            openings.push(found);
        }
    }
    let mut groups: Vec<Group<'_>> = Vec::new();
    for (i, opening) in openings.into_iter().enumerate() {
        let band = map.target(opening);
        match groups.iter_mut().find(|g| g.band == band) {
            Some(group) => group.openings.push((i, opening)),
            None => groups.push(Group { band, openings: vec![(i, opening)] }),
        }
    }
    groups
}

fn draw(canvas: &mut Canvas, map: &MapResult, panel: &Panel, group: &Group<'_>, lowest: bool) -> Result<(), PlotError> {
    let across = (panel.x.low, panel.x.high);
    let band = group.band.map(|b| (b.lambda_rich * map.stoichiometric, b.lambda_lean * map.stoichiometric));
    let rect = band.map(|afr| panel.rect(across, afr));
    if let Some(rect) = rect {
        canvas.fill(rect, BAND)?;
    }
    let (x, y) = (panel.x.ticks(14), panel.y.ticks((panel.area.height() / 40.0) as usize));
    panel.grid(canvas, &x, &y)?;
    if let Some(rect) = rect {
        canvas.level(rect.left, rect.right, rect.top, 2.0, BAND_EDGE)?;
        canvas.level(rect.left, rect.right, rect.bottom, 2.0, BAND_EDGE)?;
    }
    panel.frame(canvas)?;
    panel.left_axis(canvas, &y, &["AFR [-]"], 100.0)?;
    lambda_axis(canvas, panel, map)?;
    let mut entries = vec![(Sample::Heading, "throttle".to_owned())];
    let mut curves = Vec::new();
    for (i, opening) in &group.openings {
        let look = Look::of(*i, OPENINGS.len());
        curves.push(AfrCurve::through(look, map.grid.speeds.iter().map(|rpm| (*rpm, map.at(*opening, *rpm)))));
        let name = fraction(*opening).map_or(percent(*opening), |f| format!("{f}  ({})", percent(*opening)));
        entries.push((Sample::Curve(look), name));
    }
    if let Some((rich, lean)) = band {
        entries.push((Sample::Band, "wanted".to_owned()));
        entries.push((Sample::Note, format!("AFR {rich:.1} to {lean:.1}")));
    }
    entries.extend(afr_curve::draw(canvas, panel, &curves)?);
    column(canvas, (1330.0, panel.area.top + 14.0), 262.0, &entries)?;
    panel.bottom_axis(canvas, if lowest { &x } else { &[] }, if lowest { "speed [rpm]" } else { "" })
}
