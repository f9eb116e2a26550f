//! Fractions of the trade, verdicts against the band, and what is chosen to be shown.

use bellmouth::study::fraction::{fraction, percent, throttle_name, throttle_phrase};
use bellmouth::study::in_grid::in_grid;
use bellmouth::study::selection::{nearest, spread};
use bellmouth::study::verdict::Verdict;

use super::synthetic;

#[test]
fn throttles_are_named_in_sixteenths_of_the_fewest_parts() {
    // common practice, no source: openings are given as 1/8, 1/4, 3/8 ...
    let pairs =
        [(0.0625, "1/16"), (0.125, "1/8"), (0.25, "1/4"), (0.3125, "5/16"), (0.5, "1/2"), (0.875, "7/8"), (1.0, "1")];
    for (throttle, name) in pairs {
        assert_eq!(fraction(throttle).as_deref(), Some(name));
    }
    for none in [0.0, 0.95, -0.25, 1.5, 0.01, f64::NAN, f64::INFINITY] {
        assert_eq!(fraction(none), None, "{none}");
    }
    assert_eq!((percent(0.125), percent(0.95)), ("12.5 %".to_owned(), "95 %".to_owned()));
    assert_eq!((throttle_name(0.95), throttle_name(0.75)), ("95 %".to_owned(), "3/4".to_owned()));
    assert_eq!((throttle_phrase(1.0), throttle_phrase(0.25)), ("full throttle".to_owned(), "1/4 throttle".to_owned()));
}

#[test]
fn a_mixture_is_leaner_or_richer_by_its_share_of_the_nearer_edge() {
    let band = synthetic::targets()[1];
    let lean = Verdict::of(Some(&band), Some(1.1 * band.lambda_lean));
    let rich = Verdict::of(Some(&band), Some(0.9 * band.lambda_rich));
    assert!(matches!(lean, Verdict::Leaner(by) if (by - 0.1).abs() < 1e-12), "{lean:?}");
    assert!(matches!(rich, Verdict::Richer(by) if (by - 0.1).abs() < 1e-12), "{rich:?}");
    assert_eq!(Verdict::of(Some(&band), Some(band.lambda_lean)), Verdict::Within);
    assert_eq!(Verdict::of(None, Some(1.0)), Verdict::NoBand);
    assert_eq!(Verdict::of(Some(&band), Some(f64::NAN)), Verdict::NoMixture);
    let mut map = synthetic::whole(&[0.25], &[3000.0]);
    map.points[0].converged = false;
    assert_eq!(Verdict::of_point(&map, &map.points[0]), Verdict::NoMixture);
}

#[test]
fn a_spread_keeps_both_ends_and_rises() {
    assert_eq!(spread(3, 8), [0, 1, 2]);
    assert_eq!(spread(12, 1), [6]);
    assert!(spread(5, 0).is_empty());
    for count in 2..60 {
        for most in 2..12 {
            let places = spread(count, most);
            assert_eq!(places.len(), count.min(most));
            assert_eq!((places[0], places[places.len() - 1]), (0, count - 1));
            assert!(places.windows(2).all(|w| w[0] < w[1]), "{count} {most}: {places:?}");
        }
    }
    assert_eq!(nearest(&[0.1, f64::NAN, 0.3], 0.22), Some(2));
    assert_eq!(nearest(&[], 0.2), None);
}

#[test]
fn points_are_laid_on_the_grid_in_any_order_with_gaps() {
    let mut map = synthetic::map();
    for _ in 0..2 {
        let laid = in_grid(&map);
        assert_eq!(laid.len(), map.grid.throttles.len() * map.grid.speeds.len());
        let speeds = map.grid.speeds.len();
        for (place, point) in laid.iter().enumerate() {
            assert_eq!(*point, map.at(map.grid.throttles[place / speeds], map.grid.speeds[place % speeds]));
        }
        assert_eq!(laid.iter().flatten().count(), map.points.len());
        map.points.reverse();
    }
}
