//! Steady flow of a liquid through pipes, holes and filters: pressure lost against volume flow.

use serde::{Deserialize, Serialize};

use super::jet::JetLaw;

/// Reynolds number up to which a pipe's flow is laminar [-]. Source: common handbook value.
pub const LAMINAR_TO: f64 = 2_000.0;
/// Reynolds number from which the flow is turbulent [-]. Source: common handbook value.
pub const TURBULENT_FROM: f64 = 4_000.0;

/// Darcy's friction factor of a smooth pipe [-] at the Reynolds number `re`, without flow infinite:
///
/// `64/Re` up to 2000 (Hagen-Poiseuille, exact for a round pipe), `0.316 Re^-0.25` from 4000 to 1e5 (Blasius 1913), between them
/// straight in `Re`, which keeps the loss rising with the flow.
#[must_use]
pub fn friction_factor(re: f64) -> f64 {
    let blasius = |re: f64| 0.316 / re.sqrt().sqrt();
    if re <= LAMINAR_TO {
        64.0 / re
    } else if re >= TURBULENT_FROM {
        blasius(re)
    } else {
        let share = (re - LAMINAR_TO) / (TURBULENT_FROM - LAMINAR_TO);
        64.0 / LAMINAR_TO + share * (blasius(TURBULENT_FROM) - 64.0 / LAMINAR_TO)
    }
}

/// Pressure lost [Pa] at a speed `v` [m/s] by friction and fittings: `(f L/D + K) rho v^2/2`, with Darcy's friction factor `f` (four
/// times Fanning's). Source: Darcy-Weisbach.
#[must_use]
pub fn darcy_weisbach(friction: f64, length_over_diameter: f64, loss: f64, density: f64, v: f64) -> f64 {
    (friction * length_over_diameter + loss) * 0.5 * density * v * v
}

/// A passage with friction and fittings, on the speed in its area.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Pipe {
    /// Hydraulic diameter [m]: four areas over the wetted edge.
    pub diameter: f64,
    /// Area [m2].
    pub area: f64,
    /// Length [m].
    pub length: f64,
    /// Sum of the loss coefficients of its fittings [-].
    pub loss: f64,
}

impl Pipe {
    /// A round pipe of `bore` and `length` [m] with the loss coefficients `loss`.
    #[must_use]
    pub fn round(bore: f64, length: f64, loss: f64) -> Self {
        Self { diameter: bore, area: 0.25 * std::f64::consts::PI * bore * bore, length, loss }
    }

    /// Reynolds number [-] of the volume flow `q` [m3/s].
    #[must_use]
    pub fn reynolds(&self, q: f64, viscosity: f64) -> f64 {
        q / self.area * self.diameter / viscosity
    }
}

/// What stands in the way of the fuel.
#[derive(Debug, Clone, PartialEq)]
pub enum Resistance {
    /// A passage.
    Pipe(Pipe),
    /// A hole that loses the whole velocity head, its coefficient constant: `rho/2 (Q/(Cd A))^2`.
    Hole {
        /// Discharge coefficient times area [m2].
        effective_area: f64,
    },
    /// A filter whose flow is laminar: pressure in proportion to the flow.
    Porous {
        /// Pressure over volume flow [Pa s/m3].
        per_flow: f64,
    },
    /// A small hole through which air comes in as the fuel leaves, volume for volume (incompressible: below a few kPa).
    Air(Box<JetLaw>),
}

impl Resistance {
    /// Pressure lost [Pa] by the volume flow `q` [m3/s, 0 or more] of a liquid; infinite for a flow through a shut hole.
    #[must_use]
    pub fn pressure_loss(&self, q: f64, density: f64, viscosity: f64) -> f64 {
        if q <= 0.0 {
            return 0.0;
        }
        match self {
            Self::Pipe(p) => {
                let friction = friction_factor(p.reynolds(q, viscosity));
                darcy_weisbach(friction, p.length / p.diameter, p.loss, density, q / p.area)
            }
            Self::Hole { effective_area } => {
                let speed = q / effective_area;
                0.5 * density * speed * speed
            }
            Self::Porous { per_flow } => per_flow * q,
            Self::Air(law) => law.pressure_loss(q),
        }
    }
}
