//! `--correct`: power and torque in the air of a standard.

use clap::ValueEnum;

use super::console::style;
use super::ending::Failure;
use crate::diagnostics::{Problem, render};
use crate::laws::power_correction::{Correction, Standard};
use crate::media::atmosphere::FreeAir;

/// The standards by their words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Correct {
    /// SAE J1349 of June 1990
    #[value(name = "sae_j1349")]
    SaeJ1349,
    /// ISO 1585
    #[value(name = "iso_1585")]
    Iso1585,
}

/// The correction asked for, in the set-up's air.
///
/// # Errors
/// [`Failure::Input`] when the air is too far from that of the standard.
pub fn correction(asked: Option<Correct>, air: &FreeAir) -> Result<Option<Correction>, Failure> {
    let standard = match asked {
        None => return Ok(None),
        Some(Correct::SaeJ1349) => Standard::SaeJ1349,
        Some(Correct::Iso1585) => Standard::Iso1585,
    };
    let dry = air.pressure - air.vapour_pressure();
    standard.correction(dry, air.temperature).map(Some).map_err(|refused| {
        let problem = Problem::error(format!("power cannot be corrected: {refused}")).help(
            "leave out `--correct`, or compute the map in air nearer to 99 kPa and 25 degC: see [air] in the set-up",
        );
        Failure::Input(render(&[problem], style()))
    })
}
