//! Boot, port, mouth and spigot: pieces of the air's way in.

use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::hardware::duct::Piece;
use crate::units::Dimension::{Length, Number, Temperature};

/// Length of a piece.
pub const LENGTH: Spec = Spec::new(Length, "mm", (2.0, 2000.0), (10.0, 500.0));
/// Diameter of a piece.
pub const DIAMETER: Spec = Spec::new(Length, "mm", (10.0, 100.0), (18.0, 70.0));
/// Temperature of a wall.
pub const WALL: Spec = Spec::new(Temperature, "degC", (-40.0, 400.0), (-20.0, 250.0));

/// Loss coefficient of bends.
pub const LOSS: Spec = Spec::new(Number, "", (0.0, 5.0), (0.0, 1.5));
/// Source of the bends' coefficients: at a bend radius of 1, 1.5, 2, 3 diameters 0.31, 0.23, 0.20, 0.21 heads.
pub const BEND: &str = "smooth bend of 90 degrees at Re 1e5, Rennels & Hudson 2012, as in the library `fluids`";
/// Wall heat of an engine's ports and header over that of a long straight pipe [-]: `Nu = 0.0694 Re^0.75` over
/// `Nu = (0.316/8) Pr Re^0.75` with Pr = 0.71. Source: Depcik & Assanis, SAE 2002-01-0372 (from memory).
pub const PORT_HEAT: f64 = 0.0694 / (0.316 / 8.0 * 0.71);

/// The trade's middle for a piece between carburettor and valve.
#[derive(Debug, Clone, Copy)]
pub struct Usual {
    /// Length [mm].
    pub length: f64,
    /// Range of the length [mm].
    pub lengths: (f64, f64),
    /// Wall above the free air [K].
    pub warmer: f64,
    /// Range of that [K].
    pub warmths: (f64, f64),
    /// Loss coefficient of its bends [-], its range, and what that is.
    pub bends: (f64, (f64, f64), &'static str),
    /// Factor on the wall heat [-].
    pub heat_factor: f64,
}

/// Reads one piece; `from` and `to` are the estimates of its ends.
pub fn read(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    name: &str,
    usual: Usual,
    ends: (Estimate, Option<Estimate>),
    air_temperature: f64,
) -> (Piece, Figure) {
    let rule = format!("{} mm, the middle of {} to {}", usual.length, usual.lengths.0, usual.lengths.1);
    let length = Estimate::fixed(&LENGTH, usual.length, usual.lengths, &rule, COMMON);
    let length = reader.estimated(ledger, "length", &LENGTH, length);
    let from = reader.estimated(ledger, "from", &DIAMETER, ends.0);
    let same = || Estimate::times(from.kept, 1.0, (0.95, 1.05), "as wide as its other end", COMMON);
    let to = reader.estimated(ledger, "to", &DIAMETER, ends.1.unwrap_or_else(same));
    let wall = wall(reader, ledger, usual.warmer, usual.warmths, air_temperature);
    let (loss, losses, rule) = usual.bends;
    let loss = reader.estimated(ledger, "loss", &LOSS, Estimate::fixed(&LOSS, loss, losses, rule, BEND));
    let piece = Piece {
        loss: loss.kept,
        heat_factor: usual.heat_factor,
        ..Piece::plain(name, length.kept, from.kept, to.kept, wall.kept)
    };
    (piece, to)
}

/// Reads `wall`, by rule some kelvin above the free air.
pub fn wall(reader: &mut Reader<'_>, ledger: &mut Ledger, warmer: f64, warmths: (f64, f64), air: f64) -> Figure {
    let rule = format!("{warmer} K above the free air");
    reader.estimated(ledger, "wall", &WALL, Estimate::plus(air, warmer, warmths, &rule, COMMON))
}
