//! What a duct shows at one of its ends, and what a vessel shows at an opening.

use crate::media::composition::Composition;
use crate::media::gas::GasModel;
use crate::numeric::power::PowerOfSum;

/// State at the end of a duct at half time, looking towards the end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trace {
    /// Density [kg/m3].
    pub rho: f64,
    /// Velocity towards the end [m/s].
    pub u: f64,
    /// Pressure [Pa].
    pub p: f64,
    /// Ratio of specific heats [-].
    pub gamma: f64,
    /// What the gas is.
    pub composition: Composition,
    /// Area of the duct's end [m2].
    pub area: f64,
}

impl Trace {
    /// Speed of sound [m/s].
    #[must_use]
    pub fn sound(&self) -> f64 {
        (self.gamma * self.p / self.rho).sqrt()
    }

    /// Pressure at the end if it were shut [Pa].
    #[must_use]
    pub fn pressure_at_rest(&self) -> f64 {
        self.at_rest().0
    }

    /// Pressure [Pa] and density [kg/m3] at the end if it were shut: the wave brings the gas to rest isentropically,
    /// `c0 = c + (g-1)/2 u`, `rho0 = rho (c0/c)^(2/(g-1))`, `p0 = p rho0/rho (c0/c)^2`.
    #[must_use]
    pub fn at_rest(&self) -> (f64, f64) {
        let d = (0.5 * (self.gamma - 1.0) * self.u / self.sound()).max(1e-3 - 1.0);
        let half = 1.0 + PowerOfSum::new(1.0 / (self.gamma - 1.0)).less_one(d);
        let closer = half * half;
        (self.p * closer * (1.0 + d) * (1.0 + d), self.rho * closer)
    }
}

/// Gas at rest behind an opening: cylinder, free air, exhaust plenum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vessel {
    /// Pressure [Pa].
    pub p: f64,
    /// Density [kg/m3].
    pub rho: f64,
    /// Ratio of specific heats [-].
    pub gamma: f64,
    /// What the gas is.
    pub composition: Composition,
}

impl Vessel {
    /// A vessel of gas at `p` [Pa] and `t` [K].
    #[must_use]
    pub fn new(gas: &GasModel, p: f64, t: f64, composition: Composition) -> Self {
        let (b, v) = (composition.burnt, composition.vapour);
        Self { p, rho: p / (gas.r(b, v) * t), gamma: gas.gamma(t, b, v), composition }
    }
}

/// One side of a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Side {
    /// The end of a duct, solved with the wave that leaves it.
    Duct(Trace),
    /// A vessel at rest.
    Vessel(Vessel),
}

impl Side {
    /// Pressure of the side when nothing flows [Pa].
    #[must_use]
    pub fn pressure_at_rest(&self) -> f64 {
        match self {
            Self::Duct(t) => t.pressure_at_rest(),
            Self::Vessel(v) => v.p,
        }
    }

    /// Pressure [Pa] and density [kg/m3] of the side when nothing flows.
    #[must_use]
    pub fn at_rest(&self) -> (f64, f64) {
        match self {
            Self::Duct(t) => t.at_rest(),
            Self::Vessel(v) => (v.p, v.rho),
        }
    }

    /// Ratio of specific heats on this side [-].
    #[must_use]
    pub fn gamma(&self) -> f64 {
        match self {
            Self::Duct(t) => t.gamma,
            Self::Vessel(v) => v.gamma,
        }
    }

    /// What the gas on this side is.
    #[must_use]
    pub fn composition(&self) -> Composition {
        match self {
            Self::Duct(t) => t.composition,
            Self::Vessel(v) => v.composition,
        }
    }
}
