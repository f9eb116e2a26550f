//! What a gas is made of, and the liquid it carries.

/// Mass fractions of a gas and the liquid fuel it carries, each over the mass of gas; the rest is moist air.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Composition {
    /// Burnt gas [-].
    pub burnt: f64,
    /// Fuel vapour [-].
    pub vapour: f64,
    /// Liquid fuel carried [-].
    pub liquid: f64,
}
