//! Two or more carburettors on one engine, their curves overlaid.

use super::PlotError;
use super::comparison::{Chart, Comparison, Kind, Scale, Series, comparison};
use crate::study::compare::{ComparePoint, Fitted};
use crate::study::compare_verdict::RULE_SPEED;
use crate::units::{Quantity, Units};

/// Longest name in a legend [characters].
const NAME: usize = 24;

/// The picture as the bytes of a PNG file; `what` says how they are jetted.
///
/// # Errors
/// Drawing or coding failed, or a chart has no number.
pub fn carburettors(fitted: &[Fitted], what: &str) -> Result<Vec<u8>, PlotError> {
    carburettors_in(fitted, what, &Units::default())
}

/// The same in other units than metric ones.
///
/// # Errors
/// As [`carburettors`].
pub fn carburettors_in(fitted: &[Fitted], what: &str, units: &Units) -> Result<Vec<u8>, PlotError> {
    let full = |f: &Fitted| f.full.clone();
    let quarter = |f: &Fitted| f.quarter.clone();
    type Value = fn(&ComparePoint) -> Option<f64>;
    let chart =
        |heading: &str, axis: (&str, Option<Quantity>), points: &dyn Fn(&Fitted) -> Vec<ComparePoint>, value: Value| {
            let shown = |v: f64| axis.1.map_or(v, |q| units.value(q, v));
            let name = format!("{} [{}]", axis.0, axis.1.map_or("-", |q| units.name(q)));
            let curve = |(look, f): (usize, &Fitted)| {
                let sound = points(f).into_iter().filter(|p| p.point.converged && p.point.fired);
                let pairs = sound.filter_map(|p| Some((p.point.rpm, shown(value(&p)?)))).collect();
                Series::new(&f.name.chars().take(NAME).collect::<String>(), Kind::Marked, look, pairs)
            };
            let series: Vec<Series> = fitted.iter().enumerate().map(curve).collect();
            let any = series.iter().any(|s| s.points.iter().any(|p| p.1.is_finite()));
            any.then(|| Chart {
                heading: heading.to_owned(),
                x: Scale::new("speed [rpm]"),
                y: Scale::new(&name),
                series,
                uprights: None,
            })
        };
    let mut air =
        chart("Air in the bore, mean of the intake stroke", ("speed", Some(Quantity::AirSpeed)), &full, |p| {
            p.stroke_mean_air_speed
        });
    if let Some(air) = &mut air {
        let ends = air.series.iter().flat_map(|s| &s.points).map(|p| p.0);
        let (low, high) = ends.fold((f64::INFINITY, 0.0_f64), |(a, b), x| (a.min(x), b.max(x)));
        let at = units.value(Quantity::AirSpeed, RULE_SPEED);
        let name = format!("rule, {}", units.text(Quantity::AirSpeed, Some(RULE_SPEED), 0));
        let rule = vec![(low, at), (high, at)];
        air.series.push(Series::new(&name, Kind::Reference, 5, rule));
    }
    let rows = vec![
        vec![
            chart("Torque", ("torque", Some(Quantity::Torque)), &full, |p| p.point.torque_nm),
            chart("Power", ("power", Some(Quantity::Power)), &full, |p| p.point.power_kw.map(|v| 1e3 * v)),
        ],
        vec![
            chart("Filling", ("filling", None), &full, |p| p.point.ve),
            chart("Mixture", ("AFR", None), &full, |p| p.point.afr),
        ],
        vec![
            chart("Suction, full throttle", ("depression", Some(Quantity::Suction)), &full, |p| {
                p.point.nozzle_depression_pa
            }),
            chart("Suction, quarter throttle", ("depression", Some(Quantity::Suction)), &quarter, |p| {
                p.point.nozzle_depression_pa
            }),
        ],
        vec![air, chart("Air in the bore, highest", ("Mach number", None), &full, |p| p.peak_mach)],
    ];
    let rows: Vec<Vec<Chart>> = rows.into_iter().map(|r| r.into_iter().flatten().collect()).collect();
    comparison(&Comparison {
        title: "Carburettors on one engine at full throttle".to_owned(),
        caption: format!("{what}. Points that did not fire or did not converge are left out."),
        rows: rows.into_iter().filter(|r: &Vec<Chart>| !r.is_empty()).collect(),
        height: 280.0,
    })
}
