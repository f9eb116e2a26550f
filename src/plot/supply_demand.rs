//! Fuel that the engine takes against speed, with what the supply gives and the 150 % line.

use super::PlotError;
use super::comparison::{Chart, Comparison, Kind, Scale, Series, comparison};
use crate::study::supply::{DemandPoint, MARGIN, SupplyResult};

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed, or there is no number.
pub fn supply_demand(result: &SupplyResult) -> Result<Vec<u8>, PlotError> {
    let asked = &result.asked;
    let unit = result.speed_unit;
    let mut rows = Vec::new();
    if !asked.road.is_empty() {
        let x = |p: &DemandPoint| p.speed_m_s.map(|v| unit.from_si(v));
        let axis = format!("road speed [{}]", unit.name());
        rows.push(chart(result, "Held on the road", &axis, &asked.road, &x));
    }
    rows.push(chart(result, "At full throttle", "crank speed [rpm]", &asked.full, &|p| Some(p.rpm)));
    comparison(&Comparison {
        title: format!("Fuel taken and fuel supplied: {}", result.name.chars().take(50).collect::<String>()),
        caption: "Marks: simulated points. Where the supply lies below the engine's curve the bowl runs dry; 150 % of what the engine takes is \
                  the old rule for gravity feed (14 CFR 23.955(b), a historical design rule)."
            .to_owned(),
        rows: rows.into_iter().map(|c| vec![c]).collect(),
        height: 420.0,
    })
}

fn chart(
    result: &SupplyResult,
    heading: &str,
    axis: &str,
    points: &[DemandPoint],
    x: &dyn Fn(&DemandPoint) -> Option<f64>,
) -> Chart {
    let sound = points.iter().filter(|p| p.sound);
    let taken: Vec<(f64, f64)> = sound.filter_map(|p| Some((x(p)?, 6e7 * p.fuel_m3_s))).collect();
    let margin = taken.iter().map(|p| (p.0, MARGIN * p.1)).collect();
    let ends = taken.iter().fold((f64::INFINITY, 0.0_f64), |(a, b), p| (a.min(p.0), b.max(p.0)));
    let most = taken.iter().map(|p| MARGIN * p.1).fold(0.0, f64::max);
    let mut series = vec![
        Series::new("engine takes", Kind::Marked, 0, taken),
        Series::new("150 % of it", Kind::Reference, 0, margin),
    ];
    let mut high: f64 = most;
    for (i, l) in result.limits.iter().enumerate() {
        let flow = 6e7 * l.into_bowl;
        // a supply far above what is asked would squeeze the curve: it is named, and drawn if there is room
        let tank = if l.tank == "full" { "tank full" } else { &l.tank };
        let name = format!("supply, {tank}: {flow:.0} cc/min");
        let shown = if flow <= 2.5 * most { flow } else { f64::NAN };
        high = high.max(if shown.is_finite() { shown } else { 0.0 });
        series.push(Series::new(&name, Kind::Computed, i + 1, vec![(ends.0, shown), (ends.1, shown)]));
    }
    Chart {
        heading: heading.to_owned(),
        x: Scale::new(axis),
        y: Scale::new("fuel [cc/min]").within(0.0, 1.06 * high.max(1.0)),
        series,
        uprights: None,
    }
}
