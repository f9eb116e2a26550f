//! Facts about the whole machine that set no default: predictions.

use crate::known::{COARSE, FINE, cc_min, engine, engine_with, idle_throttle, run, side_by_side};
use crate::source;

/// Imperial horsepower [kW].
const HORSEPOWER: f64 = 0.7457;

#[test]
fn the_nozzle_feels_more_than_the_head_of_the_air_in_the_open_bore_and_the_more_the_faster() {
    source("common practice, no source: time mean of rho v^2 / 2 for a half-sine over the intake stroke, 40 mm bore");
    let setup = engine();
    let heads = [(3000.0, 0.31), (4500.0, 0.78), (6500.0, 1.44)];
    let points = side_by_side(&heads, |(rpm, _)| run(&setup, 1.0, *rpm, FINE));
    println!("rpm   head kPa  depression at the nozzle kPa  ratio  filling");
    let mut last = 0.0;
    for (p, (rpm, head)) in points.iter().zip(heads) {
        let signal = 1e-3 * p.nozzle_depression_pa.unwrap();
        println!("{rpm:4.0}  {head:8.2}  {signal:28.2}  {:5.2}  {:7.3}", signal / head, p.ve.unwrap());
        assert!(signal > last);
        last = signal;
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

#[test]
fn power_filling_and_fuel_at_full_throttle_come_out_high_without_filter_box_exhaust_and_dissociation() {
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
    for p in &points[3..] {
        let hp = p.power_kw.unwrap() / HORSEPOWER;
        assert!((30.0..=55.0).contains(&hp), "{hp} hp at {} rpm", p.rpm);
    }
}

#[test]
fn altitude_makes_the_mixture_richer_by_no_more_than_the_root_of_the_density() {
    source("a plain jet follows the root of the density; a bleed lowers the exponent to 0.28 to 0.45: computed");
    let low = engine();
    let high = engine_with("altitude = \"0 m\"", "altitude = \"2000 m\"");
    let high = &high;
    println!("rpm   AFR at 0 m  AFR at 2000 m  ratio  root of the density ratio");
    for rpm in [3000.0, 4500.0, 6500.0] {
        let points = side_by_side(&[&low, high], |setup| run(setup, 1.0, rpm, FINE));
        let afr: Vec<f64> = points.iter().map(|p| p.afr_metered.unwrap()).collect();
        let density = |i: usize| [&low, high][i].machine.air.dry_density();
        let (ratio, root) = (afr[1] / afr[0], (density(1) / density(0)).sqrt());
        println!("{rpm:4.0}  {:10.2}  {:13.2}  {ratio:.4}  {root:.4}", afr[0], afr[1]);
        assert!(ratio < 1.0, "{ratio}");
        assert!(ratio >= root, "{ratio} against {root}");
    }
}
