//! What one step of each part does on the running machine: against the law of two restrictions in series, and against
//! itself.

use std::num::NonZeroUsize;
use std::path::Path;
use std::sync::atomic::AtomicBool;

use bellmouth::hardware::attitude::Attitude;
use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::nozzle::NozzleKind;
use bellmouth::hardware::part::Part;
use bellmouth::rig::settings::Settings;
use bellmouth::setup::load;
use bellmouth::study::map::Grid;
use bellmouth::study::one_step;
use bellmouth::study::point;
use bellmouth::study::steps_result::StepsResult;

fn demo() -> Machine {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/sidecar_38mm.toml");
    load(&path, None).unwrap().value.machine
}

fn settings(cell_size: f64) -> Settings {
    one_step::settings(&Settings { cell_size, ..Settings::default() })
}

fn steps(throttles: &[f64], parts: &[Part], cell: f64, threads: usize) -> StepsResult {
    let grid = Grid { throttles: throttles.to_vec(), speeds: vec![4500.0] };
    let with = (NonZeroUsize::new(threads).unwrap(), &AtomicBool::new(false));
    one_step::run(&demo(), &grid, parts, &settings(cell), with, &|_| ()).unwrap()
}

// By areas the main jet's say is 0.79 at full throttle, by the drop over it with both coefficients 0.77, and its step
// moves the fuel by that part of 3.6 %: 2.8 %. The engine gives 3.1 %, 8 % more, and the two says add up to 1.1 instead
// of 1: the law is for a steady flow as the root of the drop. Here both coefficients rise with the Reynolds number, the
// ring has friction that is not quadratic, and a wider hole lets the pulsing column speed up sooner; these are not told
// apart. At half throttle the law by areas (0.55) meets it, with the ring's friction that by drop (0.48) is 13 % low,
// and the ring's own say is half as much again as by its area.
#[test]
fn a_main_jet_step_on_the_engine_is_its_area_times_its_say_by_the_law_of_series() {
    let m = demo();
    let area = |n: i32| Part::MainJet.moved(&m, n).unwrap().carburettor.main.main_jet.area();
    let change = 100.0 * (area(1) - area(-1)) / (2.0 * area(0));
    let result = steps(&[0.5, 1.0], &[Part::MainJet, Part::Clip, Part::NeedleJet], 10e-3, 2);
    for (point, within) in result.points.iter().zip([0.2, 0.1]) {
        let base = point.base.fuel_main_g_s.unwrap();
        let got = |part: usize| {
            let e = &point.parts[part];
            100.0 * (e.up.fuel_main_g_s.unwrap() - e.down.fuel_main_g_s.unwrap()) / (2.0 * base)
        };
        let row = result.hand_over.rows.iter().find(|r| (r.throttle - point.base.throttle).abs() < 1e-9).unwrap();
        let (by_area, by_drop) = (change * row.main_jet_share, change * row.main_jet_share_by_drop);
        println!("{}: {} %, law by areas {by_area} %, by drop {by_drop} %", point.base.throttle, got(0));
        assert!(got(0) > by_drop * (1.0 - within) && got(0) < by_area * (1.0 + within), "{}", got(0));
        // the ring has the rest of the say, for clip and needle jet alike
        let rings = |part: Part| {
            let ring = |n: i32| {
                let moved = part.moved(&m, n).unwrap();
                let main = &moved.carburettor.main;
                main.needle_jet.annulus(&main.needle, row.lift_m).area()
            };
            100.0 * (ring(1) - ring(-1)) / (2.0 * ring(0))
        };
        for (place, part) in [(1, Part::Clip), (2, Part::NeedleJet)] {
            // friction in the ring makes its flow follow more than its area: up to twice the law at half throttle
            let law = rings(part) * (1.0 - row.main_jet_share);
            println!("    {}: {} %, law {law} %", part.name(), got(place));
            assert!(got(place) > 0.9 * law && got(place) < 2.0 * law, "{} against {law}", got(place));
        }
    }
}

#[test]
fn steps_have_the_same_bits_on_any_number_of_threads_and_shares_add_up() {
    let parts = [Part::PilotJet, Part::MainAirJet, Part::FloatLevel];
    let [one, three] = [1, 3].map(|threads| steps(&[0.25, 1.0], &parts, 20e-3, threads));
    assert_eq!(one, three);
    for point in &one.points {
        assert!(point.base.converged, "{:?}", point.base.status);
        let sum: f64 = point.parts.iter().filter_map(|e| e.share).sum();
        assert!((sum - 1.0).abs() < 1e-12);
        assert!(point.parts.iter().all(|e| e.mixture.per_step.unwrap() > 0.0), "one step up is richer");
    }
    assert_eq!(one.small.len(), 5);
    assert_eq!(one_step::runs(&one.grid, parts.len()), 2 * 7 + 5);
}

#[test]
fn a_refitted_machine_settles_where_a_cold_one_does_and_only_metering_parts_can_be_refitted() {
    let (m, settings) = (demo(), settings(20e-3));
    let some = [Part::PilotJet, Part::Cutaway, Part::Clip, Part::FloatLevel];
    for (throttle, rpm, parts) in [(0.125, 4000.0, &some[..3]), (1.0, 5000.0, &some[2..])] {
        let (before, state) = point::solve(&m, throttle, rpm, None, &settings);
        let state = state.unwrap();
        for part in parts {
            let moved = part.moved(&m, 1).unwrap();
            let warm = point::solve(&moved, throttle, rpm, state.refitted(&moved).as_ref(), &settings).0;
            let cold = point::solve(&moved, throttle, rpm, None, &settings).0;
            let off = 100.0 * (warm.afr_metered.unwrap() / cold.afr_metered.unwrap() - 1.0);
            assert!(off.abs() < 0.02, "{}: {off} % at {throttle}", part.name());
            assert!(warm.cycles <= cold.cycles, "{}: {} and {} cycles", part.name(), warm.cycles, cold.cycles);
        }
        assert!(before.pilot_openings.len() == 3);
        let mut other = m.clone();
        other.carburettor.slide.bore += 1e-3;
        assert!(state.refitted(&other).is_none());
        other = m.clone();
        other.engine.inlet[0].length += 1e-3;
        assert!(state.refitted(&other).is_none());
    }
}

#[test]
fn a_refitted_machine_settles_where_a_cold_one_does_with_starter_bleed_nozzle_and_a_tilted_bowl() {
    let mut m = demo();
    m.carburettor.main.nozzle.kind = NozzleKind::Bleed;
    m.carburettor.starter = Some(crate::starter::starter(0.2));
    m.carburettor.bowl.attitude = Some(Attitude { tilt: 0.2, ..Attitude::default() });
    let settings = settings(20e-3);
    let (_, state) = point::solve(&m, 0.2, 4000.0, None, &settings);
    let state = state.unwrap();
    for part in [Part::FloatLevel, Part::Clip] {
        let moved = part.moved(&m, 1).unwrap();
        let warm = point::solve(&moved, 0.2, 4000.0, state.refitted(&moved).as_ref(), &settings).0;
        let cold = point::solve(&moved, 0.2, 4000.0, None, &settings).0;
        let off = 100.0 * (warm.afr_metered.unwrap() / cold.afr_metered.unwrap() - 1.0);
        assert!(off.abs() < 0.05, "{}: {off} %", part.name());
    }
}

#[test]
fn what_the_pilots_openings_give_is_the_pilots_fuel() {
    let (m, settings) = (demo(), settings(20e-3));
    for throttle in [0.0625, 0.25, 1.0] {
        let p = point::solve(&m, throttle, 3000.0, None, &settings).0;
        let given: f64 = p.pilot_openings.iter().map(|o| o.fuel_g_s).sum();
        let taken: f64 = p.pilot_openings.iter().map(|o| o.gas_taken_g_s).sum();
        // they give what the jet draws, and once more the fuel in the mixture that they take in; the rest is stored
        // from cycle to cycle
        let (drawn, again) = (p.fuel_pilot_g_s.unwrap(), taken / p.afr.unwrap());
        let stored = 2e-3 * drawn;
        assert!(
            given > drawn - stored && given < drawn + 2.0 * again + stored,
            "{given} of {drawn} and {again} at {throttle}"
        );
    }
    // with the slide as good as shut the hole further ahead sees nearly free air, and the circuit draws through it
    let shut = point::solve(&m, 1.0 / 256.0, 3000.0, None, &settings).0;
    assert!(shut.pilot_openings[2].net() < 0.0, "{:?}", shut.pilot_openings);
    assert!(shut.pilot_openings[0].net() > 0.0);
}
