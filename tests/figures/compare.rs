//! Two carburettors against each other: what the verdict says of made-up results, in figures and words.

use bellmouth::plot::{carburettors, ink};
use bellmouth::report::{compare_json, compare_text};
use bellmouth::study::compare::{ComparePoint, CompareResult, Fitted, stroke_mean_air_speed};
use bellmouth::study::compare_verdict::{Limit, against, breathing};

use super::pictures::keep;
use super::synthetic;

const SPEEDS: [f64; 6] = [2000.0, 3000.0, 4000.0, 5000.0, 6000.0, 7000.0];

/// A carburettor whose torque is `times` that of the made-up engine.
fn fitted(name: &str, bore_m: f64, times: impl Fn(f64) -> f64) -> Fitted {
    let at = |throttle: f64| -> Vec<ComparePoint> {
        let point = |rpm: &f64| {
            let mut point = synthetic::point(throttle, *rpm);
            point.torque_nm = Some(40.0 * times(*rpm));
            point.power_kw = point.torque_nm.map(|t| t * rpm * std::f64::consts::PI / 3e4);
            let speed = rpm / 70.0 * (38e-3 / bore_m) * (38e-3 / bore_m);
            ComparePoint { point, stroke_mean_air_speed: Some(speed), peak_mach: Some(0.005 * speed) }
        };
        SPEEDS.iter().map(point).collect()
    };
    Fitted {
        name: name.to_owned(),
        bore_m,
        jets: ["140".to_owned(), "3 of 5".to_owned(), "27.5".to_owned()],
        first_quarter_area_per_lift_m: Some(0.6 * bore_m),
        full: at(1.0),
        quarter: at(0.25),
        afr_spread: Some(1.4),
        standoff_g_s: Some(0.01),
        ended: Vec::new(),
    }
}

fn result() -> CompareResult {
    let small = fitted("single, 34 mm", 34e-3, |_| 1.0);
    let mut large = fitted("single, 38 mm", 38e-3, |rpm| 1.0 + (rpm - 4000.0) / 50_000.0);
    large.full[0].point.fired = false;
    let indices = SPEEDS.map(|rpm| rpm / 10_000.0).to_vec();
    let both = vec![small, large];
    CompareResult {
        schema: 1,
        version: "0.1.0".to_owned(),
        speeds: SPEEDS.to_vec(),
        verdicts: vec![against(&both[0], &both[1])],
        breathing: both.iter().map(|f| breathing(f, &indices)).collect(),
        inlet_mach_index: indices,
        as_given: both,
        same_mixture: None,
        interrupted: false,
        how_sure: None,
    }
}

#[test]
fn gains_and_losses_are_stretches_of_speed_with_their_largest_difference() {
    let result = result();
    let v = &result.verdicts[0];
    let [gain] = v.gains[..] else { panic!("{:?}", v.gains) };
    assert!((gain.rpm_from - 5000.0).abs() < 1.0 && (gain.rpm_to - 7000.0).abs() < 1.0);
    assert!((gain.percent - 6.0).abs() < 1e-9 && (gain.at_rpm - 7000.0).abs() < 1.0, "3000 of 50000 are 6 %");
    let [loss] = v.losses[..] else { panic!("{:?}", v.losses) };
    assert!((loss.percent + 2.0).abs() < 1e-9 && (loss.rpm_from - 3000.0).abs() < 1.0, "it does not fire at 2000");
    assert_eq!((v.silent_alone_rpm.len(), v.fires_alone_rpm.len()), (1, 0));
    assert!((v.first_quarter_ratio.unwrap() - 38.0 / 34.0).abs() < 1e-9);
    let same = against(&result.as_given[0], &result.as_given[0]);
    assert!(same.gains.is_empty() && same.losses.is_empty());
}

// A published rule of the trade: 90 m/s in the choke at rated speed, mean of the intake stroke; for 644 cc at 6500
// rpm and a filling of
// 0.80, 33.0 g/s at 25 degC, it gives 40 mm. Filling falls past an inlet Mach index of 0.5 (JSME dictionary).
#[test]
fn the_first_limit_and_the_rules_bore_follow_from_air_speed_and_valve() {
    let area = 0.25 * std::f64::consts::PI * 40e-3 * 40e-3;
    let speed = stroke_mean_air_speed(33.0, 1.184, area);
    assert!((speed - 89.0).abs() < 1.0, "{speed}");
    let result = result();
    let [small, large] = &result.breathing[..] else { panic!() };
    // 34 mm passes 90 m/s at 6000 rpm, 38 mm at 7000; the valve is past 0.5 from 5000
    assert_eq!((small.limit, large.limit), (Limit::InletValve, Limit::InletValve));
    assert!(
        (small.rule_limit_rpm.unwrap() - 6000.0).abs() < 1.0 && (large.rule_limit_rpm.unwrap() - 7000.0).abs() < 1.0
    );
    assert!((large.valve_limit_rpm.unwrap() - 5000.0).abs() < 1.0);
    assert_eq!(breathing(&result.as_given[0], &[0.1; 6]).limit, Limit::Carburettor);
    assert_eq!(breathing(&fitted("large", 60e-3, |_| 1.0), &[0.1; 6]).limit, Limit::Neither);
    // the same flow gives the same bore by the rule, whatever is fitted
    assert!((small.rule_bore_m.unwrap() - large.rule_bore_m.unwrap()).abs() < 1e-6);
    // 30 hp at 32 to 38 mm scales on the root of power
    let chart = large.chart_bores_m.unwrap();
    assert!((chart.0 / 32e-3 - chart.1 / 38e-3).abs() < 1e-12);
}

#[test]
fn tables_and_verdict_keep_80_columns_and_the_json_has_the_verdict_as_fields() {
    let text = compare_text(&result());
    assert!(text.is_ascii() && text.lines().all(|l| l.chars().count() <= 80), "{text}");
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("gains torque from 5000 to 7000 rpm (up to 6.0 % at 7000)"), "{flat}");
    assert!(flat.contains("loses torque at 3000 rpm (2.0 %)"), "{flat}");
    assert!(flat.contains("does not fire at full throttle at 2000 rpm"), "{flat}");
    // the published rule of 90 m/s and the chart of common practice (30 hp a cylinder: 32 to 38 mm) stand beside it
    assert!(
        flat.contains("By that rule the bore would be") && flat.contains("(30 hp a cylinder: 32 mm to 38 mm"),
        "{flat}"
    );
    assert!(flat.contains("agrees") || flat.contains("disagrees, "), "{flat}");
    let json: serde_json::Value = serde_json::from_str(&compare_json(&result()).unwrap()).unwrap();
    assert_eq!(json["verdicts"][0]["gains"][0]["rpm_from"], 5000.0);
    assert_eq!(json["breathing"][1]["limit"], "inlet_valve");
}

#[test]
fn the_picture_is_drawn_and_a_set_without_a_number_is_refused() {
    let result = result();
    let bytes = carburettors(&result.as_given, "Each with its own jets").unwrap();
    keep("carburettors", &bytes);
    let seen = ink(&bytes).unwrap();
    assert!(seen.width == 1600 && seen.colours > 100 && seen.clear_edges, "{seen:?}");
    assert!(carburettors(&[], "nothing").is_err());
}
