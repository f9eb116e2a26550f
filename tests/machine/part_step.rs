//! Parts moved by steps: size, sign, way back, and the ends of what there is.

use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::mixture_screw::ScrewKind;
use bellmouth::hardware::part::{Group, Part, taper};
use bellmouth::hardware::part_step::NoStep;

use crate::{FILES, machine};

fn demo() -> Machine {
    machine(FILES[2])
}

/// Open ring [m2] at a share of full lift.
fn ring(m: &Machine, throttle: f64) -> f64 {
    let c = &m.carburettor;
    c.main.needle_jet.annulus(&c.main.needle, throttle * c.slide.bore).area()
}

/// A number of a part that the fuel rises with.
fn fuel_side(part: Part, m: &Machine) -> f64 {
    let c = &m.carburettor;
    match part {
        Part::PilotJet => c.pilot.jet.area(),
        Part::MixtureScrew => c.pilot.screw.area() * if c.pilot.screw.kind == ScrewKind::Fuel { 1.0 } else { -1.0 },
        Part::PilotAirJet => -c.pilot.air_jet.unwrap().area(),
        Part::Cutaway => -c.slide.cutaway,
        Part::NeedleDiameter | Part::NeedleJet => ring(m, 0.0),
        Part::Clip | Part::Washer | Part::NeedleTaper => ring(m, 0.5),
        Part::MainJet => c.main.main_jet.area(),
        Part::MainAirJet => -c.main.air_jet.unwrap().area(),
        Part::FloatLevel => -c.bowl.level_below_bore,
    }
}

#[test]
fn a_step_up_is_the_richer_way_and_a_step_down_goes_back() {
    for file in FILES {
        let mut fitted = machine(file);
        fitted.carburettor.main.needle.washers = 1e-3;
        for kind in [ScrewKind::Fuel, ScrewKind::Air] {
            fitted.carburettor.pilot.screw.kind = kind;
            for part in Part::all() {
                let up = part.moved(&fitted, 1).unwrap();
                let down = part.moved(&fitted, -1).unwrap();
                let [low, now, high] = [&down, &fitted, &up].map(|m| fuel_side(part, m));
                assert!(low < now && now < high, "{file}, {}: {low} {now} {high}", part.name());
                let back = part.moved(&up, -1).unwrap();
                assert!((fuel_side(part, &back) / now - 1.0).abs() < 1e-9, "{file}, {}", part.name());
                assert_eq!(part.moved(&fitted, 0).unwrap(), fitted, "{}", part.name());
                let two = part.moved(&fitted, 2);
                assert!(two.is_err() || two.unwrap() != up, "{}", part.name());
            }
        }
    }
}

#[test]
fn each_step_has_the_size_that_is_sold_and_leaves_the_other_parts() {
    let fitted = demo();
    let c = &fitted.carburettor;
    let moved = |part: Part, n: i32| part.moved(&fitted, n).unwrap().carburettor;
    let near = |a: f64, b: f64| assert!((a - b).abs() < 1e-12, "{a} and {b}");
    near(moved(Part::MainJet, 2).main.main_jet.bore, 1.475e-3);
    near(moved(Part::PilotJet, -1).pilot.jet.bore, 0.25e-3);
    near(moved(Part::MainAirJet, 1).main.air_jet.unwrap().bore, 1.3e-3);
    near(moved(Part::PilotAirJet, -1).pilot.air_jet.unwrap().bore, 1.3e-3);
    near(moved(Part::NeedleJet, 1).main.needle_jet.bore, 2.67e-3);
    near(moved(Part::Cutaway, 1).slide.cutaway, 2.5e-3);
    near(moved(Part::MixtureScrew, 1).pilot.screw.turns, 1.75);
    near(moved(Part::FloatLevel, 1).bowl.level_below_bore, 11e-3);
    near(moved(Part::Washer, 1).main.needle.washers, 0.5e-3);
    assert_eq!(moved(Part::Clip, 1).main.needle.groove, 4);
    near(moved(Part::MainJet, 1).main.main_jet.length, c.main.main_jet.length);
    for (a, b) in moved(Part::NeedleDiameter, 1).main.needle.stations.iter().zip(&c.main.needle.stations) {
        near(b.1 - a.1, 1e-5);
    }
    let steeper = moved(Part::NeedleTaper, 1).main.needle;
    let (start, angle) = taper(&steeper).unwrap();
    assert!((angle.to_degrees() - 1.25).abs() < 1e-9, "{}", angle.to_degrees());
    near(steeper.stations[start].0, 19.5e-3);
    near(steeper.stations[start].1, 2.54e-3);
    let only_main = moved(Part::MainJet, 1);
    assert_eq!((&only_main.pilot, &only_main.slide, &only_main.bowl), (&c.pilot, &c.slide, &c.bowl));
}

#[test]
fn a_part_stops_where_there_is_no_further_one() {
    let fitted = demo();
    let why = |part: Part, n: i32| part.moved(&fitted, n).unwrap_err();
    assert_eq!(why(Part::Clip, 3), NoStep::NoGroove { groove: 3, grooves: 5 });
    assert_eq!(why(Part::Clip, -3).to_string(), "no further groove: the clip is in 3 of 5");
    assert!(Part::Clip.moved(&fitted, -2).is_ok() && Part::Clip.moved(&fitted, 2).is_ok());
    assert_eq!(why(Part::Clip, i32::MIN), NoStep::NoGroove { groove: 3, grooves: 5 });
    assert_eq!(why(Part::Washer, -1), NoStep::NoWasher);
    assert_eq!(why(Part::NeedleDiameter, -12), NoStep::NeedleSticks, "2.54 mm and 0.12 mm in 2.66 mm");
    assert!(Part::NeedleDiameter.moved(&fitted, -11).is_ok());
    assert_eq!(why(Part::NeedleJet, -12), NoStep::NeedleSticks);
    assert_eq!(why(Part::NeedleTaper, -4), NoStep::NoTaper);
    assert_eq!(why(Part::NeedleTaper, 40), NoStep::NoTip);
    assert_eq!(why(Part::MainJet, 50), NoStep::JetTooWide);
    assert_eq!(why(Part::MainJet, -54).to_string(), "a main jet below 0.1 mm is not made");
    assert_eq!(why(Part::NeedleJet, 1000), NoStep::NeedleJetTooWide);
    assert_eq!(why(Part::PilotAirJet, 12), NoStep::TooSmall { part: "pilot air jet" });
    assert_eq!(why(Part::Cutaway, 7), NoStep::NoSlide);
    assert!(Part::Cutaway.moved(&fitted, 6).is_ok(), "no cutaway at all");
    assert_eq!(why(Part::MixtureScrew, -7), NoStep::ScrewEnds);
    assert!(Part::MixtureScrew.moved(&fitted, -6).is_ok(), "shut");
    assert_eq!(why(Part::MixtureScrew, 100).to_string(), "the screw would leave 0 to 6 turns");
    assert_eq!(why(Part::FloatLevel, 40), NoStep::Floods);
    let mut plugged = fitted.clone();
    plugged.carburettor.main.air_jet = None;
    assert_eq!(Part::MainAirJet.moved(&plugged, 1), Err(NoStep::Plugged("main air jet")));
    assert_eq!(Part::MainAirJet.setting(&plugged), "plugged");
    let mut straight = fitted;
    straight.carburettor.main.needle.stations.truncate(2);
    assert_eq!(Part::NeedleTaper.moved(&straight, 1), Err(NoStep::NoTaper));
    assert_eq!(Part::NeedleTaper.setting(&straight), "none");
}

#[test]
fn parts_have_one_key_each_say_what_is_fitted_and_belong_to_a_group() {
    let fitted = demo();
    for (i, part) in Part::all().into_iter().enumerate() {
        assert!(Part::all()[i + 1..].iter().all(|p| p.key() != part.key() && p.name() != part.name()));
        assert_eq!(serde_json::to_value(part).unwrap(), part.key());
        assert!(Group::all().contains(&part.group()));
        let line = format!("  {}, {}: {}", part.name(), part.setting(&fitted), part.step_label(&fitted));
        assert!(line.chars().count() <= 80, "{line}");
    }
    let said = |part: Part| (part.setting(&fitted), part.step_label(&fitted));
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(said(Part::PilotJet), pair("27.5", "bore +0.025 mm (+2.5)"));
    assert_eq!(said(Part::MainJet).0, "142.5");
    assert_eq!(said(Part::Clip), pair("3 of 5", "a groove down, 0.95 mm"));
    assert_eq!(said(Part::MixtureScrew).1, "1/4 turn out");
    assert_eq!(said(Part::NeedleTaper).0, "1.00 deg");
    assert_eq!(Part::in_charge().count(), Part::all().len() - 1);
}
