//! What one step of each part is worth by the laws alone: areas, two restrictions in series, heads. On the engine
//! itself: `tests/trade/steps.rs`.
//!
//! Geometry of the table: needle 2.45 mm in a needle jet of 2.70 mm, main jet 1.50 mm, slide of 40 mm. Equal
//! coefficients.

use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::mixture_screw::ScrewKind;
use bellmouth::hardware::part::{Part, TAPER_STEP};
use bellmouth::laws::{nozzle, orifice};
use bellmouth::metering::column::Column;
use bellmouth::setup::{load_text, template};

use super::{circle, close, near, source};

/// Where the table's needle begins to taper [m below the top groove].
const TAPER: f64 = 20e-3;

/// The template's machine with the table's parts: a needle of `straight` [m] and `taper` [degrees included] whose taper
/// starts in the needle jet's edge with the slide shut.
fn machine(straight: f64, taper: f64) -> Machine {
    let mut machine = load_text("template", template()).unwrap().value.machine;
    let c = &mut machine.carburettor;
    c.slide.bore = 40e-3;
    c.slide.cutaway = 3e-3;
    c.main.main_jet.bore = 1.5e-3;
    c.main.needle_jet.bore = 2.7e-3;
    let tip = straight - 2.0 * 30e-3 * libm::tan(0.5 * taper.to_radians());
    c.main.needle.stations = vec![(0.0, straight), (TAPER, straight), (TAPER + 30e-3, tip)];
    c.main.needle.groove_pitch = 0.9e-3;
    (c.main.needle.groove, c.main.needle.grooves, c.main.needle.washers) = (3, 5, 0.0);
    c.main.needle.clip_to_jet = TAPER - 2.0 * 0.9e-3;
    machine
}

fn ring(m: &Machine, lift: f64) -> f64 {
    let main = &m.carburettor.main;
    main.needle_jet.annulus(&main.needle, lift).area()
}

/// Effective area of ring and main jet in series [m2].
fn both(m: &Machine, lift: f64) -> f64 {
    orifice::series(m.carburettor.main.main_jet.area(), ring(m, lift))
}

fn percent(after: f64, before: f64) -> f64 {
    100.0 * (after / before - 1.0)
}

#[test]
fn the_main_jets_say_falls_with_the_open_ring() {
    source("(1/Am^2)/(1/Am^2 + 1/An^2), 1.50 mm: 0.91, 0.56 and 0.24 with 5.5, 2 and 1 mm2: computed");
    let jet = circle(1.5e-3);
    for (ring, share) in [(5.5e-6, 0.91), (2e-6, 0.56), (1e-6, 0.24)] {
        near(orifice::series_share(jet, ring), share, 6e-3);
        close(orifice::series_share(jet, ring) + orifice::series_share(ring, jet), 1.0, 1e-14);
        // it is the slope of the flow against the area, both relative
        let slope =
            (orifice::series(jet * 1.001, ring) / orifice::series(jet * 0.999, ring)).ln() / (1.001_f64 / 0.999).ln();
        close(slope, orifice::series_share(jet, ring), 1e-5);
    }
}

#[test]
fn a_main_jet_step_is_worth_its_area_times_its_say() {
    source("150 to 152.5: +3.4 % alone, +3.0, 1.8, 0.8 % with 5.5, 2, 1 mm2; 150 to 155 +6.8 % alone: computed");
    let before = machine(2.45e-3, 1.5);
    let [one, two] = [1, 2].map(|n| Part::MainJet.moved(&before, n).unwrap().carburettor.main.main_jet.area());
    let jet = before.carburettor.main.main_jet.area();
    near(percent(one, jet), 3.4, 0.06);
    near(percent(two, jet), 6.8, 0.06);
    for (ring, worth) in [(5.5e-6, 3.0), (2e-6, 1.8), (1e-6, 0.8)] {
        near(percent(orifice::series(one, ring), orifice::series(jet, ring)), worth, 0.06);
    }
}

#[test]
fn a_groove_is_worth_what_its_taper_opens() {
    source("0.9 mm: +4.4, 6.5, 8.6 % at 1.0, 1.5, 2.0 degrees, +3.8 % at 2.0 with a needle of 2.30: computed");
    for (straight, taper, worth) in [(2.45, 1.0, 4.4), (2.45, 1.5, 6.5), (2.45, 2.0, 8.6), (2.30, 2.0, 3.8)] {
        let before = machine(1e-3 * straight, taper);
        let lower = Part::Clip.moved(&before, 1).unwrap();
        near(percent(both(&lower, 0.0), both(&before, 0.0)), worth, 0.06);
        // on the straight part: nothing, one groove higher
        let higher = Part::Clip.moved(&before, -1).unwrap();
        near(percent(both(&higher, 0.0), both(&before, 0.0)), 0.0, 1e-9);
        // a washer of half a millimetre is worth 5/9 of that groove, but for the curvature
        let washer = Part::Washer.moved(&before, 1).unwrap();
        near(percent(both(&washer, 0.0), both(&before, 0.0)), 5.0 / 9.0 * worth, 0.1);
    }
}

#[test]
fn a_hundredth_on_needle_or_needle_jet_is_worth_about_three_percent_at_small_lift() {
    source(
        "needle -0.01: ring +0.039 mm2, +3.8 %, fuel about +3 %; needle jet +0.01: ring +4.2 %, fuel about +3 %: computed",
    );
    let before = machine(2.45e-3, 1.5);
    for (part, worth) in [(Part::NeedleDiameter, 3.8), (Part::NeedleJet, 4.2)] {
        let after = part.moved(&before, 1).unwrap();
        near(percent(ring(&after, 0.0), ring(&before, 0.0)), worth, 0.06);
        near(percent(both(&after, 0.0), both(&before, 0.0)), 3.0, 0.25);
    }
    let thinner = Part::NeedleDiameter.moved(&before, 1).unwrap();
    near(1e6 * (ring(&thinner, 0.0) - ring(&before, 0.0)), 0.039, 6e-4);
}

#[test]
fn a_quarter_of_a_degree_opens_the_ring_below_the_start_of_the_taper_only() {
    source("geometry: cone of 1.5 and 1.75 degrees included, computed");
    let before = machine(2.45e-3, 1.5);
    let after = Part::NeedleTaper.moved(&before, 1).unwrap();
    close(ring(&after, 0.0), ring(&before, 0.0), 1e-15);
    for lift in [5e-3, 20e-3] {
        let d = |angle: f64| 2.45e-3 - 2.0 * lift * libm::tan(0.5 * angle);
        close(ring(&before, lift), circle(2.7e-3) - circle(d(1.5_f64.to_radians())), 1e-12);
        close(ring(&after, lift), circle(2.7e-3) - circle(d(1.5_f64.to_radians() + TAPER_STEP)), 1e-12);
    }
}

#[test]
fn a_pilot_jet_step_is_worth_its_area() {
    source("45 to 47.5, jet alone: +11 %: computed");
    let mut before = machine(2.45e-3, 1.5);
    before.carburettor.pilot.jet.bore = 0.45e-3;
    let after = Part::PilotJet.moved(&before, 1).unwrap();
    near(percent(after.carburettor.pilot.jet.area(), before.carburettor.pilot.jet.area()), 11.0, 0.5);
}

#[test]
fn half_a_millimetre_of_cutaway_is_worth_less_the_wider_the_throttle() {
    source(
        "two slots in series, lift and lift plus cutaway, 2.5 to 3.0 mm: -7.5, -4.5, -2.4, -1.2 % at 1/16 to 1/2: computed",
    );
    let leaner = machine(2.45e-3, 1.5);
    let richer = Part::Cutaway.moved(&leaner, 1).unwrap();
    let fuel = |m: &Machine, throttle: f64| {
        let (slide, lift) = (&m.carburettor.slide, throttle * m.carburettor.slide.bore);
        // the nozzle lies between the slots and sees the drop over the first; fuel goes with its root
        orifice::series_share(slide.local_height(lift, 1.0), slide.local_height(lift, 0.0)).sqrt()
    };
    for (throttle, worth) in [(0.0625, -7.5), (0.125, -4.5), (0.25, -2.4), (0.5, -1.2)] {
        near(percent(fuel(&leaner, throttle), fuel(&richer, throttle)), worth, 0.06);
    }
}

#[test]
fn a_millimetre_of_level_is_worth_the_more_the_weaker_the_signal() {
    source(
        "7.3 Pa a millimetre, lift 12 mm: 0.12 to 0.3 % at 3 to 1.5 kPa, 0.7, 1.7, 5 to 6 % at 0.6, 0.3, 0.15 kPa: computed",
    );
    let mut before = machine(2.45e-3, 1.5);
    before.carburettor.bowl.level_below_bore = 12e-3;
    before.fuel.density = 745.0; // the table's petrol
    let after = Part::FloatLevel.moved(&before, 1).unwrap();
    let head = |m: &Machine| Column::full(1e-5, 30e-3, m.carburettor.bowl.level_below_bore, m.fuel.density).head();
    near(head(&before) - head(&after), 7.3, 0.06);
    let fuel = |m: &Machine, signal: f64| orifice::mass_flow(1e-6, m.fuel.density, signal - head(m));
    for (signal, low, high) in
        [(3000.0, 0.12, 0.13), (1500.0, 0.25, 0.3), (600.0, 0.7, 0.75), (300.0, 1.65, 1.75), (150.0, 5.0, 6.0)]
    {
        let worth = percent(fuel(&after, signal), fuel(&before, signal));
        assert!((low..=high).contains(&worth), "{worth} % at {signal} Pa");
    }
}

#[test]
fn a_small_hole_behind_the_slide_lets_in_percents_of_the_idles_air() {
    source(
        "32 kPa of vacuum, Cd 0.8, 2.1 to 2.9 g/s of idle air: 0.5, 1, 2 mm +1.2 to 1.7, 5 to 7, 20 to 27 %: computed",
    );
    for (hole, low, high) in [(0.5e-3, 1.2, 1.7), (1e-3, 5.0, 7.0), (2e-3, 20.0, 27.0)] {
        let leak = 1e3 * nozzle::mass_flow(0.8 * circle(hole), 101_325.0, 288.15, 287.05, 1.4, 101_325.0 - 32_000.0);
        // the table's ends are rounded to their last digit
        for (idle, worth) in [(2.9, low), (2.1, high)] {
            close(100.0 * leak / idle, worth, 0.07);
        }
        if hole > 0.9e-3 && hole < 1.1e-3 {
            for (idle, ratio) in [(2.9, 13.6), (2.1, 13.9)] {
                near(13.0 * (1.0 + leak / idle), ratio, 0.08);
            }
        }
    }
}

#[test]
fn a_quarter_turn_is_worth_much_near_shut_and_little_far_out() {
    source("common practice, no source: large from 1/4 turn out, hardly visible near 2 1/3; a tapered tip in its seat");
    let mut at = machine(2.45e-3, 1.5);
    let mut worth = |turns: f64| {
        at.carburettor.pilot.screw.turns = turns;
        let after = Part::MixtureScrew.moved(&at, 1).unwrap();
        assert_eq!(at.carburettor.pilot.screw.kind, ScrewKind::Fuel, "the template's");
        let outlet = at.carburettor.pilot.outlet.area();
        let area = |m: &Machine| orifice::series(m.carburettor.pilot.screw.area(), outlet);
        percent(area(&after), area(&at))
    };
    let (near_shut, usual, far) = (worth(0.25), worth(1.5), worth(2.5));
    assert!(near_shut > 50.0 && usual < 0.25 * near_shut && far < usual && far >= 0.0, "{near_shut} {usual} {far}");
}
