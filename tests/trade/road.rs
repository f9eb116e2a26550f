//! The known starting point on the road.
//!
//! Power and fuel at a speed: common practice of the trade, published in magazines and by dealers, no better source.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use bellmouth::rig::settings::Settings;
use bellmouth::setup::{Setup, load_text};
use bellmouth::study::road::{Asked, OnRoad, RoadPoint, hold_all};

const ENGINE: &str = include_str!("single_650.toml");
const TEXT: &str = include_str!("single_650_road.toml");
/// One mile an hour [m/s], exact.
const MPH: f64 = 0.44704;
/// One mechanical horsepower [kW].
const HP: f64 = 0.745_699_87;

fn known() -> Setup {
    load_text("single_650_road.toml", TEXT).unwrap().value
}

fn held(setup: &Setup, settings: &Settings, mph: &[f64]) -> Vec<RoadPoint> {
    let road = OnRoad { machine: &setup.machine, vehicle: setup.road.as_ref().unwrap(), settings };
    let asked: Vec<Asked> = mph.iter().map(|v| Asked { speed_m_s: v * MPH, gear: None }).collect();
    let threads = NonZeroUsize::new(2).unwrap();
    let held = hold_all(&road, &asked, (threads, &AtomicBool::new(false))).unwrap();
    held.into_iter().map(Result::unwrap).collect()
}

#[test]
fn the_road_file_begins_with_the_known_starting_point_unchanged() {
    assert!(TEXT.starts_with(ENGINE));
}

#[test]
fn sixty_miles_an_hour_takes_the_power_and_fuel_of_the_trade() {
    let settings = Settings { cell_size: 8e-3, ..Settings::default() };
    for p in held(&known(), &settings, &[50.0, 60.0, 75.0]) {
        println!(
            "{:?} {} {} {} kW {} cc/min {:?}",
            p.speed_m_s / MPH,
            p.gear,
            p.point.rpm,
            p.wanted_kw / HP,
            6e7 * p.fuel_m3_s.unwrap(),
            p.runs
        );
        println!(
            "{:?}",
            (p.point.throttle, p.point.afr, p.point.fuel_g_kwh, p.l_per_100_km, p.point.torque_nm, p.wanted_nm)
        );
    }
}
