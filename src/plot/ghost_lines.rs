//! Ghost lines beside a curve of AFR: where one step of a part, the richer way, would put it.
//!
//! At each throttle the two parts whose step moves AFR most are drawn, one of a group of like parts; a line goes on to
//! the points beside those. The needle's taper is left out, since another taper is another needle.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{FAINT_INK, INK, PAPER};
use super::curve::Look;
use super::label_places::{Name, places};
use super::legend::Sample;
use super::panel::{NOTE, Panel};
use super::text::Lettering;
use crate::hardware::part::{Group, Part};
use crate::study::steps_result::{StepsPoint, StepsResult};

/// Parts drawn at each throttle.
const AT_EACH: usize = 2;
/// Least change of AFR that is drawn [-]: less is hardly a line apart.
const LEAST: f64 = 0.1;
/// Width of a line [px]; curves are wider.
const WIDTH: f64 = 2.0;

/// AFR one step of `part` up, and how far that is from AFR as fitted, both with their sign.
fn moved(point: &StepsPoint, part: Part) -> Option<(f64, f64)> {
    let base = point.base.afr.filter(|a| point.base.converged && a.is_finite())?;
    let up = point.parts.iter().find(|e| e.part == part).map(|e| &e.up)?;
    let afr = up.afr.filter(|a| up.converged && a.is_finite())?;
    Some((afr, afr - base))
}

/// The part of each group that moves AFR most at `point`, most first, at most [`AT_EACH`].
fn leading(point: &StepsPoint, parts: &[Part]) -> Vec<Part> {
    let size = |part: &Part| moved(point, *part).map(|m| m.1.abs()).filter(|s| *s >= LEAST);
    let best = |group: Group| {
        let own = parts.iter().filter(|p| p.group() == group).filter_map(|p| Some((*p, size(p)?)));
        own.max_by(|a, b| a.1.total_cmp(&b.1))
    };
    let mut found: Vec<(Part, f64)> = Group::all().into_iter().filter_map(best).collect();
    found.sort_by(|a, b| b.1.total_cmp(&a.1));
    found.into_iter().take(AT_EACH).map(|f| f.0).collect()
}

/// Draws the ghost lines of the steps at `rpm`; gives the lines of the legend.
///
/// # Errors
/// Drawing failed.
pub fn draw(
    canvas: &mut Canvas,
    panel: &Panel,
    steps: &StepsResult,
    rpm: f64,
) -> Result<Vec<(Sample, String)>, PlotError> {
    let points: Vec<&StepsPoint> = steps.at_speed(rpm).collect();
    let parts: Vec<Part> = steps.parts.iter().map(|r| r.part).filter(|p| *p != Part::NeedleTaper).collect();
    let lead: Vec<Vec<Part>> = points.iter().map(|p| leading(p, &parts)).collect();
    let mut names = Vec::new();
    let mut shown = Vec::new();
    canvas.clip = Some(panel.area);
    for part in parts {
        let here = |i: usize| lead.get(i).is_some_and(|l| l.contains(&part));
        let near = |i: usize| here(i) || here(i + 1) || i.checked_sub(1).is_some_and(here);
        let line = points.iter().enumerate().map(|(i, p)| {
            let (afr, _) = moved(p, part).filter(|_| near(i))?;
            Some(panel.place(p.base.throttle, afr))
        });
        let line: Vec<Option<(f64, f64)>> = line.collect();
        if !(0..points.len()).any(here) {
            continue;
        }
        let look = look(shown.len());
        for run in line.split(Option::is_none) {
            let run: Vec<(f64, f64)> = run.iter().flatten().copied().collect();
            look.stroke_wide(canvas, &run, WIDTH)?;
        }
        let text = part.name();
        names.push(Name { size: (lettering().width(text)? + 8.0, NOTE + 4.0), places: line });
        shown.push(part);
    }
    canvas.clip = None;
    for ((part, name), place) in shown.iter().zip(&names).zip(places(&names, panel.area)) {
        let Some((x, y)) = place else { continue };
        let (w, h) = (0.5 * name.size.0, 0.5 * name.size.1 - 2.0);
        canvas.fill(Rect::new(x - w, y - h, x + w, y + h), PAPER)?;
        canvas.text((x, y), part.name(), lettering().middle())?;
    }
    if shown.is_empty() {
        return Ok(Vec::new());
    }
    let words = [
        format!("thin: {rpm:.0} rpm with one"),
        "step of a part, richer;".to_owned(),
        "two at each throttle".to_owned(),
    ];
    Ok(words.map(|w| (Sample::Note, w)).to_vec())
}

/// Dark and thin, so that no line is taken for a speed's; the dashes tell them apart beside their names.
fn look(place: usize) -> Look {
    const DASHES: [&[f64]; 4] = [&[9.0, 5.0], &[3.0, 5.0], &[15.0, 5.0, 3.0, 5.0], &[20.0, 6.0]];
    Look::line(FAINT_INK, DASHES[place % DASHES.len()])
}

fn lettering() -> Lettering {
    Lettering::new(NOTE).coloured(INK)
}
