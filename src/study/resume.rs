//! Where a sweep goes on that was cut off: the states of finished points are not kept, their rows are.
//!
//! Why no states: one is all cells of all ducts, some 30 kB, to be written whole for each point, while solving the
//! begun chains again from their last cold start costs at most one chain for each thread of the run that was cut off.

use super::map::Grid;
use super::point::PointResult;
use super::sweep::{Chain, chains};

/// How many of the first points of `chain` are known.
fn known_first(chain: &Chain, known: &[Option<PointResult>]) -> usize {
    chain.points.iter().take_while(|&&place| known.get(place).is_some_and(Option::is_some)).count()
}

/// The point of `chain` from which it must be solved: its end if all are known; else the first one not known, or, as
/// that starts from the state of the one before, the last one above it that started cold.
#[must_use]
pub fn goes_on_at(chain: &Chain, known: &[Option<PointResult>]) -> usize {
    let first = known_first(chain, known);
    if first == chain.points.len() {
        return first;
    }
    let converged = |i: &usize| known[chain.points[*i]].as_ref().is_some_and(|point| point.converged);
    (0..first).rev().find(|i| !converged(i)).map_or(0, |i| i + 1)
}

/// Forgets what cannot be used of `known`: in each chain all that stands behind the first gap, as it did not start as
/// it would without the gap. Returns how many were forgotten.
pub fn forget_behind_gaps(grid: &Grid, known: &mut [Option<PointResult>]) -> usize {
    let mut forgotten = 0;
    for chain in chains(grid) {
        for &place in &chain.points[known_first(&chain, known)..] {
            forgotten += usize::from(known.get_mut(place).and_then(Option::take).is_some());
        }
    }
    forgotten
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::study::point::Status;

    fn point(converged: bool) -> Option<PointResult> {
        Some(PointResult { converged, status: Status::Converged, ..PointResult::failed(0.5, 3000.0, 1, String::new()) })
    }

    /// A chain of four in the order 3, 2, 1, 0, as one speed has it.
    fn grid() -> Grid {
        Grid { throttles: vec![0.125, 0.25, 0.5, 1.0], speeds: vec![3000.0] }
    }

    fn at(known: &[Option<PointResult>]) -> usize {
        goes_on_at(&chains(&grid())[0], known)
    }

    #[test]
    fn a_chain_goes_on_from_its_last_cold_start() {
        assert_eq!(at(&[]), 0);
        assert_eq!(at(&[None, None, None, None]), 0);
        assert_eq!(at(&[None, None, point(true), point(true)]), 0, "the head's state is needed");
        assert_eq!(at(&[None, None, point(true), point(false)]), 1, "the second started cold");
        assert_eq!(at(&[None, None, point(false), point(true)]), 2, "the third starts cold");
        assert_eq!(at(&[point(true), point(true), point(true), point(true)]), 4, "all known");
        assert_eq!(at(&[point(false), point(true), point(true), point(true)]), 4, "all known");
    }

    #[test]
    fn what_stands_behind_a_gap_is_forgotten() {
        let mut known = [point(true), None, point(true), point(true)];
        assert_eq!(forget_behind_gaps(&grid(), &mut known), 1);
        assert!(known[0].is_none() && known[2].is_some() && known[3].is_some());
        assert_eq!(forget_behind_gaps(&grid(), &mut known), 0);
    }
}
