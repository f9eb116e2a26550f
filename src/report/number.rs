//! Numbers as text.

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

/// `value` with `decimals`, never `-0`; by powers of ten from a million, and `-` if it does not exist.
#[must_use]
pub fn rounded(value: Option<f64>, decimals: usize) -> String {
    let Some(value) = value.filter(|v| v.is_finite()) else { return "-".to_owned() };
    if value.abs() >= 1e6 {
        return format!("{value:.2e}");
    }
    let text = format!("{value:.decimals$}");
    if text.chars().any(|c| ('1'..='9').contains(&c)) { text } else { text.replace('-', "") }
}

/// A share [-] in whole per cent, `<1 %` for a small one.
#[must_use]
pub fn per_cent(share: f64) -> String {
    if share > 0.0 && share < 0.005 { "<1 %".to_owned() } else { format!("{} %", rounded(Some(100.0 * share), 0)) }
}
