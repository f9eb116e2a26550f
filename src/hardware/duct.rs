//! A duct as a chain of straight or tapered pieces, and the steps of area between them.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

/// Difference of diameter at a joint, over the wider one, below which the joint is no step [-]. Common practice, no source: a
/// fifth of a per cent is the fit of a well-made joint; its Borda-Carnot loss is 2e-5 of a velocity head.
pub const LEAST_STEP: f64 = 2e-3;

/// Largest change of diameter per length in a taper [-]: half an angle of 45 degrees on each side. Beyond it one dimension says
/// nothing, and the taper is a step.
pub const STEEPEST_TAPER: f64 = 2.0;

/// Cell of the gas grid when nobody asks for another [m]: the longest with which the demo's map stays within 0.2 % of filling and 1.25 % of
/// air-fuel ratio of one on cells of 2 mm.
pub const USUAL_CELL: f64 = 6e-3;
/// Fewest cells between two ends or steps of area: a limited slope looks at three.
pub const FEWEST_CELLS: usize = 3;
/// How much finer than wanted the cells of a short part may become, so that it has its fewest [-].
pub const FINEST: f64 = 0.4;

/// Shortest part between two ends or steps of area [m] that can be cut into cells of about `cell_size` [m].
#[must_use]
pub fn shortest_part(cell_size: f64) -> f64 {
    FEWEST_CELLS as f64 * FINEST * cell_size * (1.0 - 1e-9)
}

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
    /// Loss coefficient of bends and the like, spread over the length, on the local velocity head [-].
    pub loss: f64,
    /// Factor on the wall heat of a long straight pipe [-].
    pub heat_factor: f64,
    /// Whether it has walls; the added length of an open end has none.
    pub walled: bool,
}

impl Piece {
    /// A plain piece with a wall at `wall_temperature` [K] and without bends.
    #[must_use]
    pub fn plain(name: &str, length: f64, diameter_start: f64, diameter_end: f64, wall_temperature: f64) -> Self {
        Self {
            name: name.into(),
            length,
            diameter_start,
            diameter_end,
            wall_temperature,
            loss: 0.0,
            heat_factor: 1.0,
            walled: true,
        }
    }

    /// The added length of an open end of `diameter` [m]: `correction` [-] times its radius, gas without a wall.
    /// None where nothing is added.
    ///
    /// Source: Levine & Schwinger 1948 (from memory): 0.6133 for a pipe without flange; 0.8217 with an infinite flange. Valid for
    /// `k r << 1` and little mean flow. Not modelled: sound radiated, `(k r)^2 / 2` of a wave's amplitude at each reflection,
    /// below 1 % for 24 mm and 300 Hz.
    #[must_use]
    pub fn added_length(correction: f64, diameter: f64, temperature: f64) -> Option<Self> {
        let length = 0.5 * correction * diameter;
        (length > 0.0)
            .then(|| Self { walled: false, ..Self::plain("end correction", length, diameter, diameter, temperature) })
    }

    /// Area at the start [m2].
    #[must_use]
    pub fn area_start(&self) -> f64 {
        0.25 * PI * self.diameter_start * self.diameter_start
    }

    /// Area at the end [m2].
    #[must_use]
    pub fn area_end(&self) -> f64 {
        0.25 * PI * self.diameter_end * self.diameter_end
    }

    /// Volume [m3].
    #[must_use]
    pub fn volume(&self) -> f64 {
        let (a, b) = (self.diameter_start, self.diameter_end);
        PI / 12.0 * self.length * (a * a + a * b + b * b)
    }

    /// Whether its taper is too steep for one dimension.
    #[must_use]
    pub fn too_steep(&self) -> bool {
        (self.diameter_end - self.diameter_start).abs() > STEEPEST_TAPER * self.length * (1.0 + 1e-9)
    }

    /// Whether the joint to the `next` piece is a step of area.
    #[must_use]
    pub fn steps_to(&self, next: &Self) -> bool {
        let (a, b) = (self.diameter_end, next.diameter_start);
        (a - b).abs() > LEAST_STEP * a.max(b)
    }
}

/// Pieces in the order of +x (atmosphere to inlet valve; exhaust valve to the open end).
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

    /// Volume [m3].
    #[must_use]
    pub fn volume(&self) -> f64 {
        self.pieces.iter().map(Piece::volume).sum()
    }

    /// Area [m2] at `x` [m from the start]; the ends' values beyond the ends. At a step between two pieces
    /// the later piece counts.
    #[must_use]
    pub fn area(&self, x: f64) -> f64 {
        let (piece, s) = self.at(x);
        let d = piece.diameter_start + s * (piece.diameter_end - piece.diameter_start);
        0.25 * PI * d * d
    }

    /// The piece at `x` [m from the start] and the share of its length that lies before.
    ///
    /// # Panics
    /// A duct without pieces.
    #[must_use]
    pub fn at(&self, x: f64) -> (&Piece, f64) {
        let mut start = 0.0;
        for piece in &self.pieces {
            if x < start + piece.length {
                return (piece, ((x - start) / piece.length).clamp(0.0, 1.0));
            }
            start += piece.length;
        }
        (self.pieces.last().expect("a duct has at least one piece"), 1.0)
    }

    /// Volume [m3] from the start to `x` [m].
    #[must_use]
    pub fn volume_to(&self, x: f64) -> f64 {
        let (mut start, mut sum) = (0.0, 0.0);
        for piece in &self.pieces {
            let part = (x - start).clamp(0.0, piece.length);
            let s = part / piece.length;
            let end = piece.diameter_start + s * (piece.diameter_end - piece.diameter_start);
            sum += Piece { length: part, diameter_end: end, ..piece.clone() }.volume();
            start += piece.length;
        }
        sum
    }

    /// The runs of pieces between steps of area, in order.
    #[must_use]
    pub fn runs(&self) -> Vec<Duct> {
        let mut runs: Vec<Duct> = Vec::new();
        for piece in &self.pieces {
            match runs.last_mut() {
                Some(run) if run.pieces.last().is_some_and(|last| !last.steps_to(piece)) => {
                    run.pieces.push(piece.clone());
                }
                _ => runs.push(Duct { pieces: vec![piece.clone()] }),
            }
        }
        runs
    }
}
