//! The throttle that holds a speed: on the running engine, and between the points of a map.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use bellmouth::rig::settings::Settings;
use bellmouth::setup::{Setup, load};
use bellmouth::study::machine_solver::MachineSolver;
use bellmouth::study::map::{Grid, MapResult};
use bellmouth::study::road::{Asked, OnRoad, TOLERANCE, hold_all};
use bellmouth::study::road_error::RoadError;
use bellmouth::study::road_line::Between;
use bellmouth::study::sweep;
use bellmouth::units::road::SpeedUnit;

use super::found;

fn demo() -> Setup {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/sidecar_38mm.toml");
    load(&path, None).unwrap().value
}

fn settings() -> Settings {
    Settings { cell_size: 20e-3, ..Settings::default() }
}

fn at(km_h: f64, gear: Option<usize>) -> Asked {
    Asked { speed_m_s: km_h / 3.6, gear }
}

/// A part of the usual grid of the demo, as finely spaced as the whole of it.
fn map(setup: &Setup) -> MapResult {
    let grid = Grid { throttles: vec![0.1875, 0.25, 0.3125, 0.375], speeds: vec![3840.0, 4360.0] };
    let solver = MachineSolver { machine: setup.machine.clone(), settings: settings() };
    let stop = AtomicBool::new(false);
    let (points, _) = sweep::run(&solver, &grid, NonZeroUsize::new(2).unwrap(), &stop, &|_, _| ());
    MapResult {
        schema: 1,
        version: String::new(),
        name: "part of the demo".into(),
        stoichiometric: setup.machine.fuel.stoichiometric,
        friction_form: String::new(),
        correction: None,
        grid,
        targets: Vec::new(),
        points,
        interrupted: false,
        setup: serde_json::Value::Null,
        steps: None,
        spots: Vec::new(),
        road: None,
    }
}

#[test]
fn the_line_between_the_points_of_a_map_is_near_the_throttle_solved_on_the_engine() {
    let (setup, settings) = (demo(), settings());
    let road = OnRoad { machine: &setup.machine, vehicle: setup.road.as_ref().unwrap(), settings: &settings };
    let map = map(&setup);
    let between = Between::of(&map);
    let speeds = [74.0, 79.5];
    for km_h in speeds {
        let guess = |rpm: f64, torque: f64| between.throttle(rpm, torque);
        let held = road.hold(&at(km_h, Some(4)), &guess).unwrap();
        let place = between.place(&road, km_h / 3.6, 4).unwrap();
        // what was solved meets the torque that the road takes
        let torque = held.point.torque_nm.unwrap();
        assert!((torque / held.wanted_nm - 1.0).abs() <= TOLERANCE && held.point.converged && held.runs <= 6);
        let (throttle, afr) =
            (place.throttle.unwrap() / held.point.throttle, place.afr.unwrap() / held.point.afr.unwrap());
        found(
            "line between the points against the engine",
            &format!("{km_h} km/h: throttle x {throttle:.4}, AFR x {afr:.4}, {} runs", held.runs),
        );
        // a grid as coarse as a map's: a fiftieth
        assert!((throttle - 1.0).abs() < 0.02 && (afr - 1.0).abs() < 0.02, "{km_h}: {throttle} {afr}");
    }
    // marks stand at round speeds, on the line
    let lines = between.lines(&road, SpeedUnit::KmPerHour);
    let marks: Vec<f64> = lines[3].marks.iter().map(|m| (3.6 * m.speed_m_s).round()).collect();
    assert_eq!((lines.len(), marks), (4, vec![80.0]));
}

#[test]
fn the_usual_gear_is_the_highest_above_twice_the_idle_speed() {
    let (setup, settings) = (demo(), settings());
    let road = OnRoad { machine: &setup.machine, vehicle: setup.road.as_ref().unwrap(), settings: &settings };
    // 2400 rpm is 44.8 km/h in gear 4 and 34.4 km/h in gear 3
    assert_eq!(road.gear_for(&at(60.0, None)), Ok(4));
    let asked = [at(42.0, None)];
    let held = hold_all(&road, &asked, (NonZeroUsize::new(2).unwrap(), &AtomicBool::new(false))).unwrap();
    let h = held[0].as_ref().unwrap();
    assert_eq!(h.gear, 3);
    // m3/s over m/s by hand: litres for a hundred kilometres
    let litres = h.point.fuel_l_h.unwrap() / (3.6 * h.speed_m_s) * 100.0;
    assert!((h.l_per_100_km.unwrap() / litres - 1.0).abs() < 1e-9);
    assert!(h.point.converged && (h.point.power_kw.unwrap() / h.wanted_kw - 1.0).abs() < 0.01);
}

#[test]
fn what_cannot_be_held_is_refused_with_its_reason() {
    let (mut setup, settings) = (demo(), settings());
    let mut vehicle = setup.road.take().unwrap();
    let none = |_: f64, _: f64| None;
    {
        let road = OnRoad { machine: &setup.machine, vehicle: &vehicle, settings: &settings };
        assert!(matches!(road.hold(&at(50.0, Some(9)), &none), Err(RoadError::NoGear { gear: 9, last: 4 })));
        assert!(matches!(road.hold(&at(200.0, None), &none), Err(RoadError::PastHighest { gear: 4, .. })));
        assert!(matches!(road.hold(&at(5.0, None), &none), Err(RoadError::BelowIdle { gear: 1, .. })));
        assert!(matches!(road.hold(&at(f64::NAN, None), &none), Err(RoadError::BelowIdle { .. })));
        // 19 kW at the crank and more than the engine has in either gear
        let weak = road.hold(&at(112.0, None), &none);
        assert!(matches!(weak, Err(RoadError::TooWeak { has_kw, wanted_kw, .. }) if has_kw < wanted_kw), "{weak:?}");
    }
    vehicle.grade = -0.25;
    let road = OnRoad { machine: &setup.machine, vehicle: &vehicle, settings: &settings };
    assert!(matches!(road.hold(&at(60.0, Some(4)), &|_, _| Some(0.005)), Err(RoadError::Coasts { .. })));
}

#[test]
#[ignore = "half a minute: cargo test --release --test machine top_speed -- --ignored"]
fn the_top_speed_takes_all_that_full_throttle_gives() {
    let (setup, settings) = (demo(), settings());
    let road = OnRoad { machine: &setup.machine, vehicle: setup.road.as_ref().unwrap(), settings: &settings };
    let top = road.top_speed().unwrap();
    found("top speed", &format!("{:.1} km/h in gear {} at {:.0} rpm", 3.6 * top.speed_m_s, top.gear, top.rpm));
    let hold = |share: f64| road.hold(&at(3.6 * share * top.speed_m_s, Some(top.gear)), &|_, _| None);
    assert!(hold(0.995).is_ok(), "{:?}", hold(0.995));
    assert!(matches!(hold(1.01), Err(RoadError::TooWeak { .. })));
}
