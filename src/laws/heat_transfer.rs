//! Heat from the gas to the walls of the cylinder: Woschni, in the form with T^-0.55.

use crate::numeric::power::power;

/// Piston-speed factor while gas is exchanged [-]. Source: Woschni, as in Heywood, 1988, sec. 12.4.3 (from memory).
pub const C1_GAS_EXCHANGE: f64 = 6.18;
/// Piston-speed factor while the valves are shut [-]. Source: as above.
pub const C1_CLOSED: f64 = 2.28;
/// Combustion factor after ignition [m/(s K)]; 0 before. Source: as above.
pub const C2_BURNING: f64 = 3.24e-3;

/// Heat-transfer coefficient [W/(m2 K)] for `bore` [m], pressure `p` [Pa], gas temperature `t` [K], gas velocity `w` [m/s]:
/// `3.26 B^-0.2 p^0.8 T^-0.55 w^0.8` with p in kPa.
///
/// Source: Heywood, 1988, eq. 12.71 (from memory). Another printing, with T^-0.53 and 129.8 for p in bar, lies 14 % higher.
/// From engines of 0.1 m bore and more: small ones are an extrapolation.
#[must_use]
pub fn coefficient(bore: f64, p: f64, t: f64, w: f64) -> f64 {
    // (B^-4 (p w)^16 T^-11)^(1/20): one root in place of four powers
    let x = 1.0e-3 * p * w;
    let (x4, t2, b2) = (x * x * x * x, t * t, bore * bore);
    let (x8, t8) = (x4 * x4, t2 * t2 * t2 * t2);
    3.26 * power(x8 * x8 / (t8 * t2 * t * (b2 * b2)), 0.05)
}

/// What the gas velocity is reckoned from: the state of the charge at a reference point, as a rule inlet closing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// Swept volume [m3].
    pub swept: f64,
    /// Volume at the reference point [m3].
    pub volume: f64,
    /// Pressure there [Pa].
    pub pressure: f64,
    /// Temperature there [K].
    pub temperature: f64,
}

/// Mean gas velocity [m/s]: `C1 Sp + C2 (Vd Tr / (pr Vr)) (p - pm)` for mean piston speed `sp` [m/s], cylinder pressure
/// `p` and motored pressure `pm` [Pa]. A pressure below the motored one adds nothing.
///
/// Source: Woschni, SAE 670931, as in Heywood, 1988, eq. 12.70 (from memory).
#[must_use]
pub fn gas_velocity(c1: f64, sp: f64, c2: f64, reference: &Reference, p: f64, pm: f64) -> f64 {
    let charge = reference.swept * reference.temperature / (reference.pressure * reference.volume);
    c1 * sp + c2 * charge * (p - pm).max(0.0)
}
