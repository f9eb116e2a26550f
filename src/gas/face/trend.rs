//! Where the next solve of a face starts.

use crate::numeric::parabola;

/// What the last solves at one face found ([`super::FaceFlow::start`]): drawn on in time, it starts the next solve.
///
/// It has a sign, that of the flow, and is nearly linear in the pressure difference, so that it is smooth where the flow reverses.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Trend {
    last: f64,
    before: f64,
    /// The one before that.
    third: f64,
}

impl Trend {
    /// Where the next value is expected [-]: the parabola through the last three, for steps of about one length.
    #[must_use]
    pub fn next(self) -> f64 {
        parabola::next(self.last, self.before, self.third)
    }

    /// Takes the latest value [-]; 0, of a shut face, forgets those before.
    pub fn push(&mut self, value: f64) {
        if self.last.abs() > 0.0 {
            (self.third, self.before) = (self.before, self.last);
        } else {
            (self.third, self.before) = (value, value);
        }
        self.last = value;
    }
}
