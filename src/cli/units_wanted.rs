//! The units of text and pictures, as the command line asks for them.

use clap::{Args, ValueEnum};

use crate::units::shown::choice;
use crate::units::{Quantity, System, Units};

/// Systems of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, ValueEnum)]
pub enum Named {
    /// kW, N m, mm, degC
    #[default]
    Metric,
    /// hp, lbf ft, in, degF
    Us,
}

/// Units of text and pictures.
#[derive(Debug, Clone, Default, Args)]
pub struct UnitsWanted {
    /// Units of text and pictures; CSV and JSON stay SI or as their columns say
    #[arg(long, value_name = "SYSTEM", value_enum, default_value = "metric")]
    pub units: Named,
    /// Unit of a single quantity, as 'power=hp' or 'suction=inHg'; may be given several times
    #[arg(long, value_name = "QUANTITY=UNIT", value_parser = choice)]
    pub unit: Vec<(Quantity, String)>,
}

impl UnitsWanted {
    /// The unit of each quantity; of two for one quantity the later counts.
    #[must_use]
    pub fn chosen(&self) -> Units {
        let system = match self.units {
            Named::Metric => System::Metric,
            Named::Us => System::Us,
        };
        let with = |units: Units, (quantity, name): &(Quantity, String)| units.with(*quantity, name).unwrap_or(units);
        self.unit.iter().fold(Units::of(system), with)
    }
}
