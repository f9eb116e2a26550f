//! Tables of one variable, interpolated without overshoot.

use serde::{Deserialize, Serialize};
use thiserror::Error;

/// Why a table cannot be used.
#[derive(Debug, Clone, Copy, PartialEq, Error)]
pub enum TableError {
    /// Fewer than two points.
    #[error("a table needs at least two points, got `{0}`")]
    TooShort(usize),
    /// Abscissae do not rise, or a number is not finite.
    #[error("point `{0}` of the table is not finite or does not rise")]
    NotRising(usize),
}

/// Value [unit of y] at `x` of the straight lines through `points` (x rising), held at the end values outside.
///
/// An empty table gives not a number.
#[must_use]
pub fn linear(points: &[(f64, f64)], x: f64) -> f64 {
    let (Some(first), Some(last)) = (points.first(), points.last()) else { return f64::NAN };
    if x <= first.0 {
        return first.1;
    }
    if x >= last.0 {
        return last.1;
    }
    for pair in points.windows(2) {
        let ((x0, y0), (x1, y1)) = (pair[0], pair[1]);
        if x <= x1 {
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0);
        }
    }
    f64::NAN
}

fn check(points: &[(f64, f64)]) -> Result<(), TableError> {
    if points.len() < 2 {
        return Err(TableError::TooShort(points.len()));
    }
    for (i, point) in points.iter().enumerate() {
        let rises = i == 0 || point.0 > points[i - 1].0;
        if !(rises && point.0.is_finite() && point.1.is_finite()) {
            return Err(TableError::NotRising(i));
        }
    }
    Ok(())
}

/// A smooth table: piecewise cubic Hermite with slopes that keep it monotone where the points are (PCHIP).
///
/// Slopes inside are the weighted harmonic mean of the neighbouring secants, zero at a turning point; at the ends a
/// one-sided three-point slope, limited. Held at the end values outside. Source: Fritsch & Butland, SIAM J. Sci.
/// Stat. Comput. 5, 300 (1984), with the end rule of Moler, *Numerical Computing*, ch. 3 (both from memory).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Pchip {
    points: Vec<(f64, f64)>,
    slopes: Vec<f64>,
}

impl Pchip {
    /// A table through `points`, x rising.
    ///
    /// # Errors
    /// Fewer than two points, x not rising, or a number that is not finite.
    pub fn new(points: Vec<(f64, f64)>) -> Result<Self, TableError> {
        check(&points)?;
        let n = points.len();
        let width: Vec<f64> = points.windows(2).map(|p| p[1].0 - p[0].0).collect();
        let secant: Vec<f64> = points.windows(2).map(|p| (p[1].1 - p[0].1) / (p[1].0 - p[0].0)).collect();
        let mut slopes = vec![secant[0]; n];
        if n > 2 {
            for i in 1..n - 1 {
                slopes[i] = inner_slope(width[i - 1], width[i], secant[i - 1], secant[i]);
            }
            slopes[0] = end_slope(width[0], width[1], secant[0], secant[1]);
            slopes[n - 1] = end_slope(width[n - 2], width[n - 3], secant[n - 2], secant[n - 3]);
        }
        Ok(Self { points, slopes })
    }

    /// Value [unit of y] at `x`.
    #[must_use]
    pub fn value(&self, x: f64) -> f64 {
        let n = self.points.len();
        if x <= self.points[0].0 {
            return self.points[0].1;
        }
        if x >= self.points[n - 1].0 {
            return self.points[n - 1].1;
        }
        let i = self.points.partition_point(|p| p.0 <= x).clamp(1, n - 1) - 1;
        let ((x0, y0), (x1, y1)) = (self.points[i], self.points[i + 1]);
        let h = x1 - x0;
        let s = (x - x0) / h;
        let r = 1.0 - s;
        let (m0, m1) = (h * self.slopes[i], h * self.slopes[i + 1]);
        y0 * r * r * (1.0 + 2.0 * s) + m0 * s * r * r + y1 * s * s * (3.0 - 2.0 * s) - m1 * s * s * r
    }
}

fn inner_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    if d0 * d1 <= 0.0 {
        return 0.0;
    }
    let (w0, w1) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    (w0 + w1) / (w0 / d0 + w1 / d1)
}

fn end_slope(h0: f64, h1: f64, d0: f64, d1: f64) -> f64 {
    let d = ((2.0 * h0 + h1) * d0 - h0 * d1) / (h0 + h1);
    if d * d0 <= 0.0 {
        0.0
    } else if d0 * d1 <= 0.0 && d.abs() > 3.0 * d0.abs() {
        3.0 * d0
    } else {
        d
    }
}
