//! A carburettor brought to a wanted mixture: wrong jets are put right.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use bellmouth::hardware::part::Part;
use bellmouth::rig::settings::Settings;
use bellmouth::setup::bands::USUAL;
use bellmouth::study::point;
use bellmouth::study::same_mixture::brought;

use super::{FILES, machine};

#[test]
fn a_main_jet_three_steps_too_small_is_brought_to_the_wanted_mixture_at_full_throttle() {
    let good = machine(FILES[2]);
    let lean = Part::MainJet.moved(&good, -3).unwrap();
    let settings = Settings { cell_size: 15e-3, ..Settings::default() };
    let with = (NonZeroUsize::new(2).unwrap(), &AtomicBool::new(false));
    let speeds = [4800.0, 5800.0];
    let lambda = |machine: &_| {
        let at = |rpm: &f64| libm::log(point::solve(machine, 1.0, *rpm, None, &settings).0.lambda.unwrap());
        libm::exp(speeds.iter().map(at).sum::<f64>() / 2.0)
    };
    let found = brought(&lean, &USUAL, &speeds, &settings, with, &|_| ()).unwrap().machine;
    let wanted = 0.5 * (USUAL[4].lambda_rich + USUAL[4].lambda_lean);
    let (before, after) = (lambda(&lean), lambda(&found));
    println!(
        "main jet {}: lambda {before:.3} brought to {after:.3}, wanted {wanted:.3}",
        Part::MainJet.setting(&found)
    );
    assert!(before > 1.05 * wanted, "it was lean: {before}");
    // half a step of the main jet is 1.5 %, and one step foretells the next few to a tenth of them
    assert!((after / wanted - 1.0).abs() < 0.02, "{after} {wanted}");
    // nothing but main jet, clip and pilot jet has changed
    let mut same = found.clone();
    same.carburettor.main.main_jet = lean.carburettor.main.main_jet;
    same.carburettor.main.needle.groove = lean.carburettor.main.needle.groove;
    same.carburettor.pilot.jet = lean.carburettor.pilot.jet;
    assert_eq!(same, lean);
}

#[test]
fn a_clip_that_has_no_further_groove_is_said() {
    let good = machine(FILES[2]);
    let top = Part::Clip.moved(&good, 1 - i32::try_from(good.carburettor.main.needle.groove).unwrap()).unwrap();
    let settings = Settings { cell_size: 20e-3, ..Settings::default() };
    let with = (NonZeroUsize::new(2).unwrap(), &AtomicBool::new(false));
    // far leaner than it is at half throttle, as it is elsewhere
    let mut targets = USUAL.to_vec();
    for band in targets.iter_mut().filter(|b| b.throttle_from < 0.5 && b.throttle_to >= 0.5) {
        (band.lambda_rich, band.lambda_lean) = (1.1, 1.2);
    }
    let found = brought(&top, &targets, &[5800.0], &settings, with, &|_| ()).unwrap();
    let clip = found.ended.iter().find(|e| e.part == Part::Clip).expect("no word of the clip");
    assert!(clip.taken == 0 && clip.asked < 0, "{clip:?}");
    assert_eq!(found.machine.carburettor.main.needle.groove, 1);
}
