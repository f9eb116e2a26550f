//! Poppet valves: lift against crank angle, seat geometry, flow coefficient.

use serde::{Deserialize, Serialize};

use crate::numeric::table::Pchip;

/// Lift of a valve over the crank angle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(untagged)]
pub enum LiftProfile {
    /// `lift = max_lift * (1 - x^2)^2` with `x = (theta - centre) / half_duration` between -1 and 1: zero lift and zero velocity at
    /// both ends. Fullness 8/15 = 0.533 (common practice for a mild road cam: 0.50 to 0.58). Timing given at a check lift `c` is
    /// extended to the seat by `x_c = sqrt(1 - sqrt(c / max_lift))`.
    Polynomial {
        /// Largest lift [m].
        max_lift: f64,
        /// Crank angle of the largest lift [rad after firing top centre].
        centre: f64,
        /// Half the seat-to-seat duration [rad of crank angle].
        half_duration: f64,
    },
    /// Measured points with a smooth curve through them that goes neither above nor below its neighbours.
    Points(LiftTable),
}

/// Measured lift: crank angle [rad after firing top centre] and lift [m], from the seat and back to it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct LiftTable {
    table: Pchip,
    opens: f64,
    closes: f64,
    max_lift: f64,
}

impl LiftTable {
    /// A curve through `points`, the angles rising over less than a cycle, the first and last lift nothing and those between more than
    /// nothing; none if they are not so.
    #[must_use]
    pub fn new(points: Vec<(f64, f64)>) -> Option<Self> {
        let (first, last) = (*points.first()?, *points.last()?);
        let shut = |p: (f64, f64)| p.1.abs() <= 0.0;
        let open = points.len() > 2 && points[1..points.len() - 1].iter().all(|p| p.1 > 0.0);
        if !(shut(first) && shut(last) && open && last.0 - first.0 < CYCLE) {
            return None;
        }
        let max_lift = points.iter().map(|p| p.1).fold(0.0, f64::max);
        Some(Self { opens: first.0, closes: last.0, max_lift, table: Pchip::new(points).ok()? })
    }
}

/// Crank angle of one cycle [rad].
const CYCLE: f64 = 4.0 * std::f64::consts::PI;

impl LiftProfile {
    /// A polynomial profile that passes `check_lift` [m] at the angles `opens` and `closes` [rad, `opens < closes`].
    #[must_use]
    pub fn from_timing(opens: f64, closes: f64, check_lift: f64, max_lift: f64) -> Self {
        let x = (1.0 - (check_lift / max_lift).sqrt()).sqrt();
        Self::Polynomial { max_lift, centre: 0.5 * (opens + closes), half_duration: 0.5 * (closes - opens) / x }
    }

    /// Lift [m] at crank angle `theta` [rad in `0..4*PI`]; a profile may reach over the end of the cycle.
    #[must_use]
    pub fn lift(&self, theta: f64) -> f64 {
        match self {
            Self::Polynomial { max_lift, centre, half_duration } => {
                let mut d = theta - centre;
                if d.abs() >= CYCLE {
                    d %= CYCLE;
                }
                if d > 0.5 * CYCLE {
                    d -= CYCLE;
                }
                if d < -0.5 * CYCLE {
                    d += CYCLE;
                }
                let x = d / half_duration;
                if x.abs() >= 1.0 {
                    return 0.0;
                }
                let q = 1.0 - x * x;
                max_lift * q * q
            }
            Self::Points(t) => {
                let since = theta - t.opens;
                let since = if (0.0..CYCLE).contains(&since) { since } else { since.rem_euclid(CYCLE) };
                if since >= t.closes - t.opens { 0.0 } else { t.table.value(t.opens + since) }
            }
        }
    }

    /// Largest lift [m].
    #[must_use]
    pub fn max_lift(&self) -> f64 {
        match self {
            Self::Polynomial { max_lift, .. } => *max_lift,
            Self::Points(t) => t.max_lift,
        }
    }

    /// Crank angle at which the valve leaves its seat [rad].
    #[must_use]
    pub fn opening(&self) -> f64 {
        match self {
            Self::Polynomial { centre, half_duration, .. } => centre - half_duration,
            Self::Points(t) => t.opens,
        }
    }

    /// Crank angle at which the valve is back on its seat [rad].
    #[must_use]
    pub fn closing(&self) -> f64 {
        match self {
            Self::Polynomial { centre, half_duration, .. } => centre + half_duration,
            Self::Points(t) => t.closes,
        }
    }
}

/// One valve, or several equal ones, of an inlet or an exhaust.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PoppetValve {
    /// Number of equal valves [-].
    pub count: u32,
    /// Head diameter [m].
    pub head_diameter: f64,
    /// Seat width measured along the seat [m].
    pub seat_width: f64,
    /// Seat angle from the plane of the head [rad], 45 degrees as a rule.
    pub seat_angle: f64,
    /// Stem diameter [m].
    pub stem_diameter: f64,
    /// Port (throat) diameter just under the seat [m].
    pub port_diameter: f64,
    /// Lift against crank angle.
    pub lift: LiftProfile,
    /// Factor on the discharge coefficient curve of `laws::valve_flow`, 1 as a rule [-].
    pub flow_factor: f64,
}

impl PoppetValve {
    /// Area of the port beside the stem of **one** valve [m2]: the geometric area at large lift.
    #[must_use]
    pub fn port_area(&self) -> f64 {
        0.25 * std::f64::consts::PI * self.port_square()
    }

    /// Diameter of the port squared less that of the stem [m2].
    fn port_square(&self) -> f64 {
        self.port_diameter * self.port_diameter - self.stem_diameter * self.stem_diameter
    }

    /// Geometric minimum area of **one** valve at `lift` [m] -> [m2].
    ///
    /// With seat width `w`, seat angle `b`, head `Dv`, stem `Ds`, port `Dp`, `Dm = Dv - w`:
    /// 1. `L < w/(sin b cos b)`: `A = pi L cos b (Dv - 2w + (L/2) sin 2b)`
    /// 2. up to `L = sqrt{[(Dp^2-Ds^2)/(4 Dm)]^2 - w^2} + w tan b`: `A = pi Dm sqrt((L - w tan b)^2 + w^2)`
    /// 3. above: `A = pi/4 (Dp^2 - Ds^2)`
    ///
    /// Source: Heywood, *Internal Combustion Engine Fundamentals*, 1988, eqs 6.7 to 6.9 (from memory). `w` in
    /// those equations is the seat width projected as there defined. Zero lift or less gives zero.
    #[must_use]
    pub fn geometric_area(&self, lift: f64) -> f64 {
        use std::f64::consts::PI;
        if lift <= 0.0 {
            return 0.0;
        }
        let (w, b) = (self.seat_width, self.seat_angle);
        let (sin_b, cos_b) = (libm::sin(b), libm::cos(b));
        let tan_b = sin_b / cos_b;
        let mean_diameter = self.head_diameter - w;
        let port = self.port_square();
        let q = port / (4.0 * mean_diameter);
        let third = (q * q - w * w).max(0.0).sqrt() + w * tan_b;
        if lift < w / (sin_b * cos_b) {
            PI * lift * cos_b * (self.head_diameter - 2.0 * w + 0.5 * lift * libm::sin(2.0 * b))
        } else if lift <= third {
            let g = lift - w * tan_b;
            PI * mean_diameter * (g * g + w * w).sqrt()
        } else {
            self.port_area()
        }
    }
}
