//! A jet: flow through a short cylindrical hole, its coefficient following the Reynolds number.

use std::f64::consts::PI;

/// Highest head-based Reynolds number of the correlation [-]; above it the coefficient keeps its value there.
pub const RE_HIGHEST: f64 = 2.0e4;
/// Longest slenderness used [-]; a longer hole is taken as this long (the correlation is stated to 10).
pub const SLENDERNESS_HIGHEST: f64 = 40.0;
/// Smallest bore of a `JetLaw` [m]: a shut hole passes next to nothing, and nothing divides by zero.
pub const BORE_LOWEST: f64 = 1.0e-6;

/// Discharge coefficient [-] at head-based Reynolds number `re_h = (d/nu) sqrt(2 dp/rho)` and length over
/// diameter `slenderness`:
///
/// `Cdu = 0.827 - 0.0085 l`, `1/Cd = 1/Cdu + (20/Re)(1 + 2.25 l) - 0.005 l / (1 + 7.5 [log10(0.00015 Re)]^2)`.
///
/// Stated for Re 10 to 2e4 and slenderness 2 to 10, a sharp inlet and no cavitation. Above Re 2e4 the coefficient keeps its
/// value there, below 10 the formula runs into the laminar limit `Re / (20 (1 + 2.25 l))`. Slenderness below 2 is an
/// extrapolation (at 0.5 it gives 0.82 where a thin plate has 0.61); slenderness is held between 0 and
/// `SLENDERNESS_HIGHEST`. No flow gives 0.
///
/// Source: Lichtarowicz, Duggins & Markland, J. Mech. Eng. Sci. 7(2), 210 (1965); constants as in two public
/// libraries, the paper itself not seen.
#[must_use]
pub fn discharge(re_h: f64, slenderness: f64) -> f64 {
    let l = slenderness.clamp(0.0, SLENDERNESS_HIGHEST);
    let re = re_h.clamp(0.0, RE_HIGHEST);
    if re <= 0.0 {
        return 0.0;
    }
    let decades = libm::log10(0.000_15 * re);
    let inertial = 1.0 / (0.827 - 0.008_5 * l) - 0.005 * l / (1.0 + 7.5 * decades * decades);
    re / (re * inertial + laminar_constant(l))
}

/// `20 (1 + 2.25 l)` [-]: head-based Reynolds number over discharge coefficient as both go to zero.
fn laminar_constant(l: f64) -> f64 {
    20.0 * (1.0 + 2.25 * l)
}

/// Octaves of flow below `RE_HIGHEST` that the table covers.
const OCTAVES: u64 = 16;
/// Cells per octave, as a power of two.
const CELL_BITS: u64 = 3;
/// Bits of a double's mantissa below the cell's number.
const SHIFT: u64 = 52 - CELL_BITS;
/// Cell number of flow 1 (the top of the table) before the offset.
const TOP: u64 = 1023 << CELL_BITS;
/// Number of cells.
const CELLS: u64 = OCTAVES << CELL_BITS;
/// Tolerance of the head-based Reynolds number at a node of the table [-], over `RE_HIGHEST`.
const NODE_TOLERANCE: f64 = 1.0e-14;

/// Pressure loss against volume flow of one jet and one fluid.
///
/// The flow's own Reynolds number `Re_Q = 4 Q / (pi d nu)` follows from `Cd(Re_h) Re_h = Re_Q`; the inverse is a table of
/// cubics, eight to the octave, made at construction: within 3e-6 of the root, continuous with its slope, no logarithm
/// in use. Below the table (about Re_Q 0.25) the coefficient's laminar limit with its inertial term is solved exactly.
/// Not modelled: cavitation, start-up of the vena contracta.
#[derive(Debug, Clone, PartialEq)]
pub struct JetLaw {
    slenderness: f64,
    area: f64,
    density: f64,
    /// Table's flow over volume flow [s/m3].
    per_flow: f64,
    /// Table's flow over flow Reynolds number [-].
    per_re: f64,
    /// Pressure over head-based Reynolds number squared [Pa].
    scale: f64,
    /// d/nu [s/m].
    re_per_speed: f64,
    /// `20 (1 + 2.25 l)` [-].
    laminar: f64,
    /// `1/Cd - laminar/Re` at the foot of the table [-].
    inertial: f64,
    /// Head-based Reynolds number squared at the top of the table [-].
    top: f64,
    /// Cubics in the distance from each cell's lower end.
    cells: Vec<[f64; 4]>,
}

impl JetLaw {
    /// A jet of `bore` and `length` [m] for a fluid of `density` [kg/m3] and kinematic `viscosity` [m2/s].
    ///
    /// A bore below `BORE_LOWEST` is taken as that.
    #[must_use]
    pub fn new(bore: f64, length: f64, density: f64, viscosity: f64) -> Self {
        let bore = bore.max(BORE_LOWEST);
        let l = (length / bore).clamp(0.0, SLENDERNESS_HIGHEST);
        let laminar = laminar_constant(l);
        let re_top = RE_HIGHEST * discharge(RE_HIGHEST, l);
        let ends: Vec<(f64, f64, f64)> = (0..=CELLS)
            .map(|i| {
                let x = f64::from_bits((TOP - CELLS + i) << SHIFT);
                let re_h = head_reynolds(x * re_top, l);
                (x, re_h * re_h, square_slope(re_h, l) * re_top)
            })
            .collect();
        let cells = ends
            .windows(2)
            .map(|pair| {
                let ((x0, y0, m0), (x1, y1, m1)) = (pair[0], pair[1]);
                let h = x1 - x0;
                let secant = (y1 - y0) / h;
                [y0, m0, (3.0 * secant - 2.0 * m0 - m1) / h, (m0 + m1 - 2.0 * secant) / (h * h)]
            })
            .collect();
        let foot = ends[0].1.sqrt();
        Self {
            slenderness: l,
            area: 0.25 * PI * bore * bore,
            density,
            per_flow: 4.0 / (PI * bore * viscosity * re_top),
            per_re: 1.0 / re_top,
            scale: 0.5 * density * (viscosity / bore) * (viscosity / bore),
            re_per_speed: bore / viscosity,
            laminar,
            inertial: 1.0 / discharge(foot, l) - laminar / foot,
            top: RE_HIGHEST * RE_HIGHEST,
            cells,
        }
    }

    /// Head-based Reynolds number squared [-] and its slope [per table's flow] at the table's flow `x`, 0 or more.
    fn square(&self, x: f64) -> (f64, f64) {
        if x >= 1.0 {
            return (self.top * x * x, 2.0 * self.top * x);
        }
        let bits = x.to_bits() >> SHIFT;
        if bits < TOP - CELLS {
            // Re_h^2 = Re_Q (laminar + inertial Re_h)
            let re_q = x / self.per_re;
            let b = self.inertial * re_q;
            let re_h = 0.5 * (b + (b * b + 4.0 * self.laminar * re_q).sqrt());
            let share = self.inertial * re_h;
            let slope = self.laminar + share * (1.0 + 1.0 / (2.0 - share / (self.laminar + share)));
            return (re_h * re_h, slope / self.per_re);
        }
        let Some(c) = usize::try_from(bits - (TOP - CELLS)).ok().and_then(|i| self.cells.get(i)) else {
            return (f64::NAN, f64::NAN); // only a flow that is not a number comes here
        };
        let s = x - f64::from_bits(bits << SHIFT);
        (c[0] + s * (c[1] + s * (c[2] + s * c[3])), c[1] + s * (2.0 * c[2] + s * 3.0 * c[3]))
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
        let (square, slope) = self.square(q.abs() * self.per_flow);
        ((self.scale * square).copysign(q), self.scale * slope * self.per_flow)
    }

    /// Volume flow [m3/s] driven by the pressure difference `dp` [Pa], with its sign: `Cd A sqrt(2 dp / rho)`.
    #[must_use]
    pub fn flow(&self, dp: f64) -> f64 {
        (self.cd_at(dp) * self.area * (2.0 * dp.abs() / self.density).sqrt()).copysign(dp)
    }

    /// Discharge coefficient [-] at the pressure difference `dp` [Pa], of either sign.
    #[must_use]
    pub fn cd_at(&self, dp: f64) -> f64 {
        discharge(self.re_per_speed * (2.0 * dp.abs() / self.density).sqrt(), self.slenderness)
    }
}

/// Head-based Reynolds number at which `Cd(Re_h) Re_h = re_q`, by bisection-safe interpolation up to `RE_HIGHEST`.
fn head_reynolds(re_q: f64, l: f64) -> f64 {
    let residual = |re_h: f64| discharge(re_h, l) * re_h - re_q;
    // the ends bracket the root for every re_q of the table; at its top the root is the upper end itself
    crate::numeric::root::find(residual, 0.0, RE_HIGHEST, NODE_TOLERANCE * RE_HIGHEST).map_or(RE_HIGHEST, |root| root.x)
}

/// d(Re_h^2)/d(Re_Q) [-] below `RE_HIGHEST`, from the derivative of `Cd(Re_h) Re_h`.
fn square_slope(re_h: f64, l: f64) -> f64 {
    let decades = libm::log10(0.000_15 * re_h);
    let bump = 1.0 + 7.5 * decades * decades;
    let cd = discharge(re_h, l);
    // d(1/Cd)/d(Re): laminar term, and that of the last term through d(decades)/d(Re)
    let hump = 0.005 * l * 15.0 * decades / (bump * bump) * std::f64::consts::LOG10_E / re_h;
    let inverse = -laminar_constant(l) / (re_h * re_h) + hump;
    2.0 * re_h / (cd - re_h * cd * cd * inverse)
}
