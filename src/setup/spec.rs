//! What a value may be, and what it is likely to be when nobody says.

use crate::units::table::find;
use crate::units::{Dimension, significant};

/// Kind, unit and range of one value.
#[derive(Debug, Clone, Copy)]
pub struct Spec {
    /// What it measures.
    pub dimension: Dimension,
    /// The unit in which the ranges stand and the value is shown.
    pub unit: &'static str,
    /// Lowest and highest value accepted, in `unit`.
    pub allowed: (f64, f64),
    /// Range outside which a warning is given, in `unit`.
    pub usual: (f64, f64),
}

impl Spec {
    /// A value of `dimension` in `unit`, accepted in `allowed`, likely in `usual`.
    #[must_use]
    pub const fn new(dimension: Dimension, unit: &'static str, allowed: (f64, f64), usual: (f64, f64)) -> Self {
        Self { dimension, unit, allowed, usual }
    }

    /// From `unit` to the unit kept inside the program.
    #[must_use]
    pub fn kept(&self, value: f64) -> f64 {
        find(self.unit, self.dimension).map_or(value, |u| (u.to_kept)(value))
    }

    /// From the unit kept inside the program to `unit`.
    #[must_use]
    pub fn outside(&self, kept: f64) -> f64 {
        find(self.unit, self.dimension).map_or(kept, |u| (u.from_kept)(kept))
    }

    /// Whether a kept value is accepted; not so for NaN.
    #[must_use]
    pub fn accepts(&self, kept: f64) -> bool {
        self.within(kept, self.allowed)
    }

    /// Whether a kept value is likely; not so for NaN.
    #[must_use]
    pub fn likely(&self, kept: f64) -> bool {
        self.within(kept, self.usual)
    }

    fn within(&self, kept: f64, (low, high): (f64, f64)) -> bool {
        // a unit's round trip may move the last digits, so the ends count with a little room
        let room = 1e-9 * (high - low).abs();
        let value = self.outside(kept);
        value >= low - room && value <= high + room
    }

    /// A kept value as a person reads it.
    #[must_use]
    pub fn show(&self, kept: f64) -> String {
        significant(kept, self.dimension, self.unit)
    }

    /// `10 mm to 100 mm`.
    #[must_use]
    pub fn show_range(&self, (low, high): (f64, f64)) -> String {
        format!("{} to {}", self.exact(low), self.exact(high))
    }

    fn exact(&self, value: f64) -> String {
        match self.unit {
            "" => value.to_string(),
            ":1" => format!("{value}:1"),
            unit => format!("{value} {unit}"),
        }
    }
}

/// Common practice of the trade without a source that was seen.
pub const COMMON: &str = "common practice, no source";

/// A value by rule, with the range in which the true one is likely to lie; all in the unit kept inside.
#[derive(Debug, Clone)]
pub struct Estimate {
    /// The value.
    pub value: f64,
    /// Lowest likely value.
    pub low: f64,
    /// Highest likely value.
    pub high: f64,
    /// The rule in words.
    pub rule: String,
    /// Source or [`COMMON`].
    pub source: &'static str,
}

impl Estimate {
    /// A fixed value with its range, in the unit of `spec`.
    #[must_use]
    pub fn fixed(spec: &Spec, value: f64, (low, high): (f64, f64), rule: &str, source: &'static str) -> Self {
        Self { value: spec.kept(value), low: spec.kept(low), high: spec.kept(high), rule: rule.into(), source }
    }

    /// `factor` times `base`, with the range of the factor; `base` in the unit kept inside.
    #[must_use]
    pub fn times(base: f64, factor: f64, (low, high): (f64, f64), rule: &str, source: &'static str) -> Self {
        Self { value: base * factor, low: base * low, high: base * high, rule: rule.into(), source }
    }

    /// `base` plus `more`, with the range of the addition; all in the unit kept inside.
    #[must_use]
    pub fn plus(base: f64, more: f64, (low, high): (f64, f64), rule: &str, source: &'static str) -> Self {
        Self { value: base + more, low: base + low, high: base + high, rule: rule.into(), source }
    }

    /// The same, held inside what `spec` accepts.
    #[must_use]
    pub fn held(mut self, spec: &Spec) -> Self {
        let (low, high) = (spec.kept(spec.allowed.0), spec.kept(spec.allowed.1));
        for v in [&mut self.value, &mut self.low, &mut self.high] {
            *v = if *v < low {
                low
            } else if *v > high {
                high
            } else {
                *v
            };
        }
        self
    }
}
