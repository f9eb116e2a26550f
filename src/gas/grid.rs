//! The cells of a duct: where its faces are, how large its cells, where its area steps.

use thiserror::Error;

use super::step::Step;
use crate::hardware::duct::{Duct, Piece};
pub use crate::hardware::duct::{FEWEST_CELLS, FINEST, STEEPEST_TAPER};

/// Why a duct cannot be cut into cells.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum GridError {
    /// A part between two ends or steps is too short.
    #[error(
        "`{part}` is {length_mm:.2} mm long, too short for {FEWEST_CELLS} cells of {cell_mm:.2} mm (which may become {FINEST} times as long there)"
    )]
    TooFewCells {
        /// The pieces of the part.
        part: String,
        /// Its length [mm].
        length_mm: f64,
        /// Cell size wanted [mm].
        cell_mm: f64,
    },
    /// A piece without a positive, finite length or diameter.
    #[error(
        "`{part}` has a length of {length_mm:.3} mm and diameters of {start_mm:.3} and {end_mm:.3} mm; all have to be above 0"
    )]
    NoArea {
        /// The piece.
        part: String,
        /// Its length [mm].
        length_mm: f64,
        /// Its diameter at the start [mm].
        start_mm: f64,
        /// Its diameter at the end [mm].
        end_mm: f64,
    },
    /// A taper too steep for one dimension.
    #[error(
        "`{part}` changes its diameter from {start_mm:.1} to {end_mm:.1} mm over {length_mm:.1} mm; the steepest taper is {STEEPEST_TAPER} mm of diameter per mm"
    )]
    TooSteep {
        /// The piece.
        part: String,
        /// Its length [mm].
        length_mm: f64,
        /// Its diameter at the start [mm].
        start_mm: f64,
        /// Its diameter at the end [mm].
        end_mm: f64,
    },
}

impl GridError {
    /// What to do about it.
    #[must_use]
    pub fn help(&self) -> String {
        match self {
            Self::TooFewCells { length_mm, .. } => format!(
                "ask for cells of at most {:.2} mm, or give this piece and its neighbour one diameter at their joint",
                // Rounded down, so that what is asked for works.
                (100.0 * length_mm / (FEWEST_CELLS as f64 * FINEST)).floor() / 100.0
            ),
            Self::NoArea { .. } => "measure the piece inside, end to end".into(),
            Self::TooSteep { length_mm, start_mm, end_mm, .. } => format!(
                "make it at least {:.1} mm long, or give two pieces of different diameters, which is a step",
                // Rounded up, so that what is asked for works.
                (10.0 * ((end_mm - start_mm).abs() / STEEPEST_TAPER).max(*length_mm) - 1e-6).ceil() / 10.0
            ),
        }
    }
}

/// Shape of a duct in cells.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Geometry {
    /// Area of each face [m2].
    pub face_area: Vec<f64>,
    /// Mean area of each cell [m2].
    pub cell_area: Vec<f64>,
    /// One over the volume of each cell [1/m3].
    pub per_volume: Vec<f64>,
    /// One over the length of each cell [1/m].
    pub per_length: Vec<f64>,
    /// Growth of area over each cell [m2].
    pub rise: Vec<f64>,
    /// Growth of area over each cell, over its mean area [-].
    pub spread: Vec<f64>,
    /// Temperature of the wall [K].
    pub wall_temperature: Vec<f64>,
    /// Wall friction: 1, or 0 where there is no wall [-].
    pub drag: Vec<f64>,
    /// Factor on the wall heat: 1 for a long straight pipe, 0 where there is no wall [-].
    pub heat: Vec<f64>,
    /// Loss coefficient of bends per length [1/m].
    pub loss: Vec<f64>,
}

/// A duct cut into cells.
#[derive(Debug, Clone, PartialEq)]
pub struct Grid {
    /// Shape of the cells.
    pub shape: Geometry,
    /// Middle of each cell [m from the start].
    pub middle: Vec<f64>,
    /// Steps of area.
    pub steps: Vec<Step>,
}

/// Whether one dimension can say something about `piece`.
///
/// # Errors
/// A length or diameter that is not positive; a taper too steep.
pub fn check_piece(piece: &Piece) -> Result<(), GridError> {
    let (length_mm, start_mm, end_mm) = (1e3 * piece.length, 1e3 * piece.diameter_start, 1e3 * piece.diameter_end);
    let part = piece.name.clone();
    let real = |x: f64| x.is_finite() && x > 0.0;
    if !(real(length_mm) && real(start_mm) && real(end_mm)) {
        return Err(GridError::NoArea { part, length_mm, start_mm, end_mm });
    }
    if piece.too_steep() {
        return Err(GridError::TooSteep { part, length_mm, start_mm, end_mm });
    }
    Ok(())
}

/// Cuts `pieces` into cells of about `cell_size` [m]; each part between two steps of area has equal cells of its own.
///
/// # Errors
/// See [`GridError`].
pub fn cut(pieces: &[Piece], cell_size: f64) -> Result<Grid, GridError> {
    pieces.iter().try_for_each(check_piece)?;
    let duct = Duct { pieces: pieces.to_vec() };
    let mut grid = Grid { shape: Geometry::default(), middle: Vec::new(), steps: Vec::new() };
    let mut start = 0.0;
    for run in duct.runs() {
        let length = run.length();
        let n = ((length / cell_size).round() as usize).max(FEWEST_CELLS);
        let dx = length / n as f64;
        if dx < FINEST * cell_size * (1.0 - 1e-9) {
            let names: Vec<&str> = run.pieces.iter().map(|p| p.name.as_str()).collect();
            let (length_mm, cell_mm) = (1e3 * length, 1e3 * cell_size);
            return Err(GridError::TooFewCells { part: names.join(", "), length_mm, cell_mm });
        }
        if let Some(before) = grid.shape.face_area.pop() {
            grid.steps.push(Step::new(grid.middle.len(), before, run.area(0.0)));
        }
        let end = run.pieces.last().map_or(0.0, Piece::area_end);
        let area = |i: usize| if i == n { end } else { run.area(i as f64 * dx) };
        for i in 0..n {
            let (from, to) = (i as f64 * dx, if i + 1 == n { length } else { (i + 1) as f64 * dx });
            let (piece, _) = run.at(from + 0.5 * dx);
            let on = if piece.walled { 1.0 } else { 0.0 };
            grid.add((area(i), area(i + 1)), run.volume_to(to) - run.volume_to(from), dx, start + from + 0.5 * dx);
            let s = &mut grid.shape;
            s.wall_temperature.push(piece.wall_temperature);
            s.drag.push(on);
            s.heat.push(on * piece.heat_factor);
            s.loss.push(piece.loss / piece.length);
        }
        grid.shape.face_area.push(end);
        start += length;
    }
    Ok(grid)
}

/// A duct of `length` [m] in `n` equal cells whose area [m2] is a function of the place [m], without walls.
#[must_use]
pub fn profile(length: f64, n: usize, area: impl Fn(f64) -> f64) -> Grid {
    let mut grid = Grid { shape: Geometry::default(), middle: Vec::new(), steps: Vec::new() };
    let dx = length / n as f64;
    for i in 0..n {
        let at = |s: f64| area((i as f64 + s) * dx);
        let (a, b) = (at(0.0), at(1.0));
        // Simpson's rule.
        grid.add((a, b), dx * (a + 4.0 * at(0.5) + b) / 6.0, dx, (i as f64 + 0.5) * dx);
        let s = &mut grid.shape;
        s.wall_temperature.push(0.0);
        s.drag.push(0.0);
        s.heat.push(0.0);
        s.loss.push(0.0);
    }
    grid.shape.face_area.push(area(length));
    grid
}

impl Grid {
    fn add(&mut self, (before, behind): (f64, f64), volume: f64, dx: f64, middle: f64) {
        let s = &mut self.shape;
        let mean = volume / dx;
        s.face_area.push(before);
        s.cell_area.push(mean);
        s.per_volume.push(1.0 / volume);
        s.per_length.push(1.0 / dx);
        s.rise.push(behind - before);
        s.spread.push((behind - before) / mean);
        self.middle.push(middle);
    }
}
