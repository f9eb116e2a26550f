//! A duct as a chain of straight or tapered pieces.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// One piece of a duct, circular, its diameter changing linearly from end to end.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Piece {
    /// What it is: "bell mouth", "boot", "port".
    pub name: String,
    /// Length along the flow [m].
    pub length: f64,
    /// Diameter at the atmosphere's side of an intake, the valve's side of an exhaust [m].
    pub diameter_start: f64,
    /// Diameter at the other end [m].
    pub diameter_end: f64,
    /// Temperature of the wall [K].
    pub wall_temperature: f64,
}

/// Pieces in the order of +x (atmosphere to inlet valve).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Duct {
    /// The pieces, at least one.
    pub pieces: Vec<Piece>,
}

impl Duct {
    /// Total length [m].
    #[must_use]
    pub fn length(&self) -> f64 {
        self.pieces.iter().map(|p| p.length).sum()
    }

    /// Area [m2] at `x` [m from the start]; the ends' values beyond the ends. At a step between two pieces
    /// the later piece counts.
    #[must_use]
    pub fn area(&self, x: f64) -> f64 {
        let d = self.at(x, |piece, s| piece.diameter_start + s * (piece.diameter_end - piece.diameter_start));
        0.25 * PI * d * d
    }

    /// Wall temperature [K] at `x` [m].
    #[must_use]
    pub fn wall_temperature(&self, x: f64) -> f64 {
        self.at(x, |piece, _| piece.wall_temperature)
    }

    /// Volume [m3].
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.pieces
            .iter()
            .map(|p| {
                let (a, b) = (p.diameter_start, p.diameter_end);
                PI / 12.0 * p.length * (a * a + a * b + b * b)
            })
            .sum()
    }

    fn at(&self, x: f64, value: impl Fn(&Piece, f64) -> f64) -> f64 {
        let mut start = 0.0;
        let last = self.pieces.len().saturating_sub(1);
        for (i, piece) in self.pieces.iter().enumerate() {
            if x < start + piece.length || i == last {
                let s = ((x - start) / piece.length).clamp(0.0, 1.0);
                return value(piece, s);
            }
            start += piece.length;
        }
        0.0
    }
}
