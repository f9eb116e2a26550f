//! The vehicle on the road: one place or the other, and what is estimated.
#![allow(clippy::unwrap_used)]

use bellmouth::setup::{End, Setup, describe, load_text, template};

const ROAD: &str = "\n[road]\nmass = \"551.2 lb\"\ntyre = \"130/80-17\"\nprimary = \"64/29\"\n\
                    gears = [\"32/13\", 1.0]\nfinal_drive = \"44/15\"\n";

fn with(road: &str) -> Setup {
    load_text("mine", &(template().to_owned() + road)).unwrap_or_else(|report| panic!("{report}")).value
}

#[test]
fn the_set_up_or_its_engine_may_hold_the_road() {
    let own = with(ROAD);
    let of_engine = with(&ROAD.replace("[road]", "[engine.road]"));
    assert_eq!(own.road, of_engine.road);
    let v = own.road.unwrap();
    // 551.2 lb x 0.45359237 kg; 32/13, 64/29 and 44/15 by hand
    assert!((v.mass - 250.02).abs() < 0.01 && (v.gears[0] - 2.461_538).abs() < 1e-6);
    assert!((v.overall(2).unwrap() - 6.473_563).abs() < 1e-6 && v.overall(3).is_none() && v.overall(0).is_none());
    assert!(load_text("mine", template()).unwrap().value.road.is_none());
}

#[test]
fn what_cannot_be_measured_at_home_is_estimated_and_can_be_moved() {
    let setup = with(ROAD);
    for (key, low, value, high) in [
        ("road.drag_area", 0.45, 0.6, 0.8),
        ("road.rolling", 0.010, 0.015, 0.022),
        ("road.efficiency", 0.87, 0.92, 0.96),
        // 2.98, 3.05 and 3.12 x 0.6398 m
        ("road.tyre_circumference", 1.9066, 1.9514, 1.9962),
    ] {
        let p = setup.estimates().find(|p| p.key == key).unwrap_or_else(|| panic!("{key}"));
        let note = p.estimate().unwrap();
        for (got, want) in [(note.low, low), (p.value.unwrap(), value), (note.high, high)] {
            assert!((got / want - 1.0).abs() < 1e-4, "{key}: {got} against {want}");
        }
    }
    let moved = setup.with_estimate_at("road.drag_area", End::High).unwrap();
    assert!((moved.road.unwrap().drag_area - 0.8).abs() < 1e-12);
}

#[test]
fn the_description_says_what_each_speed_takes() {
    let setup = with(ROAD);
    let rows = describe(&setup, &[]).road;
    let (density, v) = (setup.machine.air.density(), setup.road.as_ref().unwrap());
    let row = rows.iter().find(|r| (3.6 * r.speed_m_s - 80.0).abs() < 1e-9).unwrap();
    let force = 0.5 * density * 0.6 * (80.0_f64 / 3.6).powi(2) + 0.015 * v.mass * 9.80665;
    assert!((row.resistance_n - force).abs() < 1e-9 && (row.power_kw - 1e-3 * force * 80.0 / 3.6 / 0.92).abs() < 1e-9);
    assert!(row.rpm[0].is_none() && row.rpm[1].is_some(), "9000 rpm and more in the first gear: {:?}", row.rpm);
}

#[test]
fn a_gearing_that_is_upside_down_is_called_unlikely() {
    let text = template().to_owned() + &ROAD.replace("44/15", "15/44").replace("0.3 m", "");
    let read = load_text("mine", &text);
    let said = match read {
        Ok(read) => format!("{:?}", read.warnings),
        Err(report) => report.to_string(),
    };
    assert!(said.contains("final_drive") && said.contains("gearing is unusual"), "{said}");
}
