//! Liquids that a jet is tested with at home: petrol and water.

use super::fuel::{petrol_density, petrol_viscosity};

/// Density of the petrol of a test at 15 degrees Celsius [kg/m3]: the middle of pump petrol. The flow hardly depends on it.
const PETROL_DENSITY: f64 = 745.0;

/// A liquid that runs through a jet on the bench.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TestLiquid {
    /// Plain petrol.
    Petrol,
    /// Clean water.
    Water,
}

impl TestLiquid {
    /// What it is called.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Petrol => "petrol",
            Self::Water => "water",
        }
    }

    /// Density [kg/m3] at `t` [K]. Water: parabola through 999.70, 998.21 and 992.22 kg/m3 at 10, 20 and 40 degrees Celsius, handbook
    /// values; from 1 to 60 degrees.
    #[must_use]
    pub fn density(self, t: f64) -> f64 {
        match self {
            Self::Petrol => petrol_density(PETROL_DENSITY, t),
            Self::Water => {
                let warmer = t - 293.15;
                998.21 - 0.199_2 * warmer - 5.02e-3 * warmer * warmer
            }
        }
    }

    /// Kinematic viscosity [m2/s] at `t` [K]. Water: dynamic viscosity
    /// `1e-6 (280.68 x^-1.9 + 511.45 x^-7.7 + 61.131 x^-19.6 + 0.45903 x^-40)` [Pa s], `x = T/300`, for 253 to 383 K.
    ///
    /// Source: Huber et al., J. Phys. Chem. Ref. Data 38, 101 (2009), at 0.1 MPa (from memory).
    #[must_use]
    pub fn viscosity(self, t: f64) -> f64 {
        match self {
            Self::Petrol => petrol_viscosity(t),
            Self::Water => {
                let x = t / 300.0;
                let terms = [(280.68, -1.9), (511.45, -7.7), (61.131, -19.6), (0.459_03, -40.0)];
                let sum: f64 = terms.iter().map(|(a, b)| a * libm::pow(x, *b)).sum();
                1e-6 * sum / self.density(t)
            }
        }
    }

    /// Surface tension against air [N/m] at `t` [K]. Petrol: 22 mN/m at 20 degrees Celsius, -0.1 mN/m per kelvin (common practice,
    /// near n-heptane and n-octane). Water: 72.8 mN/m, -0.155 mN/m per kelvin (handbook values).
    #[must_use]
    pub fn surface_tension(self, t: f64) -> f64 {
        let warmer = t - 293.15;
        match self {
            Self::Petrol => 22.0e-3 - 0.1e-3 * warmer,
            Self::Water => 72.8e-3 - 0.155e-3 * warmer,
        }
    }
}
