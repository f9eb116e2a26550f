//! Torque and power, mean pressures and exhaust temperature, and filling against speed at the widest throttle of the map.

use super::PlotError;
use super::axis::Axis;
use super::canvas::{Canvas, Rect};
use super::colour;
use super::curve::{Look, Mark};
use super::legend::{Sample, column};
use super::panel::{Panel, headline};
use super::speed_curve::SpeedCurve;
use crate::study::fraction::throttle_phrase;
use crate::study::map::MapResult;
use crate::study::point::PointResult;
use crate::units::{Quantity, Units};

/// Left edge of the legends and their width [px].
const LEGEND: (f64, f64) = (1316.0, 276.0);

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn full_throttle(map: &MapResult) -> Result<Vec<u8>, PlotError> {
    full_throttle_in(map, &Units::default())
}

/// The same in other units than metric ones.
///
/// # Errors
/// Drawing or coding failed.
pub fn full_throttle_in(map: &MapResult, units: &Units) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1560)?;
    let widest = map.grid.throttles.iter().copied().filter(|t| t.is_finite()).fold(f64::NAN, f64::max);
    let opening = if widest.is_finite() { throttle_phrase(widest) } else { "full throttle".to_owned() };
    let points: Vec<&PointResult> = map.grid.speeds.iter().filter_map(|rpm| map.at(widest, *rpm)).collect();
    let good = points.iter().filter(|p| p.converged).count();
    let beneath = format!(
        "brake figures at the crankshaft; friction law: {}; {good} of {} points converged",
        map.friction_form,
        map.grid.speeds.len()
    );
    let title = format!("Torque, power, pressures and filling at {opening}: {}", map.name);
    headline(&mut canvas, &title, &beneath)?;
    let x = Axis::around(map.grid.speeds.iter().copied(), 100.0);
    torque_and_power(&mut canvas, x, &points, units)?;
    pressures(&mut canvas, x, &points, units)?;
    filling(&mut canvas, x, &points, good)?;
    canvas.finish(&format!("Torque, power, filling: {}", map.name), &format!("bellmouth {}", map.version))
}

/// Brake torque and power, their zeros at one height.
fn torque_and_power(canvas: &mut Canvas, x: Axis, points: &[&PointResult], units: &Units) -> Result<(), PlotError> {
    let torque = SpeedCurve {
        figure: |p| p.torque_nm.filter(|_| p.fired),
        look: look(0, &[], Mark::Disc),
        name: "torque",
        quantity: Some((Quantity::Torque, *units)),
        decimals: 1,
    };
    let power = SpeedCurve {
        figure: |p| p.power_kw.filter(|_| p.fired).map(|v| 1e3 * v),
        look: look(1, &[16.0, 7.0], Mark::Square),
        name: "power",
        quantity: Some((Quantity::Power, *units)),
        decimals: 1,
    };
    // more room above the power, so that the two highest values do not cover each other
    let (left, right) = level_zeros(torque.axis(points, 0.12), power.axis(points, 0.3));
    let panel =
        framed(canvas, Rect::new(150.0, 130.0, 1200.0, 560.0), x, left, &[&titled("torque", Quantity::Torque, units)])?;
    panel.right_axis(canvas, right, &right.ticks(8), &[&titled("power", Quantity::Power, units)], 84.0)?;
    let entries = [torque.draw(canvas, &panel, points)?, power.draw(canvas, &Panel { y: right, ..panel }, points)?];
    let mut entries = entries.concat();
    let silent = points.iter().filter(|p| p.converged && !p.fired).count();
    if silent > 0 {
        entries.push((Sample::Note, format!("{silent} of {} points did", points.len())));
        entries.push((Sample::Note, "not fire: left out".to_owned()));
    }
    column(canvas, (LEGEND.0, 150.0), LEGEND.1, &entries)?;
    Ok(())
}

/// Indicated, brake and friction mean pressure, and what the exhaust leaves with.
fn pressures(canvas: &mut Canvas, x: Axis, points: &[&PointResult], units: &Units) -> Result<(), PlotError> {
    let indicated = SpeedCurve {
        figure: |p| p.imep_pa.filter(|_| p.fired),
        look: look(0, &[], Mark::Disc),
        name: "indicated",
        quantity: Some((Quantity::MeanPressure, *units)),
        decimals: 2,
    };
    let brake = SpeedCurve {
        figure: |p| p.bmep_pa.filter(|_| p.fired),
        look: look(3, &[16.0, 7.0], Mark::Square),
        name: "brake",
        ..indicated
    };
    let friction = SpeedCurve {
        figure: |p| p.fmep_pa.filter(|_| p.fired),
        look: look(4, &[3.0, 8.0], Mark::Down),
        name: "friction",
        ..indicated
    };
    let exhaust = SpeedCurve {
        figure: |p| p.exhaust_temperature_k.filter(|_| p.fired),
        look: look(2, &[18.0, 7.0, 3.0, 7.0], Mark::Diamond),
        name: "exhaust",
        quantity: Some((Quantity::Temperature, *units)),
        decimals: 0,
    };
    let curves = [indicated, brake, friction];
    let axes = curves.map(|c| c.axis(points, 0.08));
    let low = axes.iter().map(|a| a.low).fold(0.0, f64::min);
    let high = axes.iter().map(|a| a.high).fold(1.0, f64::max);
    let right = Axis::around(exhaust.values(points).map(|(_, v)| v), 200.0);
    let area = Rect::new(150.0, 610.0, 1200.0, 1040.0);
    let panel =
        framed(canvas, area, x, Axis::new(low, high), &[&titled("mean pressure", Quantity::MeanPressure, units)])?;
    panel.right_axis(canvas, right, &right.ticks(7), &[&titled("exhaust", Quantity::Temperature, units)], 94.0)?;
    let mut entries = Vec::new();
    for curve in curves {
        entries.extend(curve.draw(canvas, &panel, points)?.into_iter().take(2));
    }
    entries.extend(exhaust.draw(canvas, &Panel { y: right, ..panel }, points)?.into_iter().take(2));
    entries.extend(["mean of the outflow at", "the exhaust valve"].map(|n| (Sample::Note, n.to_owned())));
    column(canvas, (LEGEND.0, 630.0), LEGEND.1, &entries)?;
    Ok(())
}

/// How well the cylinder fills.
fn filling(canvas: &mut Canvas, x: Axis, points: &[&PointResult], good: usize) -> Result<(), PlotError> {
    let filling = SpeedCurve {
        figure: |p| p.ve,
        look: look(2, &[], Mark::Diamond),
        name: "filling",
        quantity: None,
        decimals: 2,
    };
    let y = Axis::around(filling.values(points).map(|(_, v)| v), 0.3);
    let panel = framed(canvas, Rect::new(150.0, 1090.0, 1200.0, 1460.0), x, y, &["filling [-]"])?;
    let mut entries = filling.draw(canvas, &panel, points)?;
    let notes = ["dry air trapped, over", "dry air of the free", "atmosphere in the", "swept volume"];
    entries.extend(notes.map(|n| (Sample::Note, n.to_owned())));
    if good < points.len() {
        entries.push((Sample::Cross, "not converged".to_owned()));
    }
    column(canvas, (LEGEND.0, 1110.0), LEGEND.1, &entries)?;
    panel.bottom_axis(canvas, &x.ticks(14), "speed [rpm]")
}

/// A panel with its grid, frame and left axis.
fn framed(canvas: &mut Canvas, area: Rect, x: Axis, y: Axis, title: &[&str]) -> Result<Panel, PlotError> {
    let panel = Panel { area, x, y };
    let ticks = y.ticks(7);
    panel.grid(canvas, &x.ticks(14), &ticks)?;
    panel.frame(canvas)?;
    panel.left_axis(canvas, &ticks, title, 105.0)?;
    Ok(panel)
}

/// Both axes stretched downwards so that their zeros stand at one height.
fn level_zeros(a: Axis, b: Axis) -> (Axis, Axis) {
    let below = |axis: &Axis| if axis.high > 0.0 { (-axis.low).max(0.0) / axis.high } else { 0.0 };
    let share = below(&a).max(below(&b));
    (Axis::new(-share * a.high, a.high), Axis::new(-share * b.high, b.high))
}

/// Name of an axis with its unit.
fn titled(name: &str, quantity: Quantity, units: &Units) -> String {
    format!("{name} [{}]", units.name(quantity))
}

fn look(index: usize, dashes: &'static [f64], mark: Mark) -> Look {
    Look { colour: colour::curve(index, 6), dashes, mark }
}
