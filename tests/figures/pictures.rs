//! Every picture: drawn, of the right size, whole inside its edges, the same bytes each time, and never a panic.

use bellmouth::plot::{MAP_FIGURES, afr_against_speed, afr_against_throttle, cycle_traces, ink, torque_lost};
use bellmouth::study::map::MapResult;
use bellmouth::units::Units;

use super::synthetic;

const SIZES: [(u32, u32); 5] = [(1600, 1100), (1600, 1150), (1600, 1500), (1600, 1560), (1600, 1150)];

/// Keep a picture for looking at, if a folder for it is named in the environment.
pub fn keep(name: &str, bytes: &[u8]) {
    if let Some(folder) = std::env::var_os("BELLMOUTH_FIGURES") {
        let path = std::path::Path::new(&folder).join(format!("{}.png", name.replace(".png", "")));
        std::fs::write(path, bytes).unwrap();
    }
}

#[test]
fn a_picture_of_a_map_is_drawn_at_its_size_with_clear_edges_and_the_same_bytes_twice() {
    let map = synthetic::map();
    for ((name, draw), size) in MAP_FIGURES.into_iter().zip(SIZES) {
        let bytes = draw(&map, &Units::default()).unwrap();
        keep(name, &bytes);
        let seen = ink(&bytes).unwrap();
        assert_eq!((seen.width, seen.height), size, "{name}");
        assert!(seen.colours > 100, "{name}: {} colours", seen.colours);
        assert!(seen.drawn_share > 0.05 && seen.drawn_share < 0.9, "{name}: {}", seen.drawn_share);
        assert!(seen.clear_edges, "{name}: something touches the edge of the sheet");
        assert_eq!(bytes, draw(&map, &Units::default()).unwrap(), "{name}: the second picture differs");
    }
}

#[test]
fn a_picture_of_a_cycle_is_drawn_at_its_size_with_clear_edges_and_the_same_bytes_twice() {
    let cycle = synthetic::cycle();
    let bytes = cycle_traces(&cycle).unwrap();
    keep("cycle_traces", &bytes);
    let seen = ink(&bytes).unwrap();
    assert_eq!((seen.width, seen.height), (1600, 1420));
    assert!(seen.colours > 100 && seen.drawn_share > 0.05 && seen.clear_edges, "{seen:?}");
    assert_eq!(bytes, cycle_traces(&cycle).unwrap());
}

#[test]
fn a_sheet_without_marks_is_told_from_a_drawn_one() {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, 40, 30);
    encoder.set_color(png::ColorType::Rgb);
    let mut writer = encoder.write_header().unwrap();
    writer.write_image_data(&[255; 40 * 30 * 3]).unwrap();
    writer.finish().unwrap();
    let seen = ink(&bytes).unwrap();
    assert_eq!((seen.colours, seen.clear_edges), (1, true));
    assert!(seen.drawn_share < 1e-12);
    assert!(ink(b"no picture").is_err());
}

#[test]
fn a_grid_without_points_of_one_row_of_one_column_or_of_many_is_drawn_without_panic() {
    let fine: Vec<f64> = (1..=60).map(|i| f64::from(i) / 60.0).collect();
    let fast: Vec<f64> = (1..=60).map(|i| f64::from(i) * 100.0).collect();
    let cases: [(&[f64], &[f64]); 6] = [
        (&[], &[]),
        (&[0.5], &[]),
        (&[0.25], &[3000.0]),
        (&[0.25, 0.5, 1.0], &[3000.0]),
        (&[0.3], &[2000.0, 3000.0, 4000.0]),
        (&fine, &fast),
    ];
    for (place, (throttles, speeds)) in cases.into_iter().enumerate() {
        let map = synthetic::whole(throttles, speeds);
        for (name, draw) in MAP_FIGURES {
            let bytes = draw(&map, &Units::default()).unwrap();
            keep(&format!("{name}_grid_{place}"), &bytes);
            let seen = ink(&bytes).unwrap();
            assert!(seen.clear_edges && seen.colours > 10, "{name}, grid {place}: {seen:?}");
        }
    }
}

#[test]
fn equal_extreme_and_missing_values_are_drawn_without_panic() {
    let set = |value: Option<f64>| {
        let mut map = synthetic::map();
        for p in &mut map.points {
            p.afr = value;
            p.lambda = value.map(|v| v / synthetic::STOICHIOMETRIC);
            p.torque_nm = value;
            p.power_kw = value;
            p.ve = value;
            p.fuel_pilot_g_s = value;
            p.fuel_main_g_s = value;
            p.imep_pa = value;
            p.bmep_pa = value;
            p.fmep_pa = value;
            p.exhaust_temperature_k = value;
            p.torque_lost = value;
            p.lambda_of_best = value;
        }
        map
    };
    let values = [None, Some(13.0), Some(-5.0), Some(1e300), Some(-f64::MAX), Some(f64::NAN), Some(f64::INFINITY)];
    for value in values {
        let mut map = set(value);
        for (name, draw) in MAP_FIGURES {
            assert!(ink(&draw(&map, &Units::default()).unwrap()).unwrap().clear_edges, "{name}, {value:?}");
        }
        map.targets.clear();
        map.stoichiometric = value.unwrap_or(0.0);
        map.name = "a very long name \u{1b}[31m of a set-up ".repeat(30);
        for (name, draw) in MAP_FIGURES {
            assert!(ink(&draw(&map, &Units::default()).unwrap()).unwrap().clear_edges, "{name}, {value:?}, no targets");
        }
    }
}

#[test]
fn a_cycle_without_traces_or_with_extreme_ones_is_drawn_without_panic() {
    let mut cycle = synthetic::cycle();
    cycle.point.converged = false;
    cycle.point.status = bellmouth::study::point::Status::CycleLimit;
    cycle.traces.cylinder_pa.fill(-1.0);
    cycle.traces.slide_air_g_s.fill(1e300);
    cycle.traces.nozzle_pa.fill(f64::NAN);
    cycle.traces.fuel_main_g_s.fill(0.0);
    cycle.traces.inlet_lift_m.fill(1.0);
    let bytes = cycle_traces(&cycle).unwrap();
    keep("cycle_extreme", &bytes);
    assert!(ink(&bytes).unwrap().clear_edges);
    cycle.traces = bellmouth::study::cycle::Traces::default();
    assert!(ink(&cycle_traces(&cycle).unwrap()).unwrap().clear_edges);
}

#[test]
fn a_point_that_did_not_converge_looks_different_from_one_that_did() {
    let good = synthetic::whole(&[0.25, 0.5, 1.0], &[2000.0, 3000.0, 4000.0]);
    let mut bad = good.clone();
    for p in bad.points.iter_mut().filter(|p| p.throttle > 0.9 && p.rpm > 2500.0 && p.rpm < 3500.0) {
        p.converged = false;
    }
    for (name, draw) in MAP_FIGURES {
        assert_ne!(draw(&good, &Units::default()).unwrap(), draw(&bad, &Units::default()).unwrap(), "{name}");
    }
}

#[test]
fn a_point_off_the_scale_is_marked_at_the_edge() {
    let near = synthetic::whole(&[0.25, 0.5, 1.0], &[2000.0, 3000.0, 4000.0]);
    let with = |afr: f64| {
        let mut map = near.clone();
        map.points[4].afr = Some(afr);
        map.points[4].lambda = Some(afr / synthetic::STOICHIOMETRIC);
        map
    };
    for draw in [afr_against_throttle, afr_against_speed] {
        let (lean, rich) = (draw(&with(300.0)).unwrap(), draw(&with(2.0)).unwrap());
        keep("off_scale", &lean);
        assert_ne!(lean, rich);
        let none = |mut map: MapResult| {
            map.points[4].afr = None;
            map.points[4].lambda = None;
            draw(&map).unwrap()
        };
        assert_ne!(lean, none(near.clone()));
    }
}

#[test]
fn lean_rich_unfired_and_hopeless_cells_of_the_torque_map_differ() {
    let with = |change: fn(&mut bellmouth::study::point::PointResult)| {
        let mut map = synthetic::whole(&[0.25, 0.5, 1.0], &[2000.0, 3000.0, 4000.0]);
        change(&mut map.points[4]);
        let bytes = torque_lost(&map).unwrap();
        keep("torque_lost_one", &bytes);
        bytes
    };
    let pictures = [
        with(|p| (p.torque_lost, p.trapped_lambda) = (Some(0.06), Some(1.05))),
        with(|p| (p.torque_lost, p.trapped_lambda) = (Some(0.06), Some(0.75))),
        with(|p| p.torque_lost = Some(0.0)),
        with(|p| p.torque_lost = None),
        with(|p| p.fired = false),
        with(|p| p.torque_nm = None),
        with(|p| p.converged = false),
    ];
    for (i, a) in pictures.iter().enumerate() {
        assert!(pictures[..i].iter().all(|b| a != b), "picture {i} is not told from one before it");
    }
}

#[test]
fn a_hundred_thousand_points_are_drawn_in_seconds() {
    let steps = |count: i32, most: f64| (1..=count).map(|i| most * f64::from(i) / f64::from(count)).collect::<Vec<_>>();
    let map = synthetic::whole(&steps(317, 1.0), &steps(316, 7000.0));
    assert!(map.points.len() > 100_000);
    let start = std::time::Instant::now();
    for (name, draw) in MAP_FIGURES {
        let bytes = draw(&map, &Units::default()).unwrap();
        keep(&format!("{name}_large"), &bytes);
        assert!(ink(&bytes).unwrap().clear_edges, "{name}");
    }
    let text = bellmouth::report::map_text(&map);
    assert!(text.lines().count() > 300);
    // a search of all points for each point would take minutes; the bound leaves room for a busy machine
    assert!(start.elapsed().as_secs() < 40, "{:?}", start.elapsed());
}
