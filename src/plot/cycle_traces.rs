//! One operating point over crank angle: pressures, air past the slide, fuel of each circuit.

use super::PlotError;
use super::axis::{Axis, Tick, plain};
use super::canvas::{Canvas, Rect};
use super::colour::{self, CIRCUITS, Colour, FAINT_INK, INK};
use super::curve::Look;
use super::legend::{Sample, column};
use super::panel::{LABEL, Panel, headline};
use super::text::Lettering;
use super::valve_strip;
use crate::study::cycle::{CycleResult, Traces};
use crate::study::fraction::throttle_phrase;
use crate::units::{Quantity, Units};

/// Left and right edge of the panels [px].
const EDGES: (f64, f64) = (180.0, 1280.0);

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn cycle_traces(cycle: &CycleResult) -> Result<Vec<u8>, PlotError> {
    cycle_traces_in(cycle, &Units::default())
}

/// The same in other units than metric ones.
///
/// # Errors
/// Drawing or coding failed.
pub fn cycle_traces_in(cycle: &CycleResult, units: &Units) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1420)?;
    let point = &cycle.point;
    let title = format!("One cycle at {:.0} rpm, {}: {}", point.rpm, throttle_phrase(point.throttle), cycle.name);
    headline(&mut canvas, &title, &beneath(cycle, units))?;
    let x = Axis::new(0.0, 720.0);
    let panel = |top: f64, bottom: f64, y: Axis| Panel { area: Rect::new(EDGES.0, top, EDGES.1, bottom), x, y };
    let traces = &cycle.traces;
    valve_strip::draw(&mut canvas, &panel(146.0, 222.0, Axis::new(0.0, 1.0)), traces)?;

    let relative =
        |v: &[f64]| v.iter().map(|p| units.value(Quantity::Pressure, p - cycle.free_air_pa)).collect::<Vec<_>>();
    let (nozzle, manifold) = (relative(&traces.nozzle_pa), relative(&traces.manifold_pa));
    let behind = if point.piston_lift_m.is_some() { "behind the butterfly" } else { "behind the slide" };
    let y = Axis::around(nozzle.iter().chain(&manifold).copied().chain([0.0]), 1.0);
    let lines = [
        Line { name: "at the nozzle", values: &nozzle, look: Look::line(colour::curve(0, 6), &[]) },
        Line { name: behind, values: &manifold, look: Look::line(colour::curve(2, 6), &[16.0, 7.0]) },
    ];
    let name = units.name(Quantity::Pressure);
    let heading = ["pressure less", &format!("free air [{name}]")];
    chart(&mut canvas, &panel(240.0, 500.0, y), traces, &lines, &heading, &[])?;

    let cylinder: Vec<f64> = traces.cylinder_pa.iter().map(|p| units.value(Quantity::Pressure, *p)).collect();
    let y = cylinder_axis(&cylinder);
    let lines = [Line { name: "in the cylinder", values: &cylinder, look: Look::line(INK, &[]) }];
    let notes = ["absolute; equal ratios", "take equal height"];
    chart(&mut canvas, &panel(530.0, 750.0, y), traces, &lines, &["pressure", &format!("[{name}, absolute]")], &notes)?;

    let flow = |v: &[f64]| v.iter().map(|g_s| units.value(Quantity::Flow, 1e-3 * g_s)).collect::<Vec<f64>>();
    let unit = format!("[{}]", units.name(Quantity::Flow));
    let past = flow(&traces.slide_air_g_s);
    let y = Axis::around(past.iter().copied().chain([0.0]), 0.1);
    let air = panel(780.0, 1040.0, y);
    let backward = traces.slide_air_g_s.iter().any(|v| *v < 0.0);
    reversed(&mut canvas, &air, (&traces.crank_deg, &past))?;
    let lines = [Line { name: "air past the slide", values: &past, look: Look::line(colour::curve(0, 6), &[]) }];
    chart(&mut canvas, &air, traces, &lines, &["air flow", &unit], &["above 0: to the engine"])?;
    if backward {
        let entry = [(Sample::Area(reverse_colour()), "flowing back".to_owned())];
        column(&mut canvas, (1306.0, 886.0), 280.0, &entry)?;
    }

    let fuels = [&traces.fuel_main_g_s, &traces.fuel_pilot_g_s, &traces.fuel_starter_g_s].map(|v| flow(v));
    let y = Axis::around(fuels.iter().flatten().copied().chain([0.0]), 0.01);
    let fuel = panel(1070.0, 1300.0, y);
    let mut lines = vec![
        Line { name: "needle jet", values: &fuels[0], look: Look::line(CIRCUITS[1], &[]) },
        Line { name: "pilot", values: &fuels[1], look: Look::line(CIRCUITS[0], &[16.0, 7.0]) },
    ];
    if !traces.fuel_starter_g_s.is_empty() {
        let look = Look::line(CIRCUITS[2], &[4.0, 5.0]);
        lines.push(Line { name: "starter", values: &fuels[2], look });
    }
    chart(
        &mut canvas,
        &fuel,
        traces,
        &lines,
        &["fuel flow", &unit],
        &["below 0: air drawn in,", "or fuel running back"],
    )?;
    fuel.bottom_axis(&mut canvas, &angles(), "crank angle [degrees after firing top dead centre]")?;
    canvas.finish(&format!("cycle: {}", cycle.name), &format!("bellmouth {}", cycle.version))
}

/// Figures of the cycle, and whether it can be relied on.
fn beneath(cycle: &CycleResult, units: &Units) -> String {
    let point = &cycle.point;
    let number = |name: &str, value: Option<f64>, decimals: usize, unit: &str| {
        value.filter(|v| v.is_finite()).map(|v| format!("{name} {}{unit}", plain(v, decimals)))
    };
    let figures = [
        number("AFR", point.afr, 1, ""),
        number("filling", point.ve, 2, ""),
        Some(format!("torque {}", units.text(Quantity::Torque, point.torque_nm, 1)))
            .filter(|_| point.torque_nm.is_some_and(f64::is_finite)),
        Some(format!("free air {}", units.text(Quantity::Pressure, Some(cycle.free_air_pa), 1))),
    ];
    let mut text = figures.into_iter().flatten().collect::<Vec<_>>().join(", ");
    text += &if point.converged {
        format!("; converged after {} cycles", point.cycles)
    } else {
        format!("; DID NOT CONVERGE ({}, {} cycles): do not rely on it", point.status.word(), point.cycles)
    };
    text
}

/// Axis around the pressures in the cylinder, in equal ratios; 10 kPa to 10 MPa where there are none.
fn cylinder_axis(kpa: &[f64]) -> Axis {
    let sound = || kpa.iter().copied().filter(|p| p.is_finite() && *p > 0.0);
    let (low, high) = (sound().fold(f64::INFINITY, f64::min), sound().fold(0.0, f64::max));
    let (low, high) = if high > 0.0 { (0.8 * low.max(1.0), 1.25 * high.max(2.0)) } else { (10.0, 1e4) };
    Axis::new(low, high).logarithmic()
}

/// Marks along the crank angle with the dead centres.
fn angles() -> Vec<Tick> {
    let name = |degrees: i32| match degrees {
        0 | 720 => "firing TDC",
        180 | 540 => "BDC",
        360 => "TDC",
        _ => "",
    };
    (0..=8)
        .map(|i| i * 90)
        .map(|d| Tick { at: f64::from(d), label: d.to_string(), below: name(d).to_owned() })
        .collect()
}

/// One curve of a panel.
struct Line<'a> {
    name: &'a str,
    values: &'a [f64],
    look: Look,
}

/// A panel with its curves, valve events and legend.
fn chart(
    canvas: &mut Canvas,
    panel: &Panel,
    traces: &Traces,
    lines: &[Line<'_>],
    title: &[&str],
    notes: &[&str],
) -> Result<(), PlotError> {
    let most = (panel.area.height() / 42.0) as usize;
    let ticks = panel.y.ticks(most);
    panel.grid(canvas, &angles(), &ticks)?;
    if panel.y.holds(0.0) {
        canvas.level(panel.area.left, panel.area.right, panel.py(0.0), 2.0, FAINT_INK)?;
    }
    valve_strip::events(canvas, panel, traces)?;
    let mut entries = Vec::new();
    for line in lines {
        let pair = |(a, v): (&f64, &f64)| (a.is_finite() && v.is_finite()).then_some((*a, *v));
        let points: Vec<_> = traces.crank_deg.iter().zip(line.values).map(pair).collect();
        line.look.draw(canvas, panel, &points)?;
        entries.push((Sample::Curve(line.look), line.name.to_owned()));
    }
    if traces.crank_deg.is_empty() {
        canvas.text(panel.area.middle(), "no trace", Lettering::new(LABEL).middle())?;
    }
    entries.extend(notes.iter().map(|n| (Sample::Note, (*n).to_owned())));
    panel.frame(canvas)?;
    panel.left_axis(canvas, &ticks, title, 118.0)?;
    column(canvas, (1306.0, panel.area.top + 18.0), 280.0, &entries)?;
    Ok(())
}

fn reverse_colour() -> Colour {
    colour::tint(colour::curve(1, 6), 0.6)
}

/// Fill between zero and the air flow where it runs back.
fn reversed(canvas: &mut Canvas, panel: &Panel, (angles, flow): (&[f64], &[f64])) -> Result<(), PlotError> {
    let pairs: Vec<_> = angles.iter().zip(flow).collect();
    for ends in pairs.windows(2) {
        let ((a, u), (b, v)) = (ends[0], ends[1]);
        let finite = [a, u, b, v].iter().all(|n| n.is_finite());
        if !finite || (*u >= 0.0 && *v >= 0.0) || !(panel.x.holds(*a) && panel.x.holds(*b)) {
            continue;
        }
        let zero = a + (b - a) * (u / (u - v));
        let (start, end) = (if *u < 0.0 { *a } else { zero }, if *v < 0.0 { *b } else { zero });
        let down = |y: f64| panel.py(y.min(0.0)).clamp(panel.area.top, panel.area.bottom);
        let (left, right) = (panel.px(start), panel.px(end));
        let corners = [(left, down(0.0)), (right, down(0.0)), (right, down(*v)), (left, down(*u))];
        canvas.polygon(&corners, reverse_colour())?;
    }
    Ok(())
}
