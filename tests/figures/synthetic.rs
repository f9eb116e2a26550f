//! SYNTHETIC results: smooth made-up numbers in plausible ranges, no computation behind them and no physics in them.

use bellmouth::hardware::part::Part;
use bellmouth::setup::targets::TargetBand;
use bellmouth::setup::{load_text, template};
use bellmouth::study::cycle::{CycleResult, Traces};
use bellmouth::study::hand_over::hand_over;
use bellmouth::study::map::{Grid, MapResult};
use bellmouth::study::point::PilotOpening;
use bellmouth::study::point::{PointResult, Status};
use bellmouth::study::steps_result::{Change, Fuelling, PartEffect, PartRow, StepsPoint, StepsResult};

pub const STOICHIOMETRIC: f64 = 14.6;

/// One made-up point.
pub fn point(throttle: f64, rpm: f64) -> PointResult {
    let n = rpm / 6500.0;
    let bump = |x: f64, at: f64, width: f64| libm::exp(-(x - at) * (x - at) / (width * width));
    let ve = (0.93 - 0.25 * (n - 0.62) * (n - 0.62)) * (1.0 - libm::exp(-throttle / (0.06 + 0.45 * n)));
    let air = ve * 0.644 * 1.19 * rpm / 120.0;
    let hole = 2.3 * bump(throttle, 0.25, 0.07) * bump(rpm, 3000.0, 900.0);
    let afr = 12.9 + 0.9 * bump(throttle, 0.45, 0.25) - 1.2 * bump(throttle, 0.06, 0.05) + hole - 0.8 * (n - 0.5);
    let fuel = air / afr;
    let pilot = fuel * (0.04 + 0.9 * libm::exp(-throttle / 0.16));
    let torque = 62.0 * ve * (1.0 - 2.0 * (afr / STOICHIOMETRIC - 0.9) * (afr / STOICHIOMETRIC - 0.9)) - 7.0 - 3.0 * n;
    let mut point = PointResult::failed(throttle, rpm, 24, String::new());
    point.afr = Some(afr);
    point.lambda = Some(afr / STOICHIOMETRIC);
    point.afr_metered = Some(afr * 0.99);
    point.ve = Some(ve);
    point.torque_nm = Some(torque);
    point.power_kw = Some(torque * rpm * std::f64::consts::PI / 30_000.0);
    point.air_g_s = Some(air);
    point.fuel_g_s = Some(fuel);
    point.fuel_pilot_g_s = Some(pilot);
    point.fuel_main_g_s = Some(fuel - pilot);
    point.fuel_starter_g_s = Some(0.0);
    point.standoff_g_s = Some(0.01 * n);
    point.nozzle_depression_pa = Some(900.0 * ve * ve * n);
    point.manifold_pa = Some(101_325.0 - 40_000.0 * (1.0 - ve));
    point.residual = Some(8e-5);
    point.converged = true;
    point.standoff_lost_g_s = Some(0.0);
    point.residual_gas = Some(0.06);
    point.imep_pa = Some(900_000.0 * ve);
    point.fmep_pa = Some(110_000.0);
    point.fired = true;
    point.peak_air_speed = Some(120.0 * n);
    point.status = Status::Converged;
    point.note = None;
    point.imep_gross_pa = Some(940_000.0 * ve);
    point.pmep_pa = Some(-40_000.0 * ve);
    point.bmep_pa = Some(900_000.0 * ve - 110_000.0);
    point.trapped_lambda = Some(afr / STOICHIOMETRIC + 0.01);
    point.exhaust_temperature_k = Some(900.0 + 250.0 * n);
    point.fuel_g_kwh = Some(320.0 + 40.0 * n);
    point.fuel_l_h = Some(3.6 * fuel / 0.745);
    point.torque_lost = Some(2.0 * (afr / STOICHIOMETRIC - 0.9) * (afr / STOICHIOMETRIC - 0.9));
    point.lambda_of_best = Some(0.9);
    point
}

/// The wanted mixture of these tests.
pub fn targets() -> Vec<TargetBand> {
    let band = |from: f64, to: f64, rich: f64, lean: f64| TargetBand {
        throttle_from: from,
        throttle_to: to,
        lambda_rich: rich,
        lambda_lean: lean,
    };
    vec![band(0.0, 0.13, 0.82, 0.90), band(0.13, 0.76, 0.87, 0.95), band(0.76, 1.0, 0.84, 0.89)]
}

/// A map over any grid, all points there and converged.
pub fn whole(throttles: &[f64], speeds: &[f64]) -> MapResult {
    let points = throttles.iter().flat_map(|t| speeds.iter().map(|s| point(*t, *s))).collect();
    MapResult {
        schema: 1,
        version: "0.1.0".to_owned(),
        name: "synthetic single, 40 mm slide".to_owned(),
        stoichiometric: STOICHIOMETRIC,
        friction_form: "synthetic".to_owned(),
        correction: None,
        grid: Grid { throttles: throttles.to_vec(), speeds: speeds.to_vec() },
        targets: targets(),
        points,
        interrupted: false,
        steps: None,
        spots: Vec::new(),
        road: None,
        setup: serde_json::json!({"name": "synthetic"}),
    }
}

/// The full grid with its faults: not converged, no fuel, not computed.
pub fn map() -> MapResult {
    let throttles: Vec<f64> = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 12.0, 14.0, 15.2, 16.0]
        .map(|sixteenths| sixteenths / 16.0)
        .to_vec();
    let speeds: Vec<f64> = (2..=13).map(|i| f64::from(i) * 500.0).collect();
    let mut map = whole(&throttles, &speeds);
    for p in &mut map.points {
        let full = p.throttle > 0.99;
        if (full && p.rpm > 6200.0) || (p.throttle > 0.8 && p.rpm < 1200.0) {
            p.converged = false;
            p.status = Status::Alternating;
            p.residual = Some(0.03);
        }
        if p.throttle < 0.07 && p.rpm > 5800.0 {
            p.fired = false;
            p.torque_lost = None;
            p.lambda_of_best = None;
            p.afr = None;
            p.lambda = None;
            p.afr_metered = None;
            p.fuel_g_s = Some(0.0);
            p.fuel_pilot_g_s = Some(0.0);
            p.fuel_main_g_s = Some(0.0);
        }
    }
    let last = map.points.iter().position(|p| (p.throttle - 0.4375).abs() < 1e-9 && p.rpm > 5900.0);
    if let Some(last) = last {
        map.points[last] =
            PointResult::failed(0.4375, map.points[last].rpm, 3, "pressure below 0 at 0.11 m".to_owned());
    }
    map.points.retain(|p| !(p.throttle > 0.92 && p.throttle < 0.97 && p.rpm > 4700.0));
    map.interrupted = true;
    map
}

/// One made-up cycle.
pub fn cycle() -> CycleResult {
    let mut traces = Traces::default();
    let lift = |a: f64, open: f64, shut: f64| {
        if a > open && a < shut { 0.009 * libm::sin(std::f64::consts::PI * (a - open) / (shut - open)) } else { 0.0 }
    };
    for i in 0..=720 {
        let a = f64::from(i);
        let radian = a.to_radians();
        let suck = if a > 360.0 && a < 600.0 { libm::sin((a - 360.0) / 240.0 * std::f64::consts::PI) } else { 0.0 };
        let wave = libm::exp(-libm::fmod(a + 120.0, 720.0) / 500.0) * libm::sin(6.0 * radian);
        traces.crank_deg.push(a);
        traces.nozzle_pa.push(101_325.0 - 9000.0 * suck * suck + 2500.0 * wave);
        traces.manifold_pa.push(101_325.0 - 6500.0 * suck * suck + 3200.0 * wave);
        let volume = 1.0 / 9.0 + 0.5 * (1.0 - libm::cos(radian));
        let burn = if a < 140.0 { 3.8 } else { 1.0 };
        let closed = if a > 580.0 { 1.05 } else { burn };
        let gas = 101_325.0 * closed * libm::pow(1.11 / volume, 1.3);
        traces.cylinder_pa.push(if (140.0..580.0).contains(&a) {
            101_325.0 - 9000.0 * suck + 20_000.0 * lift(a, 120.0, 250.0) / 0.009
        } else {
            gas
        });
        traces.slide_air_g_s.push(48.0 * suck - 8.0 * wave);
        traces.nozzle_air_speed.push(80.0 * suck - 10.0 * wave);
        traces.fuel_main_g_s.push((3.4 * libm::pow(suck, 1.4) - 0.2 * wave).max(-0.1));
        traces.fuel_pilot_g_s.push(0.25 + 0.2 * suck);
        traces.inlet_lift_m.push(lift(a, 325.0, 600.0));
        traces.exhaust_lift_m.push(lift(a, 125.0, 395.0));
    }
    CycleResult {
        schema: 1,
        version: "0.1.0".to_owned(),
        name: "synthetic single, 40 mm slide".to_owned(),
        free_air_pa: 101_325.0,
        friction_form: "synthetic".to_owned(),
        slide_lift_m: 0.04,
        point: point(1.0, 5500.0),
        traces,
        setup: serde_json::json!({"name": "synthetic"}),
    }
}

/// What one step does, made up: every part at a few throttles, one side missing, one part without number, one point not
/// converged.
pub fn steps() -> StepsResult {
    let throttles = [0.0625, 0.125, 0.25, 0.5, 0.75, 1.0];
    let parts: Vec<Part> = Part::in_charge().collect();
    let opening = |t: f64, k: f64| PilotOpening {
        gas_given_g_s: 0.04 * (t - 0.01 * k).max(0.0),
        gas_taken_g_s: 0.01 * (0.02 * k - t).max(0.0) + 0.002 * t,
        fuel_g_s: 0.03 * (1.0 - t),
    };
    let base = |t: f64| {
        let mut p = point(t, 4000.0);
        p.pilot_openings = [0.0, 1.0, 2.0].map(|k| opening(t, k)).to_vec();
        p
    };
    let change = |size: f64| Change { up: Some(1.1 * size), down: Some(-0.9 * size), per_step: Some(size) };
    let effects = |t: f64| -> Vec<PartEffect> {
        let size = |i: usize| 12.0 * libm::exp(-20.0 * (t - 0.1 * i as f64) * (t - 0.1 * i as f64)) + 0.1;
        let all: f64 = (0..parts.len()).map(size).sum();
        let effect = |(i, part): (usize, &Part)| {
            let fuelling = Fuelling::of(&base(t));
            let mixture = change(size(i));
            PartEffect {
                part: *part,
                up: fuelling.clone(),
                down: fuelling,
                mixture,
                fuel: mixture,
                share: Some(size(i) / all),
            }
        };
        parts.iter().enumerate().map(effect).collect()
    };
    let mut points: Vec<StepsPoint> =
        throttles.iter().map(|&t| StepsPoint { base: base(t), parts: effects(t) }).collect();
    points[1].parts[3].mixture = Change { up: None, down: Some(-2.0), per_step: Some(2.0) };
    points[1].parts[3].up = Fuelling::none("no further groove: the clip is in 5 of 5".to_owned());
    points[2].parts[4].mixture = Change::default();
    points[2].parts[4].share = None;
    let machine = load_text("template", template()).unwrap().value.machine;
    let row = |part: &Part| PartRow {
        part: *part,
        name: part.name().to_owned(),
        setting: part.setting(&machine),
        step: part.step_label(&machine),
    };
    let mut small: Vec<PointResult> = [0.0078125, 0.03125].map(base).to_vec();
    small[0].converged = false;
    StepsResult {
        grid: Grid { throttles: throttles.to_vec(), speeds: vec![4000.0] },
        parts: parts.iter().map(row).collect(),
        points,
        small,
        openings: [
            "pilot outlet, 0.95 mm",
            "by-pass hole, 0.80 mm, 1.5 mm ahead",
            "by-pass hole, 0.80 mm, 3.5 mm ahead",
        ]
        .map(str::to_owned)
        .to_vec(),
        hand_over: hand_over(&machine),
    }
}
