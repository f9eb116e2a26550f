//! Torque, power and filling against speed at the widest throttle of the map.

use super::PlotError;
use super::axis::{Axis, plain};
use super::canvas::{Canvas, Rect};
use super::colour;
use super::curve::{Look, Mark, cross};
use super::legend::{Sample, column};
use super::panel::{LABEL, Panel, headline};
use super::text::Lettering;
use crate::study::fraction::throttle_phrase;
use crate::study::map::MapResult;
use crate::study::point::PointResult;

/// What a curve shows of a point.
type Figure = fn(&PointResult) -> Option<f64>;

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed.
pub fn full_throttle(map: &MapResult) -> Result<Vec<u8>, PlotError> {
    let mut canvas = Canvas::new(1600, 1100)?;
    let widest = map.grid.throttles.iter().copied().filter(|t| t.is_finite()).fold(f64::NAN, f64::max);
    let opening = if widest.is_finite() { throttle_phrase(widest) } else { "full throttle".to_owned() };
    let points: Vec<&PointResult> = map.grid.speeds.iter().filter_map(|rpm| map.at(widest, *rpm)).collect();
    let good = points.iter().filter(|p| p.converged).count();
    let beneath = format!(
        "brake figures at the crankshaft; friction law: {}; {good} of {} points converged",
        map.friction_form,
        map.grid.speeds.len()
    );
    let title = format!("Torque, power and filling at {opening}: {}", map.name);
    headline(&mut canvas, &title, &beneath)?;
    let x = Axis::around(map.grid.speeds.iter().copied(), 100.0);
    let x_ticks = x.ticks(14);
    let torque = Curve {
        figure: |p| p.torque_nm.filter(|_| p.fired),
        look: look(0, &[], Mark::Disc),
        name: "torque",
        unit: "N m",
        decimals: 1,
    };
    let power = Curve {
        figure: |p| p.power_kw.filter(|_| p.fired),
        look: look(1, &[16.0, 7.0], Mark::Square),
        name: "power",
        unit: "kW",
        decimals: 1,
    };
    let filling = Curve { figure: |p| p.ve, look: look(2, &[], Mark::Diamond), name: "filling", unit: "", decimals: 2 };

    let area = Rect::new(150.0, 130.0, 1200.0, 590.0);
    // more room above the power, so that the two highest values do not cover each other
    let (left_axis, right) = level_zeros(torque.axis(&points, 0.12), power.axis(&points, 0.3));
    let top = Panel { area, x, y: left_axis };
    let ticks = top.y.ticks(8);
    top.grid(&mut canvas, &x_ticks, &ticks)?;
    top.frame(&mut canvas)?;
    top.left_axis(&mut canvas, &ticks, &["torque [N m]"], 105.0)?;
    top.right_axis(&mut canvas, right, &right.ticks(8), &["power [kW]"], 84.0)?;
    let entries =
        [torque.draw(&mut canvas, &top, &points)?, power.draw(&mut canvas, &Panel { y: right, ..top }, &points)?];
    let left = 1316.0;
    let mut entries = entries.concat();
    let silent = points.iter().filter(|p| p.converged && !p.fired).count();
    if silent > 0 {
        entries.push((Sample::Note, format!("{silent} of {} points did", points.len())));
        entries.push((Sample::Note, "not fire: left out".to_owned()));
    }
    column(&mut canvas, (left, 150.0), 276.0, &entries)?;

    let area = Rect::new(150.0, 640.0, 1200.0, 1000.0);
    let bottom = Panel { area, x, y: Axis::around(filling.values(&points).map(|(_, v)| v), 0.3) };
    let ticks = bottom.y.ticks(7);
    bottom.grid(&mut canvas, &x_ticks, &ticks)?;
    bottom.frame(&mut canvas)?;
    bottom.left_axis(&mut canvas, &ticks, &["filling [-]"], 105.0)?;
    let mut entries = filling.draw(&mut canvas, &bottom, &points)?;
    let notes = ["dry air trapped, over", "dry air of the free", "atmosphere in the", "swept volume"];
    entries.extend(notes.map(|n| (Sample::Note, n.to_owned())));
    if good < points.len() {
        entries.push((Sample::Cross, "not converged".to_owned()));
    }
    column(&mut canvas, (left, 660.0), 276.0, &entries)?;
    bottom.bottom_axis(&mut canvas, &x_ticks, "speed [rpm]")?;
    canvas.finish(&format!("Torque, power, filling: {}", map.name), &format!("bellmouth {}", map.version))
}

/// Both axes stretched downwards so that their zeros stand at one height.
fn level_zeros(a: Axis, b: Axis) -> (Axis, Axis) {
    let below = |axis: &Axis| if axis.high > 0.0 { (-axis.low).max(0.0) / axis.high } else { 0.0 };
    let share = below(&a).max(below(&b));
    (Axis::new(-share * a.high, a.high), Axis::new(-share * b.high, b.high))
}

fn look(index: usize, dashes: &'static [f64], mark: Mark) -> Look {
    Look { colour: colour::curve(index, 6), dashes, mark }
}

/// One curve of the picture.
struct Curve {
    figure: Figure,
    look: Look,
    name: &'static str,
    unit: &'static str,
    decimals: usize,
}

impl Curve {
    fn values<'a>(&'a self, points: &'a [&PointResult]) -> impl Iterator<Item = (&'a PointResult, f64)> + 'a {
        let value = |p: &&'a PointResult| (self.figure)(p).filter(|v| v.is_finite()).map(|v| (*p, v));
        points.iter().filter_map(value)
    }

    /// From zero, or from the lowest value if that is below, to the highest one and `room` of the span above it.
    fn axis(&self, points: &[&PointResult], room: f64) -> Axis {
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        for (_, value) in self.values(points) {
            low = low.min(value);
            high = high.max(value);
        }
        let room = room * (high.min(1e9) - low.max(-1e9));
        Axis::new(if low < 0.0 { low - room } else { 0.0 }, high + room)
    }

    /// Curve, crosses and the highest converged value; returns the entries of the legend.
    fn draw(
        &self,
        canvas: &mut Canvas,
        panel: &Panel,
        points: &[&PointResult],
    ) -> Result<Vec<(Sample, String)>, PlotError> {
        let value = |p: &PointResult| (self.figure)(p).filter(|v| v.is_finite());
        let pair = |p: &&PointResult| value(p).filter(|_| p.converged).map(|v| (p.rpm, v));
        self.look.draw(canvas, panel, &points.iter().map(pair).collect::<Vec<_>>())?;
        for (point, v) in self.values(points).filter(|(p, _)| !p.converged) {
            if panel.y.holds(v) {
                cross(canvas, panel.place(point.rpm, v), self.look.colour)?;
            }
        }
        let mut entries = vec![(Sample::Curve(self.look), self.name.to_owned())];
        let best = self.values(points).filter(|(p, _)| p.converged).max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((point, most)) = best {
            let number = plain(most, self.decimals);
            let text = format!("{number} {}", self.unit).trim_end().to_owned();
            entries.push((Sample::Note, format!("most: {text}")));
            entries.push((Sample::Note, format!("at {:.0} rpm", point.rpm)));
        } else {
            canvas.text(panel.area.middle(), "no converged point", Lettering::new(LABEL).middle())?;
        }
        Ok(entries)
    }
}
