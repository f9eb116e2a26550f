//! An emulsion chamber: fuel from a column and air from jets and holes leave together as a two-phase stream.
//!
//! Gas fills and leaves the chamber at once (its volume of a few tenths of a cubic centimetre adjusts within tens of
//! microseconds), so its pressure `x` follows from `gas in = gas out`; liquid is stored and leaves with the gas
//! in the proportion that the slip allows:
//!
//! ```text
//! in:    CdA sqrt(2 rho (p_j - x)) Phi(x/p_j)       through each opening with p_j > x, Phi for expansion and choking
//! out:   G_j = CdA sqrt(2 rho_e (x - p_j)), of it q gas and 1 - q liquid
//! q/(1-q) = S m_g/m_l,   S = (rho_l/rho_g)^(1/3)    flowing share from the stored masses and the slip
//! rho_e  = 1/{[q/rho_g + S(1-q)/rho_l][q + (1-q)/S]}
//! ```
//!
//! Steady, this is the network of fuel jet, air jet and two-phase outlet. A root taken at a drop of less than
//! about [`LAMINAR_DROP`] turns linear, as viscosity makes it. Source: Zivi's slip in the form of Abdelall et al. for small
//! channels; textbook orifice flow.

use super::surroundings::Outside;
use crate::laws::emulsion::{outlet_density, zivi_slip};

/// Pressure drop below which the orifice law turns linear [Pa]. Common practice, no source: `Re` falls below a few
/// hundred in a half-millimetre hole there.
pub const LAMINAR_DROP: f64 = 2.0;
/// Pressure ratio below which a hole is choked [-]: `(2/(g+1))^(g/(g-1))` for air.
const CRITICAL: f64 = 0.5283;
/// Largest number of steps of the root search.
const MOST_STEPS: u32 = 60;

/// An opening of the chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Discharge coefficient times area [m2].
    pub effective_area: f64,
    /// What is outside it.
    pub outside: Outside,
    /// Whether liquid may leave through it (an air jet passes gas only).
    pub passes_liquid: bool,
}

/// Flows of an opening, positive into the chamber [kg/s].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct OpeningFlow {
    /// Gas.
    pub gas: f64,
    /// Liquid; never positive.
    pub liquid: f64,
}

/// An emulsion chamber.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chamber {
    /// Volume [m3].
    pub volume: f64,
    /// Liquid fuel in it [kg].
    pub liquid: f64,
    /// Pressure found last [Pa].
    pub pressure: f64,
    /// Density of the fuel [kg/m3].
    pub fuel_density: f64,
}

/// `sqrt(drop)` made linear below [`LAMINAR_DROP`].
fn root(drop: f64) -> f64 {
    drop / (drop + LAMINAR_DROP).sqrt()
}

/// What a hole passes from `from` to `to` [Pa], per effective area and `sqrt(2 rho)` [Pa^1/2]: the root of the drop times the
/// isentropic factor `1 - 0.53 s - 0.18 s^2` with `s = 1 - to/from`, held at the choked value below the critical ratio. The factor is
/// within 0.7 % of the exact one for air; for a two-phase outlet it is taken as it is.
fn passed(from: f64, to: f64) -> f64 {
    let s = (1.0 - to / from).min(1.0 - CRITICAL);
    root(s * from) * (1.0 - s * (0.53 + 0.18 * s))
}

impl Chamber {
    /// A chamber without liquid at `pressure` [Pa].
    #[must_use]
    pub fn new(volume: f64, pressure: f64, fuel_density: f64) -> Self {
        Self { volume, liquid: 0.0, pressure, fuel_density }
    }

    /// Flowing share of gas in what leaves, at gas density `rho_g` [kg/m3].
    fn quality(&self, rho_g: f64, slip: f64) -> f64 {
        let gas = rho_g * (self.volume - self.liquid / self.fuel_density).max(0.02 * self.volume);
        slip * gas / (slip * gas + self.liquid)
    }

    /// Finds the pressure, advances the liquid by `dt` [s] with `supplied` [kg] from the column, and writes the
    /// flow of each opening. Gas leaves exactly as it enters: what the root search leaves over goes to the largest
    /// gas flow.
    pub fn step(&mut self, dt: f64, supplied: f64, openings: &[Opening], flows: &mut [OpeningFlow]) {
        let mut low = f64::INFINITY;
        let mut high = f64::NEG_INFINITY;
        let mut rho_g = 0.0;
        let mut open = 0;
        let mut only = 0;
        for (k, o) in openings.iter().enumerate().filter(|(_, o)| o.effective_area > 0.0) {
            open += 1;
            only = k;
            low = low.min(o.outside.p);
            high = high.max(o.outside.p);
            rho_g = o.outside.rho.max(rho_g);
        }
        flows.fill(OpeningFlow::default());
        self.liquid += supplied;
        if open == 1 && openings[only].passes_liquid {
            // No air can join: what is supplied goes straight through the one opening, what stands in the chamber stays.
            self.pressure = openings[only].outside.p;
            flows[only].liquid = -supplied / dt;
            self.liquid -= supplied;
            return;
        }
        if high <= low {
            self.pressure = if low.is_finite() { low } else { self.pressure };
            return;
        }
        let slip = zivi_slip(self.fuel_density, rho_g);
        let q = self.quality(rho_g, slip);
        let rho_e = outlet_density(q, rho_g, self.fuel_density, slip);
        let gas_flow = |o: &Opening, x: f64| {
            if o.outside.p >= x {
                o.effective_area * (2.0 * o.outside.rho).sqrt() * passed(o.outside.p, x)
            } else if o.passes_liquid {
                -q * o.effective_area * (2.0 * rho_e).sqrt() * passed(x, o.outside.p)
            } else {
                -o.effective_area * (2.0 * rho_g).sqrt() * passed(x, o.outside.p)
            }
        };
        let sum = |x: f64| openings.iter().map(|o| gas_flow(o, x)).sum::<f64>();
        let x = balance(low, high, self.pressure, sum);
        self.pressure = x;
        let mut left_over = 0.0;
        let mut rate = 0.0;
        let mut largest = 0;
        for (k, o) in openings.iter().enumerate() {
            let gas = gas_flow(o, x);
            flows[k].gas = gas;
            left_over += gas;
            if gas.abs() > flows[largest].gas.abs() {
                largest = k;
            }
            if gas < 0.0 && o.passes_liquid {
                flows[k].liquid = gas * (1.0 - q) / q;
                rate -= flows[k].liquid;
            }
        }
        flows[largest].gas -= left_over;
        // Implicit in the store, so that it never goes negative: out = rate m'/m.
        if self.liquid > 0.0 && rate > 0.0 {
            let after = self.liquid / (1.0 + dt * rate / self.liquid);
            let share = (self.liquid - after) / (dt * rate);
            for f in flows.iter_mut() {
                f.liquid *= share;
            }
            self.liquid = after;
        } else {
            for f in flows.iter_mut() {
                f.liquid = 0.0;
            }
        }
    }
}

/// Root of the falling function `sum` between `low` and `high`, from `guess`: Illinois, bounded.
fn balance(low: f64, high: f64, guess: f64, sum: impl Fn(f64) -> f64) -> f64 {
    let (mut a, mut b) = (low, high);
    let (mut fa, mut fb) = (sum(a), sum(b));
    if fa <= 0.0 {
        return a;
    }
    if fb >= 0.0 {
        return b;
    }
    // A narrow bracket around the guess, if it holds the root.
    let width = 0.02 * (high - low);
    let trial = |x: f64| if x > low && x < high { Some((x, sum(x))) } else { None };
    if let Some((x, f)) = trial(guess) {
        if f > 0.0 {
            (a, fa) = (x, f);
            if let Some((x, f)) = trial(guess + width) {
                if f > 0.0 { (a, fa) = (x, f) } else { (b, fb) = (x, f) }
            }
        } else {
            (b, fb) = (x, f);
            if let Some((x, f)) = trial(guess - width) {
                if f > 0.0 { (a, fa) = (x, f) } else { (b, fb) = (x, f) }
            }
        }
    }
    let scale = fa.max(-fb);
    let mut side = 0;
    for _ in 0..MOST_STEPS {
        let mut x = a + (b - a) * fa / (fa - fb);
        if !(x > a && x < b) {
            x = 0.5 * (a + b);
        }
        let f = sum(x);
        if f.abs() <= 1e-9 * scale || b - a < 1e-9 {
            return x;
        }
        if f > 0.0 {
            (a, fa) = (x, f);
            if side == 1 {
                fb *= 0.5;
            }
            side = 1;
        } else {
            (b, fb) = (x, f);
            if side == -1 {
                fa *= 0.5;
            }
            side = -1;
        }
    }
    0.5 * (a + b)
}
