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
//! Steady, this is the network of fuel jet, air jet and two-phase outlet. A root taken at a drop of less than about
//! [`super::gas_balance::LAMINAR_DROP`] turns linear, as viscosity makes it. Source: Zivi's slip in the form of
//! Abdelall et al. for small channels; textbook orifice flow.

use super::gas_balance::{Passing, balance};
use super::surroundings::Outside;
use crate::laws::emulsion::{outlet_density, zivi_slip_near};
use crate::numeric::parabola;

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
    /// Places of the pressures found last between the lowest and the highest outside, the latest first [-].
    places: [f64; 3],
    /// Slip of the last step [-].
    slip: f64,
}

impl Chamber {
    /// A chamber without liquid at `pressure` [Pa].
    #[must_use]
    pub fn new(volume: f64, pressure: f64, fuel_density: f64) -> Self {
        Self { volume, liquid: 0.0, pressure, fuel_density, places: [0.5; 3], slip: 0.0 }
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
            let Outside { p, rho } = o.outside;
            low = if p < low { p } else { low };
            high = if p > high { p } else { high };
            rho_g = if rho > rho_g { rho } else { rho_g };
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
        let slip = zivi_slip_near(self.fuel_density, rho_g, self.slip);
        self.slip = slip;
        let q = self.quality(rho_g, slip);
        let rho_e = outlet_density(q, rho_g, self.fuel_density, slip);
        let passing = Passing { wet: q * (2.0 * rho_e).sqrt(), dry: (2.0 * rho_g).sqrt() };
        // The place between the outer pressures changes less from step to step than the pressure.
        let [now, before, earlier] = self.places;
        let place = parabola::next(now, before, earlier);
        let x = balance(low, high, low + place * (high - low), &passing, openings);
        self.places = [(x - low) / (high - low), now, before];
        self.pressure = x;
        let per_gas = (1.0 - q) / q;
        let mut left_over = 0.0;
        let mut rate = 0.0;
        let mut largest = 0;
        for (k, o) in openings.iter().enumerate() {
            let gas = passing.flow(o, x);
            flows[k].gas = gas;
            left_over += gas;
            if gas.abs() > flows[largest].gas.abs() {
                largest = k;
            }
            if gas < 0.0 && o.passes_liquid {
                flows[k].liquid = gas * per_gas;
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
