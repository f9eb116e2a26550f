//! Laminar flame speed of petrol and alcohols, and how it stretches the burn.

use crate::media::atmosphere::P0_STANDARD;
use crate::media::blend::Blend;

/// Temperature of the reference state [K].
const T_REFERENCE: f64 = 298.0;
/// Constants of a fuel: equivalence ratio of the fastest mixture [-], its speed [m/s], loss of speed per equivalence ratio squared [m/s].
type Constants = [f64; 3];
/// Reference petrol.
const PETROL: Constants = [1.13, 0.275_8, -0.783_4];
/// Methanol.
const METHANOL: Constants = [1.11, 0.369_2, -1.405_1];
/// Equivalence ratios used [-]: the paper covers 0.8 to 1.5; outside the parabola is followed to here and held, since it
/// would cross zero at 0.54 and 1.72 (methanol: 0.60 and 1.62).
pub const PHI_RANGE: (f64, f64) = (0.6, 1.6);
/// Least factor of dilution [-]: `1 - 2.1 Yd` would reach it at 38 % residual gas, beyond the measurements (to 20 %).
pub const DILUTION_FLOOR: f64 = 0.2;
/// Least laminar speed over that of the fastest mixture [-], for methanol near the ends of `PHI_RANGE`; petrol keeps 0.2 there.
const SPEED_FLOOR: f64 = 0.15;
/// Exponent of the burn's duration over the flame speed [-]. Source: Hires, Tabaczynski & Novak 1978, for the ignition
/// delay (from memory).
pub const DURATION_EXPONENT: f64 = -2.0 / 3.0;

/// Laminar speed [m/s] of `fuel` at equivalence ratio `phi` (1/lambda) [-], residual mass share `yd` [-], unburnt
/// temperature `tu` [K] and pressure `p` [Pa]:
///
/// `SL = (Bm + Bphi (phi - phi_m)^2) (Tu/298)^(2.18 - 0.8(phi-1)) (p/atm)^(-0.16 + 0.22(phi-1)) (1 - 2.1 Yd)`.
///
/// For phi 0.8 to 1.5, 0.4 to 50 atm, 298 to 700 K, +-10 %; `phi` is held inside `PHI_RANGE` and the dilution above
/// `DILUTION_FLOOR`. Source: Metghalchi & Keck, Combust. Flame 48, 191 (1982) (form from its abstract, constants from memory).
///
/// They measured petrol and methanol. Other fuels stand between, by oxygen per carbon: ethanol half-way, 17 % faster than petrol. Measured
/// speeds of ethanol lie 15 to 20 % above those of isooctane (Egolfopoulos, Du & Law 1992, and later; from memory, not checked).
#[must_use]
pub fn laminar_speed(fuel: &Blend, phi: f64, yd: f64, tu: f64, p: f64) -> f64 {
    let (_, oxygen) = fuel.hydrogen_and_oxygen();
    let [fastest, speed, curvature] = std::array::from_fn(|i| PETROL[i] + oxygen * (METHANOL[i] - PETROL[i]));
    let phi = phi.clamp(PHI_RANGE.0, PHI_RANGE.1);
    let d = phi - fastest;
    let rich = phi - 1.0;
    let dilution = (1.0 - 2.1 * yd).clamp(DILUTION_FLOOR, 1.0);
    (speed + curvature * d * d).max(SPEED_FLOOR * speed)
        * libm::pow(tu / T_REFERENCE, 2.18 - 0.8 * rich)
        * libm::pow(p / P0_STANDARD, -0.16 + 0.22 * rich)
        * dilution
}

/// What a burn's duration in crank angle depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Fuel-air equivalence ratio, 1/lambda [-].
    pub phi: f64,
    /// Mass share of residual gas [-].
    pub residual: f64,
    /// Temperature of the unburnt charge [K].
    pub t: f64,
    /// Pressure [Pa].
    pub p: f64,
    /// Mean piston speed [m/s].
    pub piston_speed: f64,
}

/// Exponent of mean piston speed and of kinematic viscosity in the burn's duration [-]. Source: as `DURATION_EXPONENT`.
pub const EDDY_EXPONENT: f64 = 1.0 / 3.0;
/// Exponent of temperature in the viscosity of air [-]. Common practice.
const VISCOSITY_EXPONENT: f64 = 0.7;

/// Duration of the burn of `fuel` in crank angle over that of petrol under `reference` conditions in the same chamber [-]:
/// `(Sp nu)^(1/3) SL^(-2/3)`, with `nu ~ T^1.7/p`.
///
/// The published relation holds for the ignition delay and, with the state of the charge at the peak rate, for the rest of the burn; here one
/// state stands for both. Source: Hires, Tabaczynski & Novak, SAE 780232, 1978, as in Heywood, 1988, eq. 9.40 (from memory).
#[must_use]
pub fn duration_over(fuel: &Blend, c: &Conditions, reference: &Conditions) -> f64 {
    let speed = |fuel: &Blend, c: &Conditions| laminar_speed(fuel, c.phi, c.residual, c.t, c.p);
    let viscous = |c: &Conditions| c.piston_speed * libm::pow(c.t, 1.0 + VISCOSITY_EXPONENT) / c.p;
    libm::pow(viscous(c) / viscous(reference), EDDY_EXPONENT)
        * libm::pow(speed(fuel, c) / speed(&Blend::PETROL, reference), DURATION_EXPONENT)
}
