//! Lines of equal value on a grid, by marching squares, in the index space of the grid.

/// A piece of an iso-line: two places in columns and rows, counted from 0.
pub type Piece = ((f64, f64), (f64, f64));

/// Values on a grid, column by column; a missing value leaves a gap.
#[derive(Debug, Clone)]
pub struct Field {
    /// Columns.
    pub columns: usize,
    /// Rows.
    pub rows: usize,
    /// Values, `columns * rows` of them.
    pub values: Vec<Option<f64>>,
}

impl Field {
    fn at(&self, column: usize, row: usize) -> Option<f64> {
        self.values.get(column * self.rows + row).copied().flatten()
    }

    /// Pieces of the line on which the field equals `level`.
    ///
    /// Saddles are told apart by the mean of the four corners. Squares with a missing corner give nothing.
    /// Lorensen and Cline, 1987, Computer Graphics 21(4), the method in two dimensions.
    #[must_use]
    pub fn iso_line(&self, level: f64) -> Vec<Piece> {
        let mut pieces = Vec::new();
        for column in 1..self.columns {
            for row in 1..self.rows {
                self.square(column - 1, row - 1, level, &mut pieces);
            }
        }
        pieces
    }

    fn square(&self, column: usize, row: usize, level: f64, pieces: &mut Vec<Piece>) {
        let places = [(0, 0), (1, 0), (1, 1), (0, 1)];
        let mut corner = [0.0; 4];
        for (value, (dx, dy)) in corner.iter_mut().zip(places) {
            let Some(found) = self.at(column + dx, row + dy) else { return };
            *value = found - level;
        }
        let mut crossings = Vec::with_capacity(4);
        for side in 0..4 {
            let (a, b) = (corner[side], corner[(side + 1) % 4]);
            if (a < 0.0) != (b < 0.0) {
                let t = (a / (a - b)).clamp(0.0, 1.0);
                let (from, to) = (places[side], places[(side + 1) % 4]);
                let mix = |p: usize, q: usize| p as f64 + (q as f64 - p as f64) * t;
                crossings.push((column as f64 + mix(from.0, to.0), row as f64 + mix(from.1, to.1)));
            }
        }
        match crossings[..] {
            [a, b] => pieces.push((a, b)),
            [a, b, c, d] => {
                let mean: f64 = corner.iter().sum::<f64>();
                if (mean < 0.0) == (corner[0] < 0.0) {
                    pieces.extend([(a, b), (c, d)]);
                } else {
                    pieces.extend([(d, a), (b, c)]);
                }
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn field(columns: usize, rows: usize, value: impl Fn(f64, f64) -> f64) -> Field {
        let values = (0..columns).flat_map(|c| (0..rows).map(move |r| (c, r)));
        let values = values.map(|(c, r)| Some(value(c as f64, r as f64))).collect();
        Field { columns, rows, values }
    }

    #[test]
    fn on_a_plane_the_line_lies_where_the_plane_has_the_level() {
        // exact: linear interpolation of a linear function
        let pieces = field(6, 5, |x, y| 2.0 * x + y).iso_line(4.3);
        assert!(!pieces.is_empty());
        for (a, b) in pieces {
            for (x, y) in [a, b] {
                assert!((2.0 * x + y - 4.3).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn a_hill_is_ringed_once_and_each_end_meets_another() {
        let pieces = field(9, 9, |x, y| -((x - 4.0) * (x - 4.0) + (y - 4.0) * (y - 4.0))).iso_line(-6.1);
        let ends: Vec<_> = pieces.iter().flat_map(|(a, b)| [*a, *b]).collect();
        for end in &ends {
            let same = ends.iter().filter(|e| (e.0 - end.0).abs() < 1e-9 && (e.1 - end.1).abs() < 1e-9).count();
            assert_eq!(same, 2);
        }
    }

    #[test]
    fn a_saddle_and_a_gap_do_not_cross_lines() {
        let saddle = Field { columns: 2, rows: 2, values: vec![Some(1.0), Some(0.0), Some(0.0), Some(1.0)] };
        assert_eq!(saddle.iso_line(0.4).len(), 2);
        let gap = Field { columns: 2, rows: 2, values: vec![Some(1.0), None, Some(0.0), Some(1.0)] };
        assert!(gap.iso_line(0.4).is_empty());
    }
}
