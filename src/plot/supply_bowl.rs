//! Bowl level, flows and mixture against time while a speed is held, and after easing off.

use super::PlotError;
use super::comparison::{Chart, Comparison, Kind, Scale, Series, comparison};
use crate::study::supply::{Ending, SupplyResult, TankRide, TracePoint};

/// Time shown where nothing runs dry [s].
const QUIET: f64 = 180.0;
/// Longest time shown [s].
const LONGEST: f64 = 1_800.0;

/// The picture as the bytes of a PNG file.
///
/// # Errors
/// Drawing or coding failed, or there is no number.
pub fn supply_bowl(result: &SupplyResult) -> Result<Vec<u8>, PlotError> {
    let rides = &result.held.rides;
    let ends = |r: &TankRide| {
        let stop = r.ride.stops_after?;
        Some(r.ride.trace.last().map_or(stop, |p| p.t).min(3.0 * stop + 120.0))
    };
    let dry = rides.iter().filter_map(ends).fold(0.0, f64::max);
    let until = if dry > 0.0 { dry.min(LONGEST) } else { QUIET };
    let x = || Scale::new("time [min]").within(0.0, until / 60.0);
    let curves = |name: &dyn Fn(&str) -> String, value: &dyn Fn(&TracePoint) -> f64, first: usize| {
        let one = |(i, r): (usize, &TankRide)| {
            Series::new(
                &name(if r.tank == "full" { "tank full" } else { &r.tank }),
                Kind::Computed,
                first + i,
                pairs(r, until, value),
            )
        };
        rides.iter().enumerate().map(one).collect::<Vec<Series>>()
    };
    let depth = 1e3 * result.line.bowl.depth();
    let across = |level: f64| vec![(0.0, level), (until / 60.0, level)];
    let mut level = curves(&|tank| tank.to_owned(), &|p| -1e3 * p.fall, 0);
    level.push(Series::new("main jet's seat", Kind::Reference, 0, across(-depth)));
    let mut flow = curves(&|tank| format!("runs in, {tank}"), &|p| 6e7 * p.supply, 0);
    flow.extend(curves(&|tank| format!("engine takes, {tank}"), &|p| 6e7 * p.engine, 2));
    let afr = |p: &TracePoint| p.lambda.map_or(f64::NAN, |l| l * result.stoichiometric);
    let mut mixture = curves(&|tank| tank.to_owned(), &afr, 0);
    let lean = result.held.lean_limit * result.stoichiometric;
    mixture.push(Series::new(&format!("leaned out, {lean:.1}"), Kind::Reference, 0, across(lean)));
    let chart = |heading: &str, y: Scale, series: Vec<Series>| Chart {
        heading: heading.to_owned(),
        x: x(),
        y,
        series,
        uprights: None,
    };
    let held = &result.asked.held;
    let what = match held.speed_m_s {
        Some(v) => format!("{} held", result.speed_unit.said(v)),
        None => format!("{:.0} rpm held", held.rpm),
    };
    let most = flow.iter().flat_map(|s| &s.points).map(|p| p.1).filter(|v| v.is_finite()).fold(1.0, f64::max);
    comparison(&Comparison {
        title: format!("The float bowl with {what}: {}", result.name.chars().take(40).collect::<String>()),
        caption: caption(result),
        rows: vec![
            vec![chart("Fuel in the bowl", Scale::new("level [mm]").within(-1.12 * depth, 0.06 * depth), level)],
            vec![chart("Flows", Scale::new("fuel [cc/min]").within(0.0, 1.1 * most), flow)],
            vec![chart("Mixture", Scale::new("AFR [-]"), mixture)],
        ],
        height: 300.0,
    })
}

fn pairs(r: &TankRide, until: f64, value: &dyn Fn(&TracePoint) -> f64) -> Vec<(f64, f64)> {
    let shown = r.ride.trace.iter().filter(|p| p.t <= until + 1e-9);
    let mut pairs: Vec<(f64, f64)> = shown.map(|p| (p.t / 60.0, value(p))).collect();
    if r.ride.ending == Ending::Settled
        && let Some(last) = pairs.last().copied()
    {
        pairs.push((until / 60.0, last.1));
    }
    pairs
}

fn caption(result: &SupplyResult) -> String {
    let eased = result.asked.eased.fuel_m3_s * 6e7;
    let dry = result.held.rides.iter().any(|r| r.ride.stops_after.is_some());
    let after = if dry {
        format!(" Five seconds after the bowl has run dry the rider eases off to {eased:.0} cc/min.")
    } else {
        String::new()
    };
    format!(
        "Throttle and crank speed held; fuel and mixture simulated at {} levels, straight lines between.{after} The line ends where nothing \
         burns.",
        result.held.levels.len()
    )
}
