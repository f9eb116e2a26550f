//! A figure of the points at one throttle as a curve over speed.

use super::PlotError;
use super::axis::{Axis, plain};
use super::canvas::Canvas;
use super::curve::{Look, cross};
use super::legend::Sample;
use super::panel::{LABEL, Panel};
use super::text::Lettering;
use crate::study::point::PointResult;
use crate::units::{Quantity, Units};

/// What a curve shows of a point.
pub type Figure = fn(&PointResult) -> Option<f64>;

/// One curve.
#[derive(Debug, Clone, Copy)]
pub struct SpeedCurve {
    /// What it shows, in SI if it has a quantity.
    pub figure: Figure,
    /// How it looks.
    pub look: Look,
    /// Name in the legend.
    pub name: &'static str,
    /// What it measures and in which units that is shown; none for a plain number.
    pub quantity: Option<(Quantity, Units)>,
    /// Decimals of the highest value in the legend, in the metric unit.
    pub decimals: usize,
}

impl SpeedCurve {
    /// The value of a point as it is shown.
    fn value(&self, point: &PointResult) -> Option<f64> {
        let si = (self.figure)(point)?;
        let shown = self.quantity.map_or(si, |(q, units)| units.value(q, si));
        Some(shown).filter(|v| v.is_finite())
    }

    /// Points that have a value.
    pub fn values<'a>(&'a self, points: &'a [&PointResult]) -> impl Iterator<Item = (&'a PointResult, f64)> + 'a {
        let value = |p: &&'a PointResult| self.value(p).map(|v| (*p, v));
        points.iter().filter_map(value)
    }

    /// From zero, or from the lowest value if that is below, to the highest one and `room` of the span above it.
    #[must_use]
    pub fn axis(&self, points: &[&PointResult], room: f64) -> Axis {
        let (mut low, mut high) = (0.0_f64, 1.0_f64);
        for (_, value) in self.values(points) {
            low = low.min(value);
            high = high.max(value);
        }
        let room = room * (high.min(1e9) - low.max(-1e9));
        Axis::new(if low < 0.0 { low - room } else { 0.0 }, high + room)
    }

    /// Curve, crosses and the highest converged value; returns the entries of the legend.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn draw(
        &self,
        canvas: &mut Canvas,
        panel: &Panel,
        points: &[&PointResult],
    ) -> Result<Vec<(Sample, String)>, PlotError> {
        let pair = |p: &&PointResult| self.value(p).filter(|_| p.converged).map(|v| (p.rpm, v));
        self.look.draw(canvas, panel, &points.iter().map(pair).collect::<Vec<_>>())?;
        for (point, v) in self.values(points).filter(|(p, _)| !p.converged) {
            if panel.y.holds(v) {
                cross(canvas, panel.place(point.rpm, v), self.look.colour)?;
            }
        }
        let mut entries = vec![(Sample::Curve(self.look), self.name.to_owned())];
        let best = self.values(points).filter(|(p, _)| p.converged).max_by(|a, b| a.1.total_cmp(&b.1));
        if let Some((point, most)) = best {
            let decimals = self.quantity.map_or(self.decimals, |(q, units)| units.decimals(q, self.decimals));
            let unit = self.quantity.map_or("", |(q, units)| units.name(q));
            let text = format!("{} {unit}", plain(most, decimals)).trim_end().to_owned();
            entries.push((Sample::Note, format!("most: {text}")));
            entries.push((Sample::Note, format!("at {:.0} rpm", point.rpm)));
        } else {
            canvas.text(panel.area.middle(), "no converged point", Lettering::new(LABEL).middle())?;
        }
        Ok(entries)
    }
}
