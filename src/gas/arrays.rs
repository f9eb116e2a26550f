//! The arrays of a duct in cells: one per variable.

/// Primitive variables in the cells or on one side of the faces.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Primitives {
    /// Density [kg/m3].
    pub rho: Vec<f64>,
    /// Velocity [m/s].
    pub u: Vec<f64>,
    /// Pressure [Pa].
    pub p: Vec<f64>,
    /// Burnt gas [-].
    pub burnt: Vec<f64>,
    /// Fuel vapour [-].
    pub vapour: Vec<f64>,
    /// Liquid fuel carried, over the mass of gas [-].
    pub liquid: Vec<f64>,
}

/// Conserved quantities per volume, or their fluxes.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Conserved {
    /// Mass.
    pub mass: Vec<f64>,
    /// Momentum.
    pub momentum: Vec<f64>,
    /// Energy; of a flux, without the part per `xi`.
    pub energy: Vec<f64>,
    /// Of a flux: energy per `xi`.
    pub energy_per_xi: Vec<f64>,
    /// Burnt gas.
    pub burnt: Vec<f64>,
    /// Fuel vapour.
    pub vapour: Vec<f64>,
    /// Liquid fuel.
    pub liquid: Vec<f64>,
}

/// Shape of a duct in cells.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Geometry {
    /// Area of each face [m2].
    pub face_area: Vec<f64>,
    /// Mean area of each cell [m2].
    pub cell_area: Vec<f64>,
    /// One over the volume of each cell [1/m3].
    pub per_volume: Vec<f64>,
    /// One over the length of each cell [1/m].
    pub per_length: Vec<f64>,
    /// Growth of area over each cell [m2].
    pub rise: Vec<f64>,
    /// Growth of area over each cell, over its mean area [-].
    pub spread: Vec<f64>,
    /// Temperature of the wall [K].
    pub wall_temperature: Vec<f64>,
    /// Wall friction: 1, or 0 where there is no wall [-].
    pub drag: Vec<f64>,
    /// Factor on the wall heat: 1 for a long straight pipe, 0 where there is no wall [-].
    pub heat: Vec<f64>,
    /// Loss coefficient of bends per length [1/m].
    pub loss: Vec<f64>,
}

impl Primitives {
    /// `n` zeros each.
    #[must_use]
    pub fn zeros(n: usize) -> Self {
        let z = || vec![0.0; n];
        Self { rho: z(), u: z(), p: z(), burnt: z(), vapour: z(), liquid: z() }
    }
}

impl Conserved {
    /// `n` zeros each.
    #[must_use]
    pub fn zeros(n: usize) -> Self {
        let z = || vec![0.0; n];
        Self { mass: z(), momentum: z(), energy: z(), energy_per_xi: z(), burnt: z(), vapour: z(), liquid: z() }
    }
}
