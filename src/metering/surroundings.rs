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
    /// Where the bowl's vent ends: free air, or the air box.
    pub bowl: Outside,
    /// Where the air jets draw: free air, or the air box.
    pub air_jets: Outside,
    /// At the main nozzle.
    pub nozzle: Outside,
    /// At the pilot outlet.
    pub outlet: Outside,
    /// At each by-pass hole.
    pub bypass: Vec<Outside>,
}
