//! Numbers as text.

pub use crate::units::number::rounded;

/// `value` so that reading it gives the same bits; empty if it is not finite.
///
/// The shortest such text, by powers of ten below 1e-5 and from 1e16.
#[must_use]
pub fn exact(value: f64) -> String {
    let size = value.abs();
    if !value.is_finite() {
        String::new()
    } else if size > 0.0 && !(1e-5..1e16).contains(&size) {
        format!("{value:e}")
    } else {
        format!("{value}")
    }
}

/// `value` so that reading it gives the same bits; empty if it does not exist or is not finite.
#[must_use]
pub fn exact_or_empty(value: Option<f64>) -> String {
    value.map(exact).unwrap_or_default()
}

/// A share [-] in whole per cent, `<1 %` for a small one.
#[must_use]
pub fn per_cent(share: f64) -> String {
    if share > 0.0 && share < 0.005 { "<1 %".to_owned() } else { format!("{} %", rounded(Some(100.0 * share), 0)) }
}
