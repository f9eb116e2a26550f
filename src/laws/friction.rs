//! Mechanical friction of the engine as a mean effective pressure.

/// Name of the form, for the report: Chen and Flynn's with mixed lubrication at low speed and a constant power of accessories.
pub const NAME: &str = "Chen and Flynn, extended";

/// Friction mean effective pressure [Pa]: `a + b p_max + c S_p + d S_p^2` with `a` [Pa], `b` [-], `c` [Pa s/m],
/// `d` [Pa s2/m2], highest cylinder pressure `p_max` [Pa], mean piston speed `s_p` [m/s].
///
/// Typical: a 0.4 to 0.5 bar, b 0.004 to 0.006, c 0.08 to 0.1 bar s/m, d about 0.0009 bar s2/m2; pumping is not in it.
/// Source: form after Chen & Flynn, SAE 650733 (from memory). No table for small engines was found: calibrate.
#[must_use]
pub fn fmep(a: f64, b: f64, c: f64, d: f64, p_max: f64, s_p: f64) -> f64 {
    a + b * p_max + s_p * (c + d * s_p)
}

/// Growth of rubbing friction towards low speed [-]: `1 + 1000/n` with `n` [rpm], where oil films break down.
///
/// Source: Patton, Nitschke & Heywood, SAE 890836, 1989, rings and valve train (from memory).
#[must_use]
pub fn mixed_lubrication(rpm: f64) -> f64 {
    1.0 + 1000.0 / rpm
}

/// Mean effective pressure [Pa] of a constant `power` [W] taken from a four-stroke of `swept` [m3] at `rpm`: `P / (V n / 2)`.
#[must_use]
pub fn accessory_mep(power: f64, swept: f64, rpm: f64) -> f64 {
    power / (swept * rpm / 120.0)
}
