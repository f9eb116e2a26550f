//! What the circuits meet: gas and pressures at their openings into the bore and the free air.

/// Gas in front of an opening.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Outside {
    /// Static pressure [Pa].
    pub p: f64,
    /// Density of the gas [kg/m3].
    pub rho: f64,
}

/// Everything outside the circuits at one instant.
#[derive(Debug, Clone, PartialEq)]
pub struct Surroundings {
    /// Free air, where the air jets and the bowl's vent end.
    pub free_air: Outside,
    /// At the main nozzle.
    pub nozzle: Outside,
    /// At the pilot outlet.
    pub outlet: Outside,
    /// At each by-pass hole.
    pub bypass: Vec<Outside>,
}
