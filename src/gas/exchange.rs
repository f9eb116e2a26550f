//! What crosses the end of a duct, and what a circuit puts into or takes from a cell, in one step.

use super::face::{EndState, FaceFlow};
use super::trace::Trace;
use crate::media::composition::Composition;

/// Flow through the end of a duct, along +x.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct EndFlux {
    /// Gas [kg/s].
    pub mass: f64,
    /// Momentum, pressure force included [N].
    pub momentum: f64,
    /// Energy without the part per `xi` [W].
    pub energy_rest: f64,
    /// Energy per `xi` of the cell [W].
    pub energy_per_xi: f64,
    /// Burnt gas [kg/s].
    pub burnt: f64,
    /// Fuel vapour [kg/s].
    pub vapour: f64,
    /// Liquid fuel [kg/s].
    pub liquid: f64,
}

impl EndFlux {
    /// Flux through an end of `area` [m2] from the end's state; `sign` is +1 when the flow runs along +x.
    #[must_use]
    pub fn new(end: EndState, mass_flow: f64, area: f64, sign: f64, carried: Composition) -> Self {
        let volume_flow = end.u * area;
        let mass = sign * mass_flow;
        Self {
            mass,
            momentum: end.p * area + mass_flow * end.u,
            energy_rest: sign * volume_flow * (end.p + 0.5 * end.rho * end.u * end.u),
            energy_per_xi: sign * volume_flow * end.p,
            burnt: mass * carried.burnt,
            vapour: mass * carried.vapour,
            liquid: mass * carried.liquid,
        }
    }

    /// This and `factor` times the `other`.
    #[must_use]
    pub fn plus(&self, factor: f64, other: &Self) -> Self {
        Self {
            mass: self.mass + factor * other.mass,
            momentum: self.momentum + factor * other.momentum,
            energy_rest: self.energy_rest + factor * other.energy_rest,
            energy_per_xi: self.energy_per_xi + factor * other.energy_per_xi,
            burnt: self.burnt + factor * other.burnt,
            vapour: self.vapour + factor * other.vapour,
            liquid: self.liquid + factor * other.liquid,
        }
    }

    /// Flux along +x through a duct's end, side `b` of a solved face, against a volume of gas `behind`, its side `a`; `far` tells the
    /// end where x is largest.
    #[must_use]
    pub fn at_volume(flow: &FaceFlow, end: &Trace, behind: Composition, far: bool) -> Self {
        let carried = if flow.from_a { behind } else { end.composition };
        let sign = if flow.from_a == far { -1.0 } else { 1.0 };
        Self::of_face(flow, !flow.from_a, end.area, sign, carried)
    }

    /// Flux through the side of a face that lies upstream of it or downstream of it.
    #[must_use]
    pub fn of_face(flow: &FaceFlow, upstream_side: bool, area: f64, sign: f64, carried: Composition) -> Self {
        let end = if upstream_side { flow.upstream } else { flow.downstream };
        Self::new(end, flow.mass_flow, area, sign, carried)
    }
}

/// What circuits put into a cell and take from it in one step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Exchange {
    /// Gas put in [kg].
    pub gas_in: f64,
    /// Sum over what is put in of mass times gas constant times temperature [J].
    pub gas_in_rt: f64,
    /// Heat put in, latent heat of evaporating fuel negative [J].
    pub heat: f64,
    /// Burnt gas among the gas put in [kg].
    pub burnt_in: f64,
    /// Vapour among the gas put in [kg].
    pub vapour_in: f64,
    /// Liquid fuel put in [kg].
    pub liquid_in: f64,
    /// Gas taken out at the cell's own state, its vapour, burnt gas and liquid with it [kg].
    pub gas_out: f64,
}

impl Exchange {
    /// Adds gas of constant `r` [J/(kg K)] at `t` [K].
    pub fn put_gas(&mut self, mass: f64, r: f64, t: f64, burnt: f64, vapour: f64) {
        self.gas_in += mass;
        self.gas_in_rt += mass * r * t;
        self.burnt_in += mass * burnt;
        self.vapour_in += mass * vapour;
    }
}
