//! An axis: from numbers to places, and round numbers along it.

/// Largest number an axis takes; what is larger is drawn at the edge.
const LARGEST: f64 = 1e9;

/// A mark along an axis.
#[derive(Debug, Clone, PartialEq)]
pub struct Tick {
    /// Number.
    pub at: f64,
    /// Label.
    pub label: String,
    /// Second line of the label, or nothing.
    pub below: String,
}

/// An axis from its lowest to its highest number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axis {
    /// Lowest number.
    pub low: f64,
    /// Highest number, above the lowest.
    pub high: f64,
    /// Whether equal ratios take equal room.
    pub logarithmic: bool,
}

impl Axis {
    /// From `low` to `high`; an empty or senseless range is widened.
    #[must_use]
    pub fn new(low: f64, high: f64) -> Self {
        let low = if low.is_finite() { low.clamp(-LARGEST, LARGEST) } else { 0.0 };
        let high = if high.is_finite() { high.clamp(-LARGEST, LARGEST) } else { low + 1.0 };
        let least = 1e-6 * low.abs().max(high.abs()).max(1e-6);
        if high - low > least {
            Self { low, high, logarithmic: false }
        } else {
            let room = 0.05 * low.abs().max(1e-6);
            Self { low: low - room, high: low + room, logarithmic: false }
        }
    }

    /// Around all finite values, with a little room; at least `least` wide. 0 to 1 if there is no value.
    #[must_use]
    pub fn around(values: impl Iterator<Item = f64>, least: f64) -> Self {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values.filter(|v| v.is_finite()) {
            low = low.min(value.clamp(-LARGEST, LARGEST));
            high = high.max(value.clamp(-LARGEST, LARGEST));
        }
        if low > high {
            return Self::new(0.0, 1.0);
        }
        let room = 0.06 * (high - low).max(least);
        let short = 0.5 * (least - (high - low)).max(0.0);
        Self::new(low - room - short, high + room + short)
    }

    /// The same with equal room for equal ratios; the lowest number is held above 0.
    #[must_use]
    pub fn logarithmic(self) -> Self {
        let high = self.high.max(1e-6);
        Self { low: self.low.clamp(1e-9, 0.9 * high), high, logarithmic: true }
    }

    /// Place of `value` along the axis [0 at the lowest, 1 at the highest number].
    #[must_use]
    pub fn share(&self, value: f64) -> f64 {
        if self.logarithmic {
            libm::log(value.max(1e-12) / self.low) / libm::log(self.high / self.low)
        } else {
            (value - self.low) / (self.high - self.low)
        }
    }

    /// Whether `value` lies on the axis.
    #[must_use]
    pub fn holds(&self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }

    /// At most about `most` round numbers along the axis (steps of 1, 2 or 5; in ratios: 1, 2, 5, 10).
    #[must_use]
    pub fn ticks(&self, most: usize) -> Vec<Tick> {
        let tick = |at: f64, label: String| Tick { at, label, below: String::new() };
        if self.logarithmic {
            let factors: &[f64] = if self.high / self.low > 2e3 { &[1.0] } else { &[1.0, 2.0, 5.0] };
            let numbers = (-9..=9).flat_map(|d| factors.iter().map(move |m| m * libm::pow(10.0, f64::from(d))));
            let decimals = |v: f64| if v < 1.0 { (-libm::floor(libm::log10(v * 1.001))) as usize } else { 0 };
            return numbers.filter(|v| self.holds(*v)).map(|v| tick(v, plain(v, decimals(v)))).collect();
        }
        let rough = (self.high - self.low) / most.max(1) as f64;
        let decade = libm::pow(10.0, libm::floor(libm::log10(rough)));
        let factor = [1.0, 2.0, 5.0].into_iter().find(|f| f * decade >= rough * 0.999).unwrap_or(10.0);
        let step = factor * decade;
        let decimals = (-libm::floor(libm::log10(step * 1.001))).clamp(0.0, 9.0) as usize;
        let first = (self.low / step - 1e-6).ceil();
        let last = (self.high / step + 1e-6).floor();
        let count = (last - first).clamp(-1.0, 100.0) as i32;
        (0..=count).map(|i| (first + f64::from(i)) * step).map(|at| tick(at, plain(at, decimals))).collect()
    }
}

/// A number with `decimals`, the minus as its own sign, large ones by powers of ten.
#[must_use]
pub fn plain(value: f64, decimals: usize) -> String {
    let text = if value.abs() >= 1e6 { format!("{value:.0e}") } else { format!("{value:.decimals$}") };
    let zero = text.chars().all(|c| !c.is_ascii_digit() || c == '0');
    if zero { text.replace('-', "") } else { text.replace('-', "\u{2212}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn labels(axis: Axis, most: usize) -> Vec<String> {
        axis.ticks(most).into_iter().map(|t| t.label).collect()
    }

    #[test]
    fn ticks_are_round_numbers() {
        assert_eq!(labels(Axis::new(0.0, 50.0), 6), ["0", "10", "20", "30", "40", "50"]);
        assert_eq!(labels(Axis::new(-0.3, 0.4), 4), ["\u{2212}0.2", "0.0", "0.2", "0.4"]);
        assert_eq!(
            labels(Axis::new(40.0, 6000.0).logarithmic(), 9),
            ["50", "100", "200", "500", "1000", "2000", "5000"]
        );
    }

    #[test]
    fn an_axis_around_anything_finite_has_width_and_a_bounded_number_of_ticks() {
        let cases: [&[f64]; 8] = [
            &[],
            &[0.0],
            &[13.0, 13.0],
            &[1e300, -1e300],
            &[f64::MAX, f64::MIN],
            &[5e-324, 0.0],
            &[f64::NAN, f64::INFINITY],
            &[1e-12, 2e-12],
        ];
        for values in cases {
            for axis in [Axis::around(values.iter().copied(), 0.0), Axis::around(values.iter().copied(), 1.0)] {
                assert!(axis.high > axis.low, "{values:?}: {axis:?}");
                assert!(axis.ticks(8).len() <= 101, "{values:?}");
                assert!(axis.share(0.5 * (axis.low + axis.high)).is_finite());
                assert!(axis.logarithmic().share(axis.high).is_finite());
            }
        }
    }
}
