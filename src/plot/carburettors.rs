//! Two or more carburettors on one engine, their curves overlaid.

use super::PlotError;
use super::comparison::{Chart, Comparison, Kind, Scale, Series, comparison};
use crate::study::compare::{ComparePoint, Fitted};
use crate::study::compare_verdict::RULE_SPEED;

/// Longest name in a legend [characters].
const NAME: usize = 24;

/// The picture as the bytes of a PNG file; `what` says how they are jetted.
///
/// # Errors
/// Drawing or coding failed, or a chart has no number.
pub fn carburettors(fitted: &[Fitted], what: &str) -> Result<Vec<u8>, PlotError> {
    let full = |f: &Fitted| f.full.clone();
    let quarter = |f: &Fitted| f.quarter.clone();
    type Value = fn(&ComparePoint) -> Option<f64>;
    let chart = |heading: &str, axis: &str, points: &dyn Fn(&Fitted) -> Vec<ComparePoint>, value: Value| {
        let curve = |(look, f): (usize, &Fitted)| {
            let sound = points(f).into_iter().filter(|p| p.point.converged && p.point.fired);
            let pairs = sound.filter_map(|p| Some((p.point.rpm, value(&p)?))).collect();
            Series::new(&f.name.chars().take(NAME).collect::<String>(), Kind::Marked, look, pairs)
        };
        let series: Vec<Series> = fitted.iter().enumerate().map(curve).collect();
        let any = series.iter().any(|s| s.points.iter().any(|p| p.1.is_finite()));
        any.then(|| Chart {
            heading: heading.to_owned(),
            x: Scale::new("speed [rpm]"),
            y: Scale::new(axis),
            series,
            uprights: None,
        })
    };
    let mut air =
        chart("Air in the bore, mean of the intake stroke", "speed [m/s]", &full, |p| p.stroke_mean_air_speed);
    if let Some(air) = &mut air {
        let ends = air.series.iter().flat_map(|s| &s.points).map(|p| p.0);
        let (low, high) = ends.fold((f64::INFINITY, 0.0_f64), |(a, b), x| (a.min(x), b.max(x)));
        let rule = vec![(low, RULE_SPEED), (high, RULE_SPEED)];
        air.series.push(Series::new("rule, 90 m/s", Kind::Reference, 5, rule));
    }
    let rows = vec![
        vec![
            chart("Torque", "torque [N m]", &full, |p| p.point.torque_nm),
            chart("Power", "power [kW]", &full, |p| p.point.power_kw),
        ],
        vec![
            chart("Filling", "filling [-]", &full, |p| p.point.ve),
            chart("Mixture", "AFR [-]", &full, |p| p.point.afr),
        ],
        vec![
            chart("Suction, full throttle", "depression [kPa]", &full, |p| {
                p.point.nozzle_depression_pa.map(|v| 1e-3 * v)
            }),
            chart("Suction, quarter throttle", "depression [kPa]", &quarter, |p| {
                p.point.nozzle_depression_pa.map(|v| 1e-3 * v)
            }),
        ],
        vec![air, chart("Air in the bore, highest", "Mach number [-]", &full, |p| p.peak_mach)],
    ];
    let rows: Vec<Vec<Chart>> = rows.into_iter().map(|r| r.into_iter().flatten().collect()).collect();
    comparison(&Comparison {
        title: "Carburettors on one engine at full throttle".to_owned(),
        caption: format!("{what}. Points that did not fire or did not converge are left out."),
        rows: rows.into_iter().filter(|r: &Vec<Chart>| !r.is_empty()).collect(),
        height: 280.0,
    })
}
