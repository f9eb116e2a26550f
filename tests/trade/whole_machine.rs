//! Facts about the whole machine that set no default: predictions.

use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::setup::Setup;
use bellmouth::study::cycle;
use bellmouth::study::point::solve;

use super::known::{
    COARSE, FINE, cc_min, early_taper, engine, engine_with, idle_throttle, run, settings, side_by_side,
};
use super::source;

/// Imperial horsepower [kW].
const HORSEPOWER: f64 = 0.7457;

// The fact is the head of the air alone in an empty bore, flow in the intake stroke only, filling 0.80, 0.85 and 0.80. Here the
// head itself is three to four times that: the filling squared (1.3 to 1.6), the area that nozzle and needle block (1.2),
// and air that swings in the tract while the valve is shut, to and fro (mean speed without sign over mean speed: 2.1). On
// top comes the signal of the nozzle's wake, a whole head over the tenth-lower exposed height: 1.9 at most.
#[test]
fn the_nozzle_feels_up_to_1_9_times_the_head_of_the_swinging_air_which_is_some_three_times_that_of_the_mean_flow() {
    source("time mean of rho v^2 / 2, half-sine over the intake stroke, 40 mm: computed, no nozzle amplification");
    let setup = engine();
    let heads = [(3000.0, 0.31), (4500.0, 0.78), (6500.0, 1.44)];
    let cycles = side_by_side(&heads, |(rpm, _)| cycle::run(&setup, *rpm, 1.0, &settings(FINE)).unwrap());
    println!("rpm   the fact kPa  head here kPa  depression at the nozzle kPa  over the fact  over the head  filling");
    for (c, (rpm, fact)) in cycles.iter().zip(heads) {
        let speeds = &c.traces.nozzle_air_speed;
        let square = speeds.iter().map(|u| u * u).sum::<f64>() / speeds.len() as f64;
        let head = 0.5e-3 * setup.machine.air.density() * square;
        let signal = 1e-3 * c.point.nozzle_depression_pa.unwrap();
        let (over_fact, over_head, ve) = (signal / fact, signal / head, c.point.ve.unwrap());
        println!("{rpm:4.0}  {fact:12.2}  {head:13.2}  {signal:28.2}  {over_fact:13.2}  {over_head:13.2}  {ve:7.3}");
        assert!((1.0..=1.9).contains(&over_head), "{over_head}");
        assert!((2.0..=4.5).contains(&(head / fact)), "{}", head / fact); // 1.5 to 1.9, and up to 2.3 times that by the swing
    }
}

#[test]
fn the_idle_takes_air_fuel_and_vacuum_as_the_trade_measures_them() {
    source("air 2.1 to 2.9 g/s and fuel 13 to 18 cc/min at 1300 rpm: common practice, no source");
    source("vacuum about 32 kPa: service manual of a 400-class single, at 1500 rpm; 25 to 40 allowed here");
    let setup = engine();
    let p = run(&setup, idle_throttle(), 1300.0, COARSE);
    let vacuum = 1e-3 * (setup.machine.air.pressure - p.manifold_pa.unwrap());
    let (air, fuel) = (p.air_g_s.unwrap(), cc_min(&setup, p.fuel_g_s.unwrap()));
    println!("idle at 1300 rpm: air {air:.2} g/s, fuel {fuel:.1} cc/min, vacuum {vacuum:.1} kPa");
    assert!((25.0..=40.0).contains(&vacuum), "vacuum {vacuum} kPa");
    assert!((2.1..=2.9).contains(&air), "air {air} g/s");
    assert!((13.0..=18.0).contains(&fuel), "fuel {fuel} cc/min");
}

#[test]
fn the_pilots_part_of_the_fuel_falls_with_the_throttle_and_is_below_a_tenth_from_half_throttle() {
    source("charts of circuits against throttle, service literature: pilot from idle to 1/8 or 1/4, needle from there");
    let setup = engine();
    let throttles = [0.025, 0.036, 0.0625, 0.125, 0.25, 0.5, 0.75, 1.0];
    let points = side_by_side(&throttles, |t| run(&setup, *t, 4000.0, FINE));
    println!("throttle  pilot's part %  AFR metered");
    let shares: Vec<f64> = points.iter().map(|p| p.fuel_pilot_g_s.unwrap() / p.fuel_g_s.unwrap()).collect();
    for (p, share) in points.iter().zip(&shares) {
        println!("{:8.4}  {:14.1}  {:11.2}", p.throttle, 100.0 * share, p.afr_metered.unwrap());
    }
    assert!(shares.windows(2).all(|pair| pair[1] < pair[0]), "{shares:?}");
    assert!(shares[5..].iter().all(|share| *share < 0.1), "{shares:?}");
}

// The charts give the pilot nearly all fuel at idle (95 %). Here the needle jet under the cutaway brings half, since the air at the
// nozzle is fast enough to lift fuel over 12 mm. Asserted: the pilot brings four tenths or more at idle, more than at any wider lift.
#[test]
fn the_pilot_brings_some_half_of_the_idles_fuel_not_nearly_all_as_the_charts_say() {
    source("charts of circuits against throttle, service literature: the pilot alone at idle");
    let setup = engine();
    let lifts = [idle_throttle(), 1.5 * idle_throttle(), 2.0 * idle_throttle()];
    let points = side_by_side(&lifts, |t| run(&setup, *t, 1300.0, COARSE));
    let shares: Vec<f64> = points.iter().map(|p| p.fuel_pilot_g_s.unwrap() / p.fuel_g_s.unwrap()).collect();
    println!("pilot's part of the fuel at 1300 rpm at idle lift, x 1.5, x 2: {shares:.2?}");
    assert!(shares[0] > 0.4, "{shares:?}");
    assert!(shares.windows(2).all(|pair| pair[1] < pair[0]), "{shares:?}");
}

/// The known engine with a taper that starts at an eighth of lift.
fn with_early_taper() -> Setup {
    let lines = early_taper();
    let changes: Vec<(&str, &str)> = lines.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    engine_with(&changes)
}

// Not met by the known engine: a road machine runs at about 12 to 15.5 of AFR at a quarter. On a straight needle the fuel
// follows the speed of the air at the nozzle, so AFR follows the area there, which grows by two thirds from 1/8 to 1/4:
// the taper has to have started by then. In the known engine it starts at a quarter. Asserted: the lean place stands
// there, and a taper from an eighth cures it.
#[test]
fn the_known_needle_runs_lean_at_a_quarter_where_its_taper_starts_and_one_tapered_from_an_eighth_does_not() {
    source("common practice, no source: cruise at 1/8 to 1/4 lift; mixture targets of a road machine");
    let setups = [engine(), with_early_taper()];
    let lifts = [0.0625, 0.125, 0.1875, 0.25, 0.375, 0.5, 0.75];
    let jobs: Vec<_> = setups.iter().flat_map(|s| lifts.map(|t| (s, t))).collect();
    let settings = settings(FINE);
    let afr = side_by_side(&jobs, |(setup, t)| {
        // a charge too lean to fire need not be periodic, but its mixture counts
        solve(&setup.machine, *t, 4000.0, None, &settings).0.afr_metered.unwrap()
    });
    let (known, early) = afr.split_at(lifts.len());
    println!("lift                        {lifts:6.3?}");
    println!("AFR at 4000 rpm, known      {known:6.1?}");
    println!("taper from an eighth        {early:6.1?}");
    assert!(known[3] > 1.3 * known[1] && known[3] > 1.3 * known[5], "{known:?}");
    assert!(early[2..].iter().all(|afr| (11.0..=15.5).contains(afr)), "{early:?}");
}

#[test]
fn filling_and_fuel_at_full_throttle_come_out_high_without_filter_and_box() {
    source("33 to 42 hp at 6000 to 6800 rpm, filling 0.80 to 0.90, fuel 205 to 225 cc/min: common practice, no source");
    let setup = engine();
    let speeds = [3000.0, 4500.0, 5500.0, 6000.0, 6500.0, 6800.0];
    let points = side_by_side(&speeds, |rpm| run(&setup, 1.0, *rpm, FINE));
    println!("rpm   power hp  filling  fuel cc/min  fuel g/kWh");
    for p in &points {
        let (power, fuel) = (p.power_kw.unwrap(), p.fuel_g_s.unwrap());
        let (hp, cc) = (power / HORSEPOWER, cc_min(&setup, fuel));
        println!("{:4.0}  {hp:8.1}  {:7.3}  {cc:11.0}  {:10.0}", p.rpm, p.ve.unwrap(), 3600.0 * fuel / power);
    }
    // Known to be high: an open mouth without filter or box.
    for p in &points[3..] {
        let hp = p.power_kw.unwrap() / HORSEPOWER;
        assert!((30.0..=45.0).contains(&hp), "{hp} hp at {} rpm", p.rpm);
        let (ve, cc) = (p.ve.unwrap(), cc_min(&setup, p.fuel_g_s.unwrap()));
        assert!(ve > 0.80 && ve < 1.05, "filling {ve} at {} rpm", p.rpm);
        // the fact in proportion to the filling: 205 to 225 at 0.80 is 256 to 281 a filling of one, and 10 % either way
        assert!((230.0..=310.0).contains(&(cc / ve * 6500.0 / p.rpm)), "{cc} cc/min at {} rpm", p.rpm);
    }
}

// A prototype of this class of engine without losses at the mouth passed 2.6 to 4 times a signed quasi-steady law and 0.6 to 0.7 of one
// that ignores back pressure (common practice, no source). Here the mouth and the exhaust damp the waves, so that the signal turns
// for a shorter part of the cycle, and the signed law loses less.
#[test]
fn a_column_of_fuel_passes_more_than_a_signed_quasi_steady_law_and_less_than_one_without_back_pressure() {
    source(
        "root-mean-square over mean of a pulse, 1.5 to 2: exact for a pulse that never reverses, physics of the column",
    );
    let m = engine().machine;
    println!("rpm   fuel g/s with inertia  signed, without  no back pressure  over the signed  over the other  back %");
    for rpm in [3000.0, 3500.0, 4500.0, 5500.0, 6500.0] {
        let point = OperatingPoint { rpm, lift: m.carburettor.slide.bore };
        let mut rig = Rig::cold(&m, point, &settings(FINE)).unwrap();
        rig.converge().unwrap();
        let (mut time, mut signed, mut forward, mut back) = (0.0, 0.0, 0.0, 0.0);
        let mut last = rig.phase();
        let record = rig
            .run_cycle_with(false, |rig| {
                let dt = (rig.phase() - last).max(0.0) / (rpm * std::f64::consts::PI / 30.0);
                last = rig.phase();
                let at_once = rig.main.without_inertia(rig.machine().air.pressure - rig.main.chamber.pressure);
                time += dt;
                signed += dt * at_once;
                forward += dt * at_once.max(0.0);
                back += if at_once < 0.0 { dt } else { 0.0 };
            })
            .unwrap();
        let [with, signed, forward] = [record.main_out, signed, forward].map(|kg| 1e3 * kg / time);
        println!(
            "{rpm:4.0}  {with:21.3}  {signed:15.3}  {forward:16.3}  {:15.2}  {:14.2}  {:6.0}",
            with / signed,
            with / forward,
            100.0 * back / time
        );
        assert!(with > signed && with < 1.02 * forward, "{with} {signed} {forward} g/s");
    }
}

// The root holds for a steady signal and the same filling. Here the signal pulses, a column of fuel evens it out, and the waves in
// the exhaust change a little with the air; short and long fuel passages are tried to see how far that goes.
#[test]
fn altitude_makes_the_mixture_richer_as_the_root_of_the_density_within_three_percent() {
    source("a plain jet in steady flow follows the root of the density; an air bleed lowers the exponent: computed");
    let at = |altitude: &str, length: &str| {
        let passage = format!("length = \"{length} mm\"\nbore = \"3.5 mm\"");
        engine_with(&[
            ("altitude = \"0 m\"", &format!("altitude = \"{altitude} m\"")),
            ("length = \"35 mm\"\nbore = \"3.5 mm\"", &passage),
        ])
    };
    println!("rpm   passage mm  AFR at 0 m  AFR at 2000 m  ratio   root of the density ratio");
    for rpm in [3000.0, 4500.0, 6500.0] {
        for length in ["35", "150"] {
            let setups = [at("0", length), at("2000", length)];
            let points = side_by_side(&setups, |setup| run(setup, 1.0, rpm, FINE));
            let afr: Vec<f64> = points.iter().map(|p| p.afr_metered.unwrap()).collect();
            let density = setups.each_ref().map(|setup| setup.machine.air.dry_density());
            let (ratio, root) = (afr[1] / afr[0], (density[1] / density[0]).sqrt());
            println!("{rpm:4.0}  {length:10}  {:10.2}  {:13.2}  {ratio:.4}  {root:.4}", afr[0], afr[1]);
            assert!((ratio / root - 1.0).abs() < 0.03, "{ratio} against {root}");
        }
    }
}
