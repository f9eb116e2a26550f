//! A chart: axes around its numbers, and a legend above its frame, so that it covers no curve.

use super::PlotError;
use super::axis::{Axis, Tick};
use super::canvas::{Canvas, Rect};
use super::colour::{self, INK};
use super::panel::{LABEL, NUMBER, Panel};
use super::series::{Kind, SAMPLE, Series, UPRIGHT, sample, spots};
use super::text::{Lettering, whole};

/// One axis of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// Title with the unit.
    pub title: String,
    /// Lowest and highest number; from the series where not given.
    pub range: Option<(f64, f64)>,
    /// Whether equal ratios take equal room.
    pub logarithmic: bool,
}

impl Scale {
    /// A linear axis around its numbers.
    #[must_use]
    pub fn new(title: &str) -> Self {
        Self { title: title.to_owned(), range: None, logarithmic: false }
    }

    /// The same from `low` to `high`.
    #[must_use]
    pub fn within(self, low: f64, high: f64) -> Self {
        Self { range: Some((low, high)), ..self }
    }

    /// The same in equal ratios.
    #[must_use]
    pub fn in_ratios(self) -> Self {
        Self { logarithmic: true, ..self }
    }

    fn axis(&self, values: impl Iterator<Item = f64>) -> Axis {
        let sound = values.filter(|v| v.is_finite() && (!self.logarithmic || *v > 0.0));
        let axis = match self.range {
            Some((low, high)) => Axis::new(low, high),
            None if self.logarithmic => {
                let (low, high) = sound.fold((f64::INFINITY, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
                Axis::new(low / 1.4, high * 1.4)
            }
            None => Axis::around(sound, 0.0),
        };
        if self.logarithmic { axis.logarithmic() } else { axis }
    }

    /// Ticks, small numbers of an axis of ratios as powers of ten.
    fn ticks(axis: Axis, most: f64) -> Vec<Tick> {
        let mut ticks = axis.ticks(most.max(2.0) as usize);
        for tick in ticks.iter_mut().filter(|t| axis.logarithmic && t.at < 0.009) {
            tick.label = format!("{:.0e}", tick.at).replace('-', "\u{2212}");
        }
        ticks
    }
}

/// One chart.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    /// Heading above it.
    pub heading: String,
    /// Axis along the bottom.
    pub x: Scale,
    /// Axis at the left.
    pub y: Scale,
    /// What is drawn; exact points lie beneath the lines, single spots above them.
    pub series: Vec<Series>,
    /// Upright dotted lines at numbers of x, and their name in the legend.
    pub uprights: Option<(Vec<f64>, String)>,
}

/// Distance of legend lines [px].
pub const LEGEND_PITCH: f64 = 34.0;
/// Room right of a frame [px].
pub const RIGHT: f64 = 34.0;
/// Gaps behind sample and name in a legend [px].
const GAPS: (f64, f64) = (11.0, 26.0);

/// Name in a legend and what it stands for.
type Entry<'a> = (&'a str, Option<&'a Series>);

impl Chart {
    fn axes(&self) -> (Axis, Axis) {
        let points = || self.series.iter().flat_map(|s| &s.points);
        (self.x.axis(points().map(|p| p.0)), self.y.axis(points().map(|p| p.1)))
    }

    fn y_ticks(&self, height: f64) -> Vec<Tick> {
        Scale::ticks(self.axes().1, height / 48.0)
    }

    /// Room left of the frame for numbers and title [px].
    pub(super) fn left(&self, height: f64) -> Result<f64, PlotError> {
        let mut widths = self.y_ticks(height).into_iter().map(|t| Lettering::new(NUMBER).width(&t.label));
        Ok(66.0 + widths.try_fold(0.0, |a: f64, b| b.map(|b| a.max(b)))?)
    }

    /// Names of the legend in their order.
    fn names(&self) -> impl Iterator<Item = Entry<'_>> {
        let series = self.series.iter().filter(|s| !s.name.is_empty()).map(|s| (s.name.as_str(), Some(s)));
        series.chain(self.uprights.iter().map(|u| (u.1.as_str(), None)))
    }

    /// Lines of the legend, each entry with its start from the left of the frame [px]; no series stands for the upright
    /// lines.
    pub(super) fn legend(&self, room: f64) -> Result<Vec<Vec<(f64, Entry<'_>)>>, PlotError> {
        let look = Lettering::new(NUMBER);
        let (mut lines, mut taken) = (Vec::new(), f64::INFINITY);
        for entry in self.names() {
            whole(entry.0, look, room - SAMPLE - GAPS.0)?;
            let need = SAMPLE + GAPS.0 + look.width(entry.0)?;
            if taken + need > room {
                lines.push(Vec::new());
                taken = 0.0;
            }
            if let Some(line) = lines.last_mut() {
                line.push((taken, entry));
            }
            taken += need + GAPS.1;
        }
        Ok(lines)
    }

    pub(super) fn draw(&self, canvas: &mut Canvas, area: Rect, heading: f64) -> Result<(), PlotError> {
        if !self.series.iter().flat_map(|s| &s.points).any(|p| p.0.is_finite() && p.1.is_finite()) {
            return Err(PlotError::Drawing(format!("`{}` has no number to draw", self.heading)));
        }
        let (x, y) = self.axes();
        let panel = Panel { area, x, y };
        let (x_ticks, y_ticks) = (Scale::ticks(x, area.width() / 80.0), self.y_ticks(area.height()));
        let bold = Lettering::new(LABEL);
        canvas.text((area.left, heading), &whole(&self.heading, bold, area.width() + RIGHT)?, bold)?;
        for (i, line) in self.legend(area.width())?.iter().enumerate() {
            let height = heading + 38.0 + LEGEND_PITCH * i as f64;
            for (start, (name, series)) in line {
                let start = area.left + start;
                sample(canvas, (start, height), *series)?;
                canvas.text((start + SAMPLE + GAPS.0, height), name, Lettering::new(NUMBER))?;
            }
        }
        panel.grid(canvas, &x_ticks, &y_ticks)?;
        if !y.logarithmic && y.low < 0.0 && y.high > 0.0 {
            canvas.level(area.left, area.right, panel.py(0.0), 2.0, colour::tint(INK, 0.4))?;
        }
        for x in self.uprights.iter().flat_map(|u| &u.0).filter(|x| panel.x.holds(**x)) {
            UPRIGHT.stroke(canvas, &[(panel.px(*x), area.bottom), (panel.px(*x), area.top)])?;
        }
        let of = |kind: Kind| self.series.iter().filter(move |s| s.kind == kind);
        for series in of(Kind::Exact) {
            spots(canvas, &panel, series)?;
        }
        for series in self.series.iter().filter(|s| s.lined()) {
            let points = series.points.iter().map(|p| Some(*p).filter(|p| p.0.is_finite() && p.1.is_finite()));
            series.style().draw(canvas, &panel, &points.collect::<Vec<_>>())?;
        }
        for series in of(Kind::Spots) {
            spots(canvas, &panel, series)?;
        }
        panel.frame(canvas)?;
        let out = self.left(area.height())? - 22.0;
        let upright = Lettering::new(LABEL);
        panel.left_axis(canvas, &y_ticks, &[&whole(&self.y.title, upright, area.height() + 90.0)?], out)?;
        panel.bottom_axis(canvas, &x_ticks, &whole(&self.x.title, upright, area.width() + RIGHT)?)
    }
}
