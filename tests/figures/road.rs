//! Where the machine rides: its picture, its words, its file.

use bellmouth::hardware::road_vehicle::RoadVehicle;
use bellmouth::plot::{afr_heat_map, ink, road_line};
use bellmouth::report::{map_json, map_text, road_sentence};
use bellmouth::study::map::MapResult;
use bellmouth::study::road::{Asked, RoadPoint};
use bellmouth::study::road_line::{GearLine, LinePoint};
use bellmouth::study::road_result::{Here, RoadResult};
use bellmouth::study::top_speed::{Ends, TopSpeed};
use bellmouth::units::road::SpeedUnit;

use super::pictures::keep;
use super::synthetic;

fn place(i: u32, gear: usize) -> LinePoint {
    let part = f64::from(i) / 20.0;
    LinePoint {
        speed_m_s: 10.0 * gear as f64 + 20.0 * part,
        rpm: 2000.0 + 4000.0 * part,
        wanted_nm: 20.0,
        wanted_kw: 6.0,
        throttle: (i > 1).then_some(0.05 + 0.2 * gear as f64 * part),
        afr: Some(13.0),
        fuel_g_s: Some(0.8),
    }
}

fn road() -> RoadResult {
    let vehicle = RoadVehicle {
        mass: 250.0,
        drag_area: 0.6,
        rolling: 0.015,
        tyre_circumference: 2.0,
        primary: 2.2,
        gears: vec![2.4, 1.6, 1.0],
        final_drive: 2.9,
        efficiency: 0.92,
        grade: 0.05,
        headwind: -5.0,
    };
    let line = |gear: usize| GearLine {
        gear,
        places: (0..=20).map(|i| place(i, gear)).collect(),
        marks: [5, 10, 15].map(|i| place(i, gear)).to_vec(),
    };
    RoadResult {
        vehicle,
        air_density: 1.2,
        unit: SpeedUnit::MilesPerHour,
        usual_rpm: 2600.0,
        top: Some(TopSpeed {
            speed_m_s: 40.0,
            gear: 3,
            rpm: 6100.0,
            wanted_kw: 25.0,
            ends: Ends::Power,
            solved: false,
        }),
        lines: (1..=3).map(line).collect(),
        here: Vec::new(),
    }
}

/// The synthetic map with a point that was asked for and one that cannot be held.
fn ridden() -> MapResult {
    let mut map = synthetic::map();
    let mut road = road();
    let asked = Asked { speed_m_s: 26.8224, gear: Some(3) };
    let point = RoadPoint {
        speed_m_s: 26.8224,
        gear: 3,
        wanted_kw: 9.0,
        wanted_nm: 20.0,
        point: synthetic::point(0.25, 4000.0),
        fuel_m3_s: Some(1e-6),
        l_per_100_km: Some(5.0),
        runs: 4,
        say: Vec::new(),
    };
    for (point, refused) in [(Some(point), None), (None, Some("the hill is too steep".to_owned()))] {
        let mut here = Here { asked, point, refused, sentence: String::new() };
        here.sentence = road_sentence(&map, &road, &here);
        road.here.push(here);
    }
    map.road = Some(road);
    map
}

#[test]
fn the_line_is_drawn_with_clear_edges_and_the_same_bytes_twice() {
    let map = ridden();
    let draw = || road_line(&map, map.road.as_ref().unwrap()).unwrap();
    let bytes = draw();
    keep("road_line", &bytes);
    let seen = ink(&bytes).unwrap();
    assert_eq!((seen.width, seen.height), (1600, 1100));
    assert!(seen.colours > 100 && seen.clear_edges, "{seen:?}");
    assert_eq!(bytes, draw());
    let heat = afr_heat_map(&map).unwrap();
    keep("afr_heat_map_with_road", &heat);
    assert!(ink(&heat).unwrap().clear_edges);
    assert_ne!(heat, afr_heat_map(&synthetic::map()).unwrap(), "the line is on the mixture map too");
}

#[test]
fn no_points_and_extreme_values_are_drawn_and_said_without_panic() {
    for value in [0.0, -3.0, 1e300, f64::NAN, f64::INFINITY] {
        let mut map = ridden();
        let road = map.road.as_mut().unwrap();
        for p in road.lines.iter_mut().flat_map(|l| l.places.iter_mut().chain(&mut l.marks)) {
            (p.speed_m_s, p.rpm, p.throttle, p.wanted_kw) = (value, value, Some(value), value);
        }
        road.vehicle.grade = value;
        assert!(ink(&road_line(&map, map.road.as_ref().unwrap()).unwrap()).unwrap().clear_edges, "{value}");
        assert!(map_text(&map).lines().all(|line| line.chars().count() <= 80));
    }
    let mut empty = synthetic::whole(&[], &[]);
    empty.road = Some(RoadResult { lines: Vec::new(), here: Vec::new(), top: None, ..road() });
    assert!(ink(&road_line(&empty, empty.road.as_ref().unwrap()).unwrap()).unwrap().clear_edges);
}

#[test]
fn the_words_name_lift_rpm_mixture_power_and_fuel_in_both_systems() {
    let map = ridden();
    let text = map_text(&map).replace("\n  ", " ");
    for said in [
        "On a road that rises 5 % with 11 mph of wind from behind",
        "At 60 mph (97 km/h) in gear 3",
        "you are here: slide lift 25 % of the bore, 4000 rpm, AFR",
        "9.0 kW (12.1 hp); fuel 60 cc/min, 5.0 L/100 km (47 mpg US, 56 mpg UK)",
        "cannot be held: the hill is too steep.",
        "highest speed 89 mph (144 km/h) in gear 3 at full throttle, 6100 rpm",
    ] {
        assert!(text.contains(said), "no {said:?} in\n{text}");
    }
}

#[test]
fn a_map_with_a_road_reads_back_from_its_file_and_one_without_has_no_word_of_it() {
    let map = ridden();
    let back: MapResult = serde_json::from_str(&map_json(&map).unwrap()).unwrap();
    assert_eq!(back, map);
    assert!(!map_json(&synthetic::map()).unwrap().contains("\"road\""));
}
