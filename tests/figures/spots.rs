//! Lean and rich spots: planted regions are found with their extent, and drawn and told within their room.

#![allow(clippy::float_cmp)]

use bellmouth::plot::{afr_heat_map, ink};
use bellmouth::report::{map_json, map_text};
use bellmouth::study::map::MapResult;
use bellmouth::study::point::PointResult;
use bellmouth::study::spots::{Side, find};

use super::pictures::keep;
use super::synthetic;

const THROTTLES: [f64; 6] = [0.0625, 0.125, 0.25, 0.5, 0.75, 1.0];
const SPEEDS: [f64; 5] = [2000.0, 3000.0, 4000.0, 5000.0, 6000.0];

/// A map whose every point stands in the middle of its band, but for those that `plant` changes.
fn map(plant: impl Fn(&mut PointResult)) -> MapResult {
    let mut map = synthetic::whole(&THROTTLES, &SPEEDS);
    for i in 0..map.points.len() {
        let band = *map.target(map.points[i].throttle).unwrap();
        set(&mut map.points[i], 0.5 * (band.lambda_rich + band.lambda_lean));
    }
    map.points.iter_mut().for_each(plant);
    map.spots = find(&map);
    map
}

fn set(p: &mut PointResult, lambda: f64) {
    p.lambda = Some(lambda);
    p.afr = Some(lambda * synthetic::STOICHIOMETRIC);
    p.torque_lost = Some(0.01);
}

fn within(p: &PointResult, throttles: (f64, f64), speeds: (f64, f64)) -> bool {
    (throttles.0..=throttles.1).contains(&p.throttle) && (speeds.0..=speeds.1).contains(&p.rpm)
}

#[test]
fn a_map_inside_its_band_has_no_spot_and_says_so() {
    let map = map(|_| ());
    assert!(map.spots.is_empty(), "{:?}", map.spots);
    assert!(map_text(&map).contains("No lean or rich spots"));
    assert!(map_json(&map).unwrap().contains("\"spots\": []"));
}

#[test]
fn a_planted_region_is_found_with_its_extent_its_worst_point_and_its_severity() {
    let map = map(|p| {
        if within(p, (0.125, 0.25), (3000.0, 5000.0)) {
            set(p, if (p.throttle, p.rpm) == (0.25, 4000.0) { 1.14 } else { 1.0 });
            p.torque_lost = Some(0.01 * p.rpm / 1000.0);
            p.ve = Some(0.4);
        }
    });
    let [spot] = &map.spots[..] else { panic!("{:?}", map.spots) };
    assert_eq!((spot.side, spot.cells.len(), spot.number), (Side::Lean, 6, 1));
    assert_eq!((spot.throttle_from, spot.throttle_to, spot.rpm_from, spot.rpm_to), (0.125, 0.25, 3000.0, 5000.0));
    assert_eq!((spot.worst.throttle, spot.worst.rpm), (0.25, 4000.0));
    assert!((spot.worst.off.unwrap() - (1.14 / 0.95 - 1.0)).abs() < 1e-12, "20 % past 0.95");
    assert_eq!(spot.torque_lost, Some(0.05));
    assert_eq!((spot.harmful_points, spot.unfired, spot.other_way_rpm), (0, 0, None));
    assert!(map_text(&map).contains("LEAN 1/8 to 1/4 throttle, 3000 to 5000 rpm"));
}

// common practice: a big single is hurt by running lean at half throttle and above, or well filled
#[test]
fn lean_under_load_is_flagged_and_rich_or_lean_at_small_load_is_not() {
    let at = |throttle: f64, lambda: f64, ve: f64| {
        map(move |p| {
            if p.throttle == throttle && p.rpm == 4000.0 {
                set(p, lambda);
                p.ve = Some(ve);
            }
        })
    };
    let harmful = |map: &MapResult| map.spots.iter().map(|s| s.harmful_points).sum::<usize>();
    let cases = [(1.0, 1.0, 0.3, 1), (0.25, 1.1, 0.9, 1), (0.25, 1.1, 0.3, 0), (1.0, 0.7, 0.9, 0)];
    for (throttle, lambda, ve, wanted) in cases {
        let map = at(throttle, lambda, ve);
        assert_eq!((map.spots.len(), harmful(&map)), (1, wanted), "{throttle} {lambda} {ve}");
        assert_eq!(map_text(&map).contains("LEAN UNDER LOAD DAMAGES ENGINES."), wanted > 0);
    }
}

#[test]
fn points_without_fire_for_lack_of_fuel_are_lean_and_the_worst_is_one_that_fires() {
    let map = map(|p| {
        if p.rpm < 2500.0 && p.throttle >= 0.5 {
            if p.throttle > 0.9 {
                (p.fired, p.afr, p.lambda, p.torque_lost) = (false, None, None, None);
            } else {
                set(p, 1.3);
            }
        }
    });
    let [spot] = &map.spots[..] else { panic!("{:?}", map.spots) };
    assert_eq!((spot.side, spot.cells.len(), spot.unfired, spot.harmful_points), (Side::Lean, 3, 1, 2));
    assert_eq!((spot.worst.throttle, spot.worst.fired), (0.75, true));
    // flooded without fire is rich
    let rich = self::map(|p| {
        if p.throttle > 0.9 && p.rpm < 2500.0 {
            set(p, 0.5);
            p.fired = false;
        }
    });
    assert_eq!(rich.spots[0].side, Side::Rich);
}

#[test]
fn corners_do_not_join_lean_and_rich_are_apart_and_a_region_through_all_ranges_is_cut() {
    let corner = map(|p| {
        if (p.throttle, p.rpm) == (0.25, 3000.0) || (p.throttle, p.rpm) == (0.5, 4000.0) {
            set(p, 1.1);
        }
    });
    assert_eq!(corner.spots.len(), 2);
    let both = map(|p| {
        if p.throttle == 0.25 && p.rpm < 4500.0 {
            set(p, if p.rpm < 3500.0 { 1.2 } else { 0.8 });
        }
    });
    assert_eq!(
        both.spots.iter().map(|s| (s.side, s.cells.len())).collect::<Vec<_>>(),
        [(Side::Lean, 2), (Side::Rich, 1)]
    );
    assert_eq!(both.spots[0].other_way_rpm, Some((4000.0, 4000.0)), "no jet cures both");
    let through = map(|p| {
        if p.rpm < 2500.0 {
            set(p, 1.1);
        }
    });
    let mut spans: Vec<_> = through.spots.iter().map(|s| (s.throttle_from, s.throttle_to)).collect();
    spans.sort_by(|a, b| a.0.total_cmp(&b.0));
    assert_eq!(spans, [(0.0625, 0.125), (0.25, 0.5), (0.75, 1.0)]);
}

#[test]
fn points_that_did_not_converge_or_are_absent_belong_to_no_spot() {
    let mut map = map(|p| {
        if p.throttle == 0.5 {
            set(p, 1.2);
            p.converged = p.rpm > 2500.0;
        }
    });
    map.points.retain(|p| !(p.throttle == 0.5 && p.rpm > 5500.0));
    map.spots = find(&map);
    assert_eq!((map.spots.len(), map.spots[0].cells.len()), (1, 3));
    for empty in [synthetic::whole(&[], &[]), synthetic::whole(&[0.5], &[])] {
        assert!(find(&empty).is_empty());
    }
}

#[test]
fn outlines_show_in_the_picture_and_words_keep_80_columns() {
    let mut map = synthetic::map();
    let bare = afr_heat_map(&map).unwrap();
    map.spots = find(&map);
    assert!(map.spots.len() > 2);
    let bytes = afr_heat_map(&map).unwrap();
    keep("afr_heat_map_spots", &bytes);
    let (before, after) = (ink(&bare).unwrap(), ink(&bytes).unwrap());
    assert!(after.clear_edges && after.colours > before.colours, "{before:?} {after:?}");
    assert!(map_text(&map).lines().all(|l| l.chars().count() <= 80));
    let read: MapResult = serde_json::from_str(&map_json(&map).unwrap()).unwrap();
    let shape = |m: &MapResult| m.spots.iter().map(|s| (s.number, s.side, s.cells.clone())).collect::<Vec<_>>();
    assert_eq!(shape(&read), shape(&map), "numbers are read back to their last bit but one");
    let old = map_json(&synthetic::whole(&[1.0], &[4000.0])).unwrap().replace(",\n  \"spots\": []", "");
    assert!(!old.contains("spots") && serde_json::from_str::<MapResult>(&old).is_ok(), "old files stay readable");
}
