//! The gap between a needle and the jet around it: entry, exit and friction, laminar to turbulent.

use std::f64::consts::PI;

/// Loss coefficient of the sharp entry [-]. Source: common value, flush sharp inlet.
pub const ENTRY: f64 = 0.5;
/// Loss coefficient of the exit [-]: the whole velocity head.
pub const EXIT: f64 = 1.0;
/// Smallest difference of diameters [m]: a shut gap (needle as wide as the jet, or wider) is taken as this wide. It
/// passes next to nothing, and nothing divides by zero. A land is at least as long.
pub const GAP_LOWEST: f64 = 2.0e-6;
/// Blasius coefficient of the turbulent friction factor [-]: `f = 0.316 Re^-0.25`.
const BLASIUS: f64 = 0.316;
/// Bound on Newton's steps of `flow`, which fall monotonically from an upper bound of the root.
const MAX_STEPS: u32 = 60;
/// Relative step at which `flow` has converged [-]: it leaves about its square.
const STEP_TOLERANCE: f64 = 1.0e-7;

/// Pressure loss against volume flow of a ring gap and one fluid.
///
/// `dp = (K_in + K_out) rho V^2/2 + f (L/Dh) rho V^2/2`, `Dh = D - d`, with the laminar
/// `f = F/Re / (1 + 1.5 e^2)`, `F` the exact constant of the concentric ring (96 for a thin gap, 64 without a needle), and
/// Blasius' turbulent one, joined as `f = (f_lam^4 + f_turb^4)^(1/4)`: smooth and monotone, 19 % above both where they
/// cross (Re 2000 centred, 600 leaning), within 0.1 % of the laminar one below a fifth of that.
///
/// Limits: the eccentric factor holds for thin gaps (at radius ratio 1.3/0.75 it is 4 % high at e = 0.9); the
/// turbulent friction ignores eccentricity; a sharp entry always; no development length.
///
/// Source: form after Ellman, Koskinen & Vilenius, ASME IMECE 1995 (abstract); laminar ring: Bird, Stewart &
/// Lightfoot, sec. 2.4, and White, *Viscous Fluid Flow*, sec. 3-3 (from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnnulusLaw {
    area: f64,
    /// Pressure over flow squared [Pa s2/m6].
    inertial: f64,
    /// Pressure over flow [Pa s/m3] of the laminar friction.
    laminar: f64,
    /// `(f_turb/f_lam)^4` over flow cubed [s3/m9].
    turbulent: f64,
    /// Reynolds number over flow [s/m3].
    re_per_flow: f64,
}

impl AnnulusLaw {
    /// A ring between `inner_diameter` and `outer_diameter`, `length` long [m], `eccentricity` 0 to 1, for a fluid of
    /// `density` [kg/m3] and kinematic `viscosity` [m2/s].
    #[must_use]
    pub fn new(
        outer_diameter: f64,
        inner_diameter: f64,
        length: f64,
        eccentricity: f64,
        density: f64,
        viscosity: f64,
    ) -> Self {
        let outer = outer_diameter.max(2.0 * GAP_LOWEST);
        let inner = inner_diameter.clamp(0.0, outer - GAP_LOWEST);
        let e = eccentricity.clamp(0.0, 1.0);
        let length = length.max(GAP_LOWEST);
        let gap = outer - inner;
        let area = 0.25 * PI * gap * (outer + inner);
        let f_re = friction_constant(inner / outer) / (1.0 + 1.5 * e * e);
        let re_per_flow = gap / (viscosity * area);
        let ratio = BLASIUS / f_re;
        Self {
            area,
            inertial: 0.5 * (ENTRY + EXIT) * density / (area * area),
            laminar: 0.5 * f_re * density * viscosity * length / (gap * gap * area),
            turbulent: ratio * ratio * ratio * ratio * re_per_flow * re_per_flow * re_per_flow,
            re_per_flow,
        }
    }

    /// Open area [m2].
    #[must_use]
    pub fn area(&self) -> f64 {
        self.area
    }

    /// Reynolds number [-] on the hydraulic diameter at the volume flow `q` [m3/s].
    #[must_use]
    pub fn reynolds(&self, q: f64) -> f64 {
        self.re_per_flow * q.abs()
    }

    /// Pressure lost [Pa] by the volume flow `q` [m3/s], with the sign of the flow.
    #[must_use]
    #[inline]
    pub fn pressure_loss(&self, q: f64) -> f64 {
        self.loss_and_slope(q).0
    }

    /// Slope of the pressure loss [Pa s/m3] at the volume flow `q` [m3/s]; never zero: without flow it is the laminar one.
    #[must_use]
    #[inline]
    pub fn slope(&self, q: f64) -> f64 {
        self.loss_and_slope(q).1
    }

    /// Both: pressure lost [Pa] and its slope [Pa s/m3].
    #[must_use]
    #[inline]
    pub fn loss_and_slope(&self, q: f64) -> (f64, f64) {
        let a = q.abs();
        let x = self.turbulent * a * a * a;
        let inertial = self.inertial * a;
        let friction = self.laminar * (1.0 + x).sqrt().sqrt();
        (q * (inertial + friction), 2.0 * inertial + friction * (1.0 + 0.75 * x / (1.0 + x)))
    }

    /// Volume flow [m3/s] driven by the pressure difference `dp` [Pa], with its sign.
    ///
    /// The loss is convex in the flow, so Newton's method started above the root (the flow of inertial loss and laminar
    /// friction together) falls to it monotonically; at most `MAX_STEPS` steps.
    #[must_use]
    pub fn flow(&self, dp: f64) -> f64 {
        let drop = dp.abs();
        let mut q = 2.0 * drop / (self.laminar + (self.laminar * self.laminar + 4.0 * self.inertial * drop).sqrt());
        for _ in 0..MAX_STEPS {
            let (loss, slope) = self.loss_and_slope(q);
            let step = (loss - drop) / slope;
            q -= step;
            if step.abs() <= STEP_TOLERANCE * q {
                break;
            }
        }
        q.max(0.0).copysign(dp)
    }
}

/// Friction factor times Reynolds number on the hydraulic diameter [-] of a concentric ring of diameter ratio `k`:
/// `64 (1-k)^2 / (1 + k^2 + (1-k^2)/ln k)`, from 64 at 0 to 96 at 1. Source: as the law's.
fn friction_constant(k: f64) -> f64 {
    if k <= 0.0 {
        return 64.0;
    }
    64.0 * (1.0 - k) * (1.0 - k) / (1.0 + k * k + (1.0 - k * k) / libm::log(k))
}
