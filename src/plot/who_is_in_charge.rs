//! Who is in charge: what one step of each part does to the mixture, against throttle.

use super::PlotError;
use super::afr_against_throttle::{throttle_axis, throttle_ticks};
use super::axis::{Axis, Tick};
use super::canvas::{Canvas, Rect};
use super::colour::{PAPER, ink_on};
use super::label_places::{Name, places};
use super::legend::{Sample, column};
use super::panel::{LABEL, NOTE, Panel, headline};
use super::part_look::{group_colour, part_look};
use super::text::Lettering;
use crate::hardware::part::{Group, Part};
use crate::study::steps_result::{PartEffect, StepsPoint, StepsResult};

/// Smallest and largest change that the picture shows [%].
const SHOWN: (f64, f64) = (0.05, 50.0);
/// Distance of upright slices of the areas [px].
const SLICE: f64 = 2.0;

/// The picture of the points at `rpm` as the bytes of a PNG file, for the set-up called `name`.
///
/// # Errors
/// Drawing or coding failed.
pub fn who_is_in_charge(name: &str, steps: &StepsResult, rpm: f64) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1640)?;
    let beneath =
        "change of the metered fuel over air by one step of each part, as it is sold or set; speed and lift held";
    headline(&mut canvas, &format!("Who is in charge at {rpm:.0} rpm: {name}"), beneath)?;
    let points: Vec<&StepsPoint> = steps.at_speed(rpm).collect();
    let throttles: Vec<f64> = points.iter().map(|p| p.base.throttle).collect();
    let x = throttle_axis(&throttles);
    let marks = throttle_ticks();
    let top = Panel { area: Rect::new(140.0, 130.0, 1120.0, 1010.0), x, y: change_axis(&points) };
    changes(&mut canvas, steps, &points, &top, &marks)?;
    let bottom = Panel { area: Rect::new(140.0, 1100.0, 1120.0, 1524.0), x, y: Axis::new(0.0, 100.0) };
    shares(&mut canvas, &points, &bottom, &marks)?;

    let mut entries = vec![(Sample::Heading, "one step, the richer way".to_owned())];
    for row in &steps.parts {
        entries.push((Sample::Curve(part_look(row.part)), row.name.clone()));
        entries.push((Sample::Note, format!("{}; {}", row.setting, row.step.replace('-', "\u{2212}"))));
    }
    let any = |is: fn(f64) -> bool| points.iter().any(|p| p.parts.iter().any(|e| e.mixture.per_step.is_some_and(is)));
    if any(|c| c.abs() < SHOWN.0) {
        entries.push((Sample::Note, format!("off the bottom: below {} %", SHOWN.0)));
    }
    if any(|c| c < -SHOWN.0) {
        entries.push((Sample::Note, "some steps are leaner: see steps.csv".to_owned()));
    }
    column(&mut canvas, (1166.0, 146.0), 416.0, &entries)?;
    canvas.finish(&format!("who is in charge: {name}"), &format!("bellmouth {}", env!("CARGO_PKG_VERSION")))
}

/// Size of a change [%].
fn size(effect: &PartEffect) -> Option<f64> {
    effect.mixture.per_step.map(f64::abs).filter(|c| c.is_finite())
}

fn change_axis(points: &[&StepsPoint]) -> Axis {
    let most = points.iter().flat_map(|p| &p.parts).filter_map(size).fold(1.0, f64::max);
    Axis::new(SHOWN.0, (1.4 * most).min(SHOWN.1)).logarithmic()
}

fn effect(point: &StepsPoint, part: Part) -> Option<&PartEffect> {
    point.parts.iter().find(|e| e.part == part)
}

fn changes(
    canvas: &mut Canvas,
    steps: &StepsResult,
    points: &[&StepsPoint],
    panel: &Panel,
    marks: &[Tick],
) -> Result<(), PlotError> {
    let ticks = panel.y.ticks(9);
    panel.grid(canvas, marks, &ticks)?;
    let look = Lettering::new(NOTE);
    let mut names = Vec::new();
    for row in &steps.parts {
        let curve: Vec<_> = points
            .iter()
            .map(|p| effect(p, row.part).and_then(size).map(|c| (p.base.throttle, c.max(0.02 * SHOWN.0))))
            .collect();
        part_look(row.part).draw(canvas, panel, &curve)?;
        let places = curve.iter().map(|p| p.map(|(x, y)| panel.place(x, y))).collect();
        names.push(Name { size: (look.width(&row.name)? + 8.0, 26.0), places });
    }
    for ((row, name), place) in steps.parts.iter().zip(&names).zip(places(&names, panel.area)) {
        let Some((x, y)) = place else { continue };
        let (w, h) = (0.5 * name.size.0, 0.5 * name.size.1 - 2.0);
        canvas.fill(Rect::new(x - w, y - h, x + w, y + h), PAPER)?;
        canvas.text((x, y), &row.name, look.middle())?;
    }
    panel.frame(canvas)?;
    panel.left_axis(canvas, &ticks, &["change of mixture per step [%]"], 100.0)?;
    if points.iter().all(|p| p.parts.iter().all(|e| size(e).is_none())) {
        canvas.text(panel.area.middle(), "no converged point", Lettering::new(LABEL).middle())?;
    }
    Ok(())
}

/// Share of each group at a point [%], in the order of [`Group::all`]; none if nothing is known there.
fn group_shares(point: &StepsPoint) -> Option<Vec<f64>> {
    let of = |group| {
        let own = point.parts.iter().filter(|e| e.part.group() == group);
        100.0 * own.filter_map(|e| e.share).filter(|s| s.is_finite()).map(|s| s.clamp(0.0, 1.0)).sum::<f64>()
    };
    point.parts.iter().any(|e| e.share.is_some()).then(|| Group::all().map(of).to_vec())
}

/// Lower and upper edge of group `k` at `x` [px] between the `known` shares [%].
fn edges(known: &[(f64, Vec<f64>)], x: f64, k: usize) -> (f64, f64) {
    let Some(pair) = known.windows(2).find(|w| x <= w[1].0).or_else(|| known.windows(2).last()) else {
        return (0.0, 0.0);
    };
    let ((x0, from), (x1, to)) = (&pair[0], &pair[1]);
    let s = ((x - x0) / (x1 - x0)).clamp(0.0, 1.0);
    let share = |j: usize| from[j] + s * (to[j] - from[j]);
    let low: f64 = (0..k).map(share).sum();
    // shares add up to 100 but for rounding
    (low.min(100.0), (low + share(k)).min(100.0))
}

/// Middle of the place [px] where a name of this `width` has most room inside the area of group `k`, if it has enough.
fn room(known: &[(f64, Vec<f64>)], panel: &Panel, k: usize, width: f64) -> Option<(f64, f64)> {
    let (first, last) = (known.first()?.0, known.last()?.0);
    let places = ((last - first - width) / 6.0).max(-1.0) as i32;
    let mut best: Option<(f64, (f64, f64))> = None;
    for i in 0..=places {
        let left = first + 6.0 * f64::from(i);
        let across = (0..=8).map(|j| edges(known, left + 0.125 * f64::from(j) * width, k));
        let (low, high) = across.fold((0.0_f64, 100.0_f64), |a, e| (a.0.max(e.0), a.1.min(e.1)));
        let free = panel.py(low) - panel.py(high);
        if free >= NOTE + 4.0 && best.is_none_or(|b| free > b.0) {
            best = Some((free, (left + 0.5 * width, panel.py(0.5 * (low + high)))));
        }
    }
    best.map(|b| b.1)
}

/// Areas of the groups' shares over each other, straight between the points.
fn shares(canvas: &mut Canvas, points: &[&StepsPoint], panel: &Panel, marks: &[Tick]) -> Result<(), PlotError> {
    let known: Vec<(f64, Vec<f64>)> =
        points.iter().filter_map(|p| group_shares(p).map(|s| (panel.px(p.base.throttle), s))).collect();
    for pair in known.windows(2) {
        let ((x0, _), (x1, _)) = (&pair[0], &pair[1]);
        let count = ((x1 - x0) / SLICE).ceil().max(1.0) as u32;
        for i in 0..count {
            let at = |i: u32| x0 + f64::from(i) / f64::from(count) * (x1 - x0);
            let (left, right) = (at(i), at(i + 1));
            for (k, group) in Group::all().into_iter().enumerate() {
                let (low, high) = edges(&known, 0.5 * (left + right), k);
                canvas.fill(Rect::new(left, panel.py(high), right, panel.py(low)), group_colour(group))?;
            }
        }
    }
    for (k, _) in Group::all().into_iter().enumerate().skip(1) {
        let below = |s: &Vec<f64>| s[..k].iter().sum::<f64>().min(100.0);
        let edge: Vec<(f64, f64)> = known.iter().map(|(x, s)| (*x, panel.py(below(s)))).collect();
        for ends in edge.windows(2) {
            canvas.line(ends[0], ends[1], 2.0, PAPER)?;
        }
    }
    for (k, group) in Group::all().into_iter().enumerate() {
        let look = Lettering::new(NOTE).middle().coloured(ink_on(group_colour(group)));
        if let Some(at) = room(&known, panel, k, look.width(group.name())? + 16.0) {
            canvas.text(at, group.name(), look)?;
        }
    }
    panel.frame(canvas)?;
    let ticks = Axis::new(0.0, 100.0).ticks(5);
    panel.left_axis(canvas, &ticks, &["share of the say [%]"], 100.0)?;
    panel.bottom_axis(canvas, marks, "throttle: slide lift over bore, as a fraction and in per cent")?;
    let title = "Share of the say: one step of a part over one step of every part, by groups";
    canvas.text((panel.area.left, panel.area.top - 28.0), title, Lettering::new(LABEL - 2.0))?;
    let mut y = panel.area.top + 20.0;
    for group in Group::all().into_iter().rev() {
        canvas.fill(Rect::new(1166.0, y - 14.0, 1228.0, y + 14.0), group_colour(group))?;
        canvas.text((1242.0, y), group.name(), Lettering::new(NOTE))?;
        y += 42.0;
    }
    for line in [
        "a small step has a small say:",
        "this says which part to reach for,",
        "not how much fuel it passes;",
        "another taper is another needle",
    ] {
        canvas.text((1166.0, y), line, Lettering::new(NOTE))?;
        y += 29.0;
    }
    Ok(())
}
