//! What both pictures of a snap share: the runs and their looks, panels over time, the shade of the lean hole.

use super::PlotError;
use super::axis::Axis;
use super::canvas::{Canvas, Rect};
use super::colour::{self, Colour, FAINT_INK};
use super::curve::{Look, Mark};
use super::legend::Sample;
use super::panel::Panel;
use crate::study::snap::hole::inside;
use crate::study::snap::result::{SnapCycle, SnapResult, SnapRun};

/// Left and right edge of the panels [px].
pub const PANEL: (f64, f64) = (150.0, 1180.0);
/// Left edge of the legends and their width [px].
pub const LEGEND: (f64, f64) = (1340.0, 310.0);

/// What a curve shows of a cycle.
pub type Figure = fn(&SnapCycle) -> Option<f64>;

/// A run with its name and its look.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The run.
    pub run: &'a SnapRun,
    /// Name in the legend.
    pub name: &'static str,
    /// How its curves look.
    pub look: Look,
}

/// A look by place in the palette.
pub fn look(index: usize, dashes: &'static [f64], mark: Mark) -> Look {
    Look { colour: colour::curve(index, 6), dashes, mark }
}

/// What is wanted or needed.
pub fn wanted() -> Look {
    Look::line(FAINT_INK, &[3.0, 8.0])
}

/// The runs of a result: without a pump, as it is, the best.
pub fn shown(r: &SnapResult) -> Vec<Shown<'_>> {
    let mut all = vec![Shown { run: &r.without, name: "no pump", look: look(2, &[], Mark::Disc) }];
    if let Some(with) = &r.with {
        all.push(Shown { run: &with.run, name: "pump as given", look: look(0, &[16.0, 7.0], Mark::Square) });
    }
    if let Some(t) = &r.tuned {
        all.push(Shown { run: &t.best.run, name: "best pump", look: look(3, &[18.0, 7.0, 3.0, 7.0], Mark::Diamond) });
    }
    all
}

/// Points of a curve: at the beginning of each cycle.
pub fn points(run: &SnapRun, figure: Figure) -> Vec<Option<(f64, f64)>> {
    run.cycles.iter().map(|c| figure(c).filter(|v| v.is_finite()).map(|v| (c.time_s, v))).collect()
}

/// Axis over all values of the `figures` of the runs, at least `least` wide.
pub fn axis(shown: &[Shown<'_>], figures: &[Figure], least: f64) -> Axis {
    let values = shown.iter().flat_map(|s| figures.iter().flat_map(|f| points(s.run, *f)));
    Axis::around(values.flatten().map(|p| p.1), least)
}

/// Axis of time over all runs.
pub fn time(shown: &[Shown<'_>]) -> Axis {
    let times = shown.iter().flat_map(|s| &s.run.cycles).map(|c| c.time_s);
    let (low, high) = times.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| (a.min(t), b.max(t)));
    Axis::new(low, high)
}

/// A panel over time with grid, frame and left axis; the lean hole of `hole` shaded.
///
/// # Errors
/// Drawing failed.
pub fn framed(
    canvas: &mut Canvas,
    (top, bottom): (f64, f64),
    (x, y): (Axis, Axis),
    title: &[&str],
    hole: &SnapRun,
) -> Result<Panel, PlotError> {
    let panel = Panel { area: Rect::new(PANEL.0, top, PANEL.1, bottom), x, y };
    for c in hole.cycles.iter().filter(|c| inside(c)) {
        canvas.fill(panel.rect((c.time_s, c.time_s + c.lasts_s), (y.low, y.high)), shade())?;
    }
    let ticks = y.ticks(7);
    panel.grid(canvas, &x.ticks(12), &ticks)?;
    panel.frame(canvas)?;
    panel.left_axis(canvas, &ticks, title, 105.0)?;
    Ok(panel)
}

/// Shade of the lean hole.
pub fn shade() -> Colour {
    colour::tint(colour::curve(1, 6), 0.25)
}

/// Draws one figure of each run; returns the entries of the legend.
///
/// # Errors
/// Drawing failed.
pub fn curves(
    canvas: &mut Canvas,
    panel: &Panel,
    shown: &[Shown<'_>],
    figure: Figure,
) -> Result<Vec<(Sample, String)>, PlotError> {
    let mut entries = Vec::new();
    for s in shown {
        let points = points(s.run, figure);
        s.look.draw(canvas, panel, &points)?;
        if points.iter().flatten().next().is_some() {
            entries.push((Sample::Curve(s.look), s.name.to_owned()));
        }
    }
    Ok(entries)
}

/// What the line beneath a title says of the opening.
pub fn beneath(r: &SnapResult) -> String {
    let p = &r.plan;
    let how = match r.inertia_kg_m2 {
        None => format!("at {:.0} rpm, held", p.rpm),
        Some(j) => {
            let gear = p.gear.map(|g| format!(" in gear {g}")).unwrap_or_default();
            format!("from {:.0} rpm{gear}, accelerating {j:.2} kg m2 at the crank", p.rpm)
        }
    };
    format!(
        "throttle from {:.1} to {:.0} % in {} s {how}; each mark a cycle, at its beginning",
        100.0 * p.from,
        100.0 * p.to,
        p.time
    )
}
