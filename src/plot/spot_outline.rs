//! Numbered outlines of the lean and rich spots of a map.

use super::PlotError;
use super::canvas::{Canvas, Rect};
use super::colour::{Colour, INK, PAPER};
use super::heat_sheet::Sheet;
use super::text::Lettering;
use crate::study::spots::{LISTED, Side, Spot};

/// Distance of an outline from the edge of its cells [px], so that two spots side by side keep theirs.
const INSET: f64 = 4.0;
/// Radius of a number's disc [px].
const DISC: f64 = 15.0;
/// Lengths of dash and gap of a rich spot's outline [px].
const DASH: (f64, f64) = (13.0, 8.0);
/// Colours of a lean and a rich spot, dark on every ground of the map.
const LEAN: Colour = plotters::style::RGBColor(0xa0, 0x00, 0x28);
const RICH: Colour = INK;

/// Colour of a side.
fn colour(side: Side) -> Colour {
    match side {
        Side::Lean => LEAN,
        Side::Rich => RICH,
    }
}

/// Closed lines around `cells`, given as column and row: corners of cells, cell (0, 0) lying between corners (0, 0) and
/// (1, 1), each line with the region on its left. Cells that touch at a corner alone are kept apart.
#[must_use]
pub fn loops(cells: &[(usize, usize)]) -> Vec<Vec<(usize, usize)>> {
    let inside = |c: Option<usize>, r: Option<usize>| c.zip(r).is_some_and(|at| cells.contains(&at));
    let mut edges: Vec<((usize, usize), (usize, usize))> = Vec::new();
    for &(c, r) in cells {
        let sides = [
            (inside(Some(c), r.checked_sub(1)), (c, r), (c + 1, r)),
            (inside(Some(c + 1), Some(r)), (c + 1, r), (c + 1, r + 1)),
            (inside(Some(c), Some(r + 1)), (c + 1, r + 1), (c, r + 1)),
            (inside(c.checked_sub(1), Some(r)), (c, r + 1), (c, r)),
        ];
        edges.extend(sides.into_iter().filter(|s| !s.0).map(|s| (s.1, s.2)));
    }
    let mut found = Vec::new();
    while let Some((start, mut at)) = edges.pop() {
        let mut corners = vec![start];
        let mut from = start;
        while at != start {
            // of two ways on, the left turn stays with the same cell
            let way = (at.0 as i64 - from.0 as i64, at.1 as i64 - from.1 as i64);
            let turn = |to: (usize, usize)| {
                let on = (to.0 as i64 - at.0 as i64, to.1 as i64 - at.1 as i64);
                way.0 * on.1 - way.1 * on.0
            };
            let next = edges.iter().enumerate().filter(|(_, e)| e.0 == at).max_by_key(|(_, e)| turn(e.1));
            let Some(next) = next.map(|(i, _)| i) else { break };
            let (_, to) = edges.swap_remove(next);
            corners.push(at);
            (from, at) = (at, to);
        }
        found.push(corners);
    }
    found
}

/// A closed line in pixels, moved inwards, its straight runs joined.
fn drawn(sheet: &Sheet<'_>, corners: &[(usize, usize)]) -> Vec<(f64, f64)> {
    let count = corners.len();
    let mut line = Vec::new();
    for i in 0..count {
        let (before, at, after) = (corners[(i + count - 1) % count], corners[i], corners[(i + 1) % count]);
        let way = |a: (usize, usize), b: (usize, usize)| (b.0 as f64 - a.0 as f64, b.1 as f64 - a.1 as f64);
        let (come, go) = (way(before, at), way(at, after));
        if come == go {
            continue;
        }
        // the region lies to the left: (x, y) turned by a quarter is (-y, x); rows rise as pixels fall
        let (x, y) = sheet.place(at.0 as f64 - 0.5, at.1 as f64 - 0.5);
        line.push((x + INSET * (-come.1 - go.1), y - INSET * (come.0 + go.0)));
    }
    line
}

/// Closed lines in pixels.
type Lines = Vec<Vec<(f64, f64)>>;

/// Outlines and numbers of the largest spots; `taken` are places that numbers keep off.
///
/// # Errors
/// Drawing failed.
pub fn draw(canvas: &mut Canvas, sheet: &Sheet<'_>, spots: &[Spot], taken: &[Rect]) -> Result<(), PlotError> {
    let mut taken = taken.to_vec();
    let shown: Vec<(&Spot, Lines)> = spots
        .iter()
        .take(LISTED)
        .map(|spot| (spot, loops(&spot.cells).iter().map(|l| drawn(sheet, l)).collect()))
        .collect();
    for (spot, lines) in &shown {
        for line in lines {
            for (width, ink) in [(6.5, PAPER), (3.6, colour(spot.side))] {
                for (i, from) in line.iter().enumerate() {
                    let to = line[(i + 1) % line.len()];
                    side(canvas, *from, to, width, ink, spot.side == Side::Rich && width < 6.0)?;
                }
            }
        }
    }
    for (spot, lines) in &shown {
        let corners = lines.iter().flatten();
        let free = |at: &&(f64, f64)| taken.iter().all(|t| !t.meets(&around(**at)));
        // the upper left corner, where there is room
        let order = |a: &&(f64, f64), b: &&(f64, f64)| (a.0 + a.1).total_cmp(&(b.0 + b.1));
        let Some(at) = corners.clone().filter(free).min_by(order).or_else(|| corners.clone().min_by(order)) else {
            continue;
        };
        taken.push(around(*at));
        badge(canvas, *at, spot.number, spot.side)?;
    }
    Ok(())
}

fn around((x, y): (f64, f64)) -> Rect {
    Rect::new(x - DISC, y - DISC, x + DISC, y + DISC)
}

/// The number on its disc.
///
/// # Errors
/// Drawing failed.
fn badge(canvas: &mut Canvas, at: (f64, f64), number: usize, side: Side) -> Result<(), PlotError> {
    canvas.disc(at, DISC + 2.0, PAPER)?;
    canvas.disc(at, DISC, colour(side))?;
    canvas.text(at, &number.to_string(), Lettering::new(20.0).middle().coloured(PAPER))
}

/// One straight side, dashed for a rich spot.
fn side(
    canvas: &mut Canvas,
    from: (f64, f64),
    to: (f64, f64),
    width: f64,
    ink: Colour,
    dashed: bool,
) -> Result<(), PlotError> {
    let length = (to.0 - from.0).abs() + (to.1 - from.1).abs();
    let at = |along: f64| {
        let part = if length > 0.0 { along / length } else { 0.0 };
        (from.0 + part * (to.0 - from.0), from.1 + part * (to.1 - from.1))
    };
    if !dashed {
        return canvas.line(from, to, width, ink);
    }
    let mut along = 0.0;
    while along < length {
        canvas.line(at(along), at((along + DASH.0).min(length)), width, ink)?;
        along += DASH.0 + DASH.1;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_lone_cell_has_four_corners_and_a_ring_two_loops() {
        assert_eq!(loops(&[(2, 3)]).iter().map(Vec::len).collect::<Vec<_>>(), [4]);
        let ring: Vec<_> = (0..3).flat_map(|c| (0..3).map(move |r| (c, r))).filter(|at| *at != (1, 1)).collect();
        let mut lengths: Vec<_> = loops(&ring).iter().map(Vec::len).collect();
        lengths.sort_unstable();
        assert_eq!(lengths, [4, 12]);
    }

    #[test]
    fn loops_run_round_their_region_on_the_left_and_keep_touching_corners_apart() {
        // twice the signed area (shoelace) is positive when the region lies on the left
        let area = |line: &Vec<(usize, usize)>| -> f64 {
            let next = |i: usize| line[(i + 1) % line.len()];
            let cross = |i: usize| {
                let (a, b) = (line[i], next(i));
                a.0 as f64 * b.1 as f64 - b.0 as f64 * a.1 as f64
            };
            (0..line.len()).map(cross).sum::<f64>() / 2.0
        };
        // two cells that meet at a corner, joined around it
        let cells = [(0, 0), (1, 1), (0, 2), (0, 1), (5, 5)];
        let total: f64 = loops(&cells).iter().map(area).sum();
        assert!((total - 5.0).abs() < 1e-12, "{total}");
        let corner = [(0, 0), (1, 1)];
        assert_eq!(loops(&corner).len(), 2);
        assert!(loops(&corner).iter().all(|l| l.len() == 4));
    }
}
