//! How completely the fuel burns.

use crate::numeric::table;

/// Share burnt at and above lambda 1 [-]. Source: Heywood, 1988, fig. 3-9: 0.95 to 0.98 (from memory).
pub const LEAN: f64 = 0.98;

/// Lambda [-] and share of the fuel's heat released [-].
///
/// 0.70 to 0.95: water-gas equilibrium at K = 3.5 for CH1.87, computed. 0.58: continued, 0.46; measured 0.58 of
/// "effective burned" fuel at fuel-air ratio 0.118 (Gerrish & Voss, NACA 1940, abstract). Below, a straight line to zero: such
/// a mixture does not burn in an engine, and the line only keeps the curve falling.
const RICH: [(f64, f64); 9] = [
    (0.215, 0.0),
    (0.58, 0.46),
    (0.70, 0.611),
    (0.75, 0.675),
    (0.80, 0.739),
    (0.85, 0.804),
    (0.90, 0.869),
    (0.95, 0.934),
    (1.00, LEAN),
];

/// Share of the fuel's lower heating value that is released [-] at `lambda` [-]; rises with lambda, constant from 1 on.
///
/// Not modelled: misfire of lean mixtures, quenching, crevices (in the constant `LEAN`).
#[must_use]
pub fn efficiency(lambda: f64) -> f64 {
    table::linear(&RICH, lambda)
}
