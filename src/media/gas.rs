//! Gas constants shared with the atmosphere; the mixture follows here.

/// Gas constant of dry air [J/(kg K)]. Source: ISO 2533.
pub const R_DRY_AIR: f64 = 287.052_87;
