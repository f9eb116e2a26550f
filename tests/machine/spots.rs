//! A fault planted on the machine is found where it is, and the part in charge there is named.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::part::{Group, Part};
use bellmouth::rig::settings::Settings;
use bellmouth::setup::targets::TargetBand;
use bellmouth::study::how_sure::spots;
use bellmouth::study::machine_solver::MachineSolver;
use bellmouth::study::map::{Grid, MapResult};
use bellmouth::study::spots::{Side, find};
use bellmouth::study::{spot_cure, sweep};

use super::{FILES, machine};

/// Coarse cells: what is checked is where and which, not how much.
fn settings() -> Settings {
    Settings { cell_size: 20e-3, ..Settings::default() }
}

fn map(machine: &Machine, targets: Vec<TargetBand>) -> MapResult {
    let grid = Grid { throttles: vec![0.0625, 0.125, 0.25, 0.5, 0.75, 1.0], speeds: vec![4000.0, 4500.0] };
    let solver = MachineSolver { machine: machine.clone(), settings: settings() };
    let (points, _) = sweep::run(&solver, &grid, NonZeroUsize::new(2).unwrap(), &AtomicBool::new(false), &|_, _| ());
    let mut map = MapResult {
        schema: 1,
        version: String::new(),
        name: String::new(),
        stoichiometric: machine.fuel.stoichiometric,
        friction_form: String::new(),
        correction: None,
        grid,
        targets,
        points,
        interrupted: false,
        setup: serde_json::Value::Null,
        steps: None,
        spots: Vec::new(),
        road: None,
    };
    map.spots = find(&map);
    map
}

/// Bands around what the machine as it is gives, 1.5 % to each side, so that it has no spot.
fn bands(map: &MapResult) -> Vec<TargetBand> {
    let band = |throttle: &f64| {
        let own = map.points.iter().filter(|p| (p.throttle - throttle).abs() < 1e-9).filter_map(|p| p.lambda);
        let (low, high) = own.fold((f64::INFINITY, 0.0_f64), |(a, b), l| (a.min(l), b.max(l)));
        TargetBand {
            throttle_from: throttle - 1e-3,
            throttle_to: throttle + 1e-3,
            lambda_rich: low / 1.015,
            lambda_lean: high * 1.015,
        }
    };
    map.grid.throttles.iter().map(band).collect()
}

fn cured(machine: &Machine, mut map: MapResult) -> MapResult {
    let with = (NonZeroUsize::new(2).unwrap(), &AtomicBool::new(false));
    let remedies = spot_cure::run(machine, &map, &settings(), with).unwrap();
    for (spot, remedy) in map.spots.iter_mut().zip(remedies) {
        println!(
            "{} {}..{} {}..{}: {:?} {:?}",
            spot.side.word(),
            spot.throttle_from,
            spot.throttle_to,
            spot.rpm_from,
            spot.rpm_to,
            remedy.say,
            remedy.cure
        );
        spot.remedy = Some(remedy);
    }
    map
}

// The needle and its clip govern 1/4 to 3/4 (common practice; practice of several makers of this kind of carburettor).
#[test]
fn a_needle_one_groove_low_is_a_lean_spot_in_the_middle_that_a_groove_cures() {
    let good = machine(FILES[2]);
    let targets = bands(&map(&good, Vec::new()));
    assert!(map(&good, targets.clone()).spots.is_empty());
    let weak = Part::Clip.moved(&good, -1).unwrap();
    let map = cured(&weak, map(&weak, targets));
    let spot = &map.spots[0];
    assert_eq!(spot.side, Side::Lean);
    assert!(spot.throttle_from <= 0.25 && spot.throttle_to >= 0.5, "{spot:?}");
    let remedy = spot.remedy.as_ref().unwrap();
    let cure = remedy.cure.as_ref().unwrap();
    assert_eq!((remedy.say[0].part, cure.part, cure.steps, cure.cured), (Part::Clip, Part::Clip, 1, true));
    assert!(cure.elsewhere.iter().all(|m| !m.spoilt), "it is the machine without its fault");
}

// The by-pass holes give mixture from off idle to about 1/8 (common practice). Which part's step says most there,
// needle or
// cutaway, is the model's own answer: with the holes plugged the pilot jet has little left to say, so the holes are
// named by what
// they give.
#[test]
fn plugged_by_pass_holes_are_a_lean_spot_off_idle_that_names_the_holes() {
    let good = machine(FILES[2]);
    let as_made = map(&good, Vec::new());
    assert!(as_made.at(0.0625, 4000.0).unwrap().pilot_openings[1..].iter().any(|hole| hole.net() > 0.0));
    let targets = bands(&as_made);
    let mut plugged = good.clone();
    plugged.carburettor.pilot.bypass.clear();
    let map = cured(&plugged, map(&plugged, targets));
    let spot = &map.spots[0];
    assert_eq!(spot.side, Side::Lean);
    assert!(spot.throttle_from < 0.07 && spot.throttle_to < 0.3, "{spot:?}");
    assert_eq!(spot.bypass_gives, Some(false));
    let remedy = spot.remedy.as_ref().unwrap();
    let group = remedy.say[0].part.group();
    assert!(!matches!(group, Group::Height | Group::Main), "{:?}", remedy.say);
    let pilot = |m: &MapResult| m.at(spot.worst.throttle, spot.worst.rpm).unwrap().fuel_pilot_g_s.unwrap();
    assert!(pilot(&map) < 0.8 * pilot(&as_made), "the pilot circuit gives less");
}

// One-at-a-time screening (common practice of experiments): the estimates that are found move the mixture more than the
// spot is lean, so it is not lean at all of their ends.
#[test]
fn a_spot_that_is_hardly_lean_is_not_so_at_some_end_of_the_estimates() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(FILES[2]);
    let setup = bellmouth::setup::load(&path, None).unwrap().value;
    let mut map = map(&setup.machine, Vec::new());
    map.grid = Grid { throttles: vec![1.0], speeds: vec![4500.0] };
    map.points.retain(|p| p.throttle > 0.99 && p.rpm > 4400.0);
    let own = map.points[0].lambda.unwrap();
    let lean = own / 1.01;
    let band = TargetBand { throttle_from: 0.9, throttle_to: 1.0, lambda_rich: 0.5 * lean, lambda_lean: lean };
    map.targets = vec![band];
    map.spots = find(&map);
    let with = (NonZeroUsize::new(2).unwrap(), &AtomicBool::new(false));
    let answers = spots::run(&setup, &map, &settings(), with, &|_| ()).unwrap();
    let [(0, sure)] = &answers[..] else { panic!("{answers:?}") };
    assert_eq!(sure.ends.len(), 10, "five estimates at both ends");
    assert!(!sure.holds && sure.next.is_some(), "{sure:?}");
    let afr = |i: usize| sure.ends[i].afr.unwrap();
    assert!((afr(0) / afr(1) - 1.0).abs() > 0.02, "{} {}", afr(0), afr(1));
    map.spots[0].how_sure = Some(sure.clone());
    let text = bellmouth::report::spots_text(&map);
    assert!(text.contains("How sure: not lean with") && text.contains("Measure next:"), "{text}");
}
