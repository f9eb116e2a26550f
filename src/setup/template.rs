//! The commented set-up to start from.

/// A whole set-up with remarks on how to measure each part; it loads as it stands.
#[must_use]
pub fn template() -> &'static str {
    include_str!("template.toml")
}
