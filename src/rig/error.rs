//! A run that left physical bounds: where, when, what, and what to try.

use thiserror::Error;

use crate::gas::duct_cells::Unphysical;
use crate::gas::grid::GridError;

/// Why a run stopped.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum RigError {
    /// Density or pressure in a duct is no longer positive.
    #[error(
        "the gas in the {part} left physical bounds at x = {x_mm:.1} mm, crank {crank_deg:.1} deg, cycle {cycle}: density \
         {rho:.4} kg/m3, pressure {p:.1} Pa; try a smaller `--cell-size`, and look for a sudden change of diameter there"
    )]
    Unphysical {
        /// Which duct.
        part: &'static str,
        /// Place [mm from its start].
        x_mm: f64,
        /// Crank angle [degrees after firing top centre].
        crank_deg: f64,
        /// Cycle, counted from 1.
        cycle: u32,
        /// Density [kg/m3].
        rho: f64,
        /// Pressure [Pa].
        p: f64,
    },
    /// A duct cannot be cut into cells.
    #[error("the {part} cannot be cut into cells: {error}; {}", .error.help())]
    Grid {
        /// Which duct.
        part: &'static str,
        /// Why.
        error: GridError,
    },
    /// The state in the cylinder is no longer finite.
    #[error(
        "the charge in the cylinder left physical bounds at crank {crank_deg:.1} deg, cycle {cycle}: pressure {p:.1} Pa, \
         temperature {t:.1} K; check valve timing and compression"
    )]
    Charge {
        /// Crank angle [degrees after firing top centre].
        crank_deg: f64,
        /// Cycle, counted from 1.
        cycle: u32,
        /// Pressure [Pa].
        p: f64,
        /// Temperature [K].
        t: f64,
    },
    /// One cycle took too many steps.
    #[error(
        "cycle {cycle} at {rpm:.0} rpm needs more than {limit} steps (MOST_STEPS_PER_CYCLE); use larger cells or a higher speed"
    )]
    TooManySteps {
        /// Cycle, counted from 1.
        cycle: u32,
        /// Speed [rpm].
        rpm: f64,
        /// The limit.
        limit: u64,
    },
    /// The machine would have too many cells.
    #[error("a cell size of {cell_mm} mm cuts the ducts into {cells} cells, more than {limit} (MOST_CELLS)")]
    TooManyCells {
        /// Cell size asked [mm].
        cell_mm: f64,
        /// Cells it gives.
        cells: usize,
        /// The limit.
        limit: usize,
    },
}

impl RigError {
    /// A cell of `part` that left physical bounds at crank angle `phase` [rad].
    pub(super) fn unphysical(part: &'static str, u: Unphysical, phase: f64, cycle: u32) -> Self {
        Self::Unphysical { part, x_mm: 1e3 * u.x, crank_deg: phase.to_degrees(), cycle, rho: u.rho, p: u.p }
    }
}
