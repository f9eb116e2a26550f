//! The same input gives the same bits, on one thread or two.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use bellmouth::study::machine_solver::MachineSolver;
use bellmouth::study::map::Grid;
use bellmouth::study::point::{self, PointResult};
use bellmouth::study::sweep;

use crate::{coarse, found, single};

/// Every figure of a result in digits that give back its bits.
fn bits(points: &[PointResult]) -> String {
    serde_json::to_string(points).unwrap()
}

#[test]
fn same_point_gives_the_same_bits_twice() {
    let m = single();
    let [a, b] = [0, 1].map(|_| point::solve(&m, 0.4, 3500.0, None, &coarse()));
    assert!(a.0.converged);
    assert_eq!(bits(std::slice::from_ref(&a.0)), bits(&[b.0]));
    // The whole state of the machine too.
    assert!(a.1.unwrap() == b.1.unwrap());
    found("one point twice (exact)", &format!("same bits, AFR {:?}", a.0.afr));
}

#[test]
fn map_gives_the_same_bits_on_one_thread_and_on_two() {
    let solver = MachineSolver { machine: single(), settings: coarse() };
    let grid = Grid { throttles: vec![0.25, 1.0], speeds: vec![3000.0, 4500.0, 6000.0] };
    let [one, two] = [1, 2].map(|threads| {
        let threads = NonZeroUsize::new(threads).unwrap();
        let (points, interrupted) = sweep::run(&solver, &grid, threads, &AtomicBool::new(false), &|_, _| {});
        assert!(!interrupted);
        points
    });
    assert_eq!(one.len(), 6);
    assert!(one.iter().filter(|p| p.converged).count() >= 5);
    assert_eq!(bits(&one), bits(&two));
    // Different points are different: the comparison sees something.
    assert_ne!(bits(&one[..1]), bits(&one[1..2]));
    found("map of six points on one and on two threads (exact)", "same bits");
}
