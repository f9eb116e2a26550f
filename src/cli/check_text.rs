//! What `check` prints: a set-up laid open, as text of 80 columns.

use super::flow_test_text::flow_test_text;
use super::pump_text::pump_text;
use crate::report::number::rounded;
use crate::report::prose::wrapped;
use crate::report::table::table;
use crate::setup::describe::{ASSUMED_FILLING, Derived, Description, JetRow, NeedleRow, RoadRow, SpeedRow, ValveRow};
use crate::setup::{EstimateNote, Provenance};
use crate::study::fraction::throttle_name;
use crate::study::pump_bench::PumpSheet;
use crate::units::road::SpeedUnit;

/// The whole sheet: given, estimated, what follows, what is unlikely, cautions.
#[must_use]
pub fn check_text(description: &Description, pump: Option<&PumpSheet>) -> String {
    let parts = [
        wrapped("", "  ", &description.name),
        given(&description.given),
        estimated(&description.estimated),
        follows(description),
        inlet_valve(&description.inlet_valve),
        needle(&description.needle),
        air_speed(&description.air_speed),
        jets(&description.jets),
        flow_tests(description),
        road(&description.road),
        pump.map(pump_text).unwrap_or_default(),
        list("Unlikely, please look again", description.warnings.iter().map(String::as_str)),
        list("Cautions", description.cautions.lines()),
    ];
    parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n")
}

/// A heading with one wrapped entry for each line; empty without lines.
fn list<'a>(heading: &str, lines: impl Iterator<Item = &'a str>) -> String {
    let lines: String = lines.map(|line| wrapped("  ", "    ", line)).collect();
    if lines.is_empty() { lines } else { format!("{heading}\n{lines}") }
}

fn headed(heading: &str, heads: &[&str], rows: &[Vec<String>]) -> String {
    if rows.is_empty() {
        return String::new();
    }
    let heads: Vec<String> = heads.iter().map(|&head| head.to_owned()).collect();
    wrapped("", "  ", heading) + &table(&heads, rows)
}

/// Most gears that have a column.
const MOST_GEARS: usize = 6;

fn road(rows: &[RoadRow]) -> String {
    let gears = rows.first().map_or(0, |row| row.rpm.len());
    let shown = gears.saturating_sub(MOST_GEARS)..gears;
    let mut heads = vec!["km/h".to_owned(), "mph".to_owned(), "N".to_owned(), "kW".to_owned()];
    heads.extend(shown.clone().map(|i| format!("gear {}", i + 1)));
    let cells = |row: &RoadRow| {
        let speed = |unit: SpeedUnit| rounded(Some(unit.from_si(row.speed_m_s)), 0);
        let mut cells = vec![
            speed(SpeedUnit::KmPerHour),
            speed(SpeedUnit::MilesPerHour),
            rounded(Some(row.resistance_n), 0),
            rounded(Some(row.power_kw), 1),
        ];
        cells.extend(row.rpm[shown.clone()].iter().map(|rpm| rounded(*rpm, 0)));
        cells
    };
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let rows: Vec<Vec<String>> = rows.iter().map(cells).collect();
    headed(
        "On the road: resistance, power wanted at the crank, rpm in each gear from idle to the highest",
        &heads,
        &rows,
    )
}

fn given(values: &[Provenance]) -> String {
    let rows: Vec<String> = values.iter().map(|value| format!("{}: {}", value.key, value.shown)).collect();
    list("Given", rows.iter().map(String::as_str))
}

/// Estimates that move the mixture or the idle most, strongest first; a key that ends with a point stands for all
/// below it. Found by moving each estimate to both ends of its range on a 650-class single.
const STRONGEST: [&str; 15] = [
    "carburettor.nozzle.signal_forward",
    "carburettor.needle_jet.length",
    "carburettor.needle.lean",
    "carburettor.slide.leak",
    "carburettor.slide.discharge_shut",
    "carburettor.nozzle.cutaway_share",
    "carburettor.needle.clip_to_jet",
    "carburettor.nozzle.protrusion",
    "engine.exhaust.silencer_entry",
    "engine.exhaust.length",
    "engine.exhaust.diameter",
    "engine.inlet_valve.flow_factor",
    "engine.port.loss",
    "engine.friction.constant",
    "fuel.evaporated",
];

/// Place of an estimate among the strongest, or none.
fn strength(key: &str) -> Option<usize> {
    STRONGEST.iter().position(|&strong| key == strong || strong.ends_with('.') && key.starts_with(strong))
}

fn estimated(values: &[Provenance]) -> String {
    let (mut strong, rest): (Vec<&Provenance>, Vec<&Provenance>) =
        values.iter().partition(|value| strength(&value.key).is_some());
    strong.sort_by_key(|value| strength(&value.key));
    let rest_heading = if strong.is_empty() { "Estimated; measure what matters to you" } else { "Estimated; the rest" };
    let parts = [("Estimated; these move the mixture or the idle most", strong), (rest_heading, rest)];
    let part = |(heading, values): &(&str, Vec<&Provenance>)| {
        let rows: String =
            values.iter().filter_map(|value| value.estimate().map(|note| estimate(value, note))).collect();
        if rows.is_empty() { rows } else { format!("{heading}\n{rows}") }
    };
    parts.iter().map(part).filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n")
}

fn estimate(value: &Provenance, note: &EstimateNote) -> String {
    let wide = note.low_shown != note.high_shown;
    let range = if wide { format!(" ({} to {})", note.low_shown, note.high_shown) } else { String::new() };
    let shown = format!("{}: {}{range}", value.key, value.shown);
    wrapped("  ", "    ", &shown) + &wrapped("    ", "    ", &format!("{}; {}", note.rule, note.source))
}

fn follows(description: &Description) -> String {
    let line = |figure: &Derived| {
        format!("{}: {} {}", figure.what, significant(figure.value), figure.unit).trim_end().to_owned()
    };
    let lines: Vec<String> = description.derived.iter().map(line).collect();
    list("What follows", lines.iter().map(String::as_str))
}

fn inlet_valve(rows: &[ValveRow]) -> String {
    let row = |row: &ValveRow| vec![mm(row.lift, 2), mm2(row.curtain, 0), mm2(row.geometric, 0), mm2(row.effective, 0)];
    let heads = ["lift mm", "curtain mm2", "smallest mm2", "without loss mm2"];
    headed("Inlet valve: area against lift", &heads, &rows.iter().map(row).collect::<Vec<_>>())
}

fn needle(rows: &[NeedleRow]) -> String {
    let row = |row: &NeedleRow| {
        vec![
            throttle_name(row.throttle),
            mm(row.lift, 1),
            mm2(row.slide, 0),
            mm(row.needle, 3),
            mm2(row.ring, 3),
            mm2(row.main_jet, 3),
            percent(row.main_jet_share),
        ]
    };
    let heads = ["throttle", "lift mm", "bore mm2", "needle mm", "ring mm2", "main jet mm2", "main jet's say"];
    let heading = "Needle in needle jet against slide lift; the main jet's say is its part of the resistance, equal \
                   coefficients taken";
    headed(heading, &heads, &rows.iter().map(row).collect::<Vec<_>>())
}

fn air_speed(rows: &[SpeedRow]) -> String {
    let row = |row: &SpeedRow| {
        vec![
            rounded(Some(row.rpm), 0),
            rounded(Some(row.air), 1),
            rounded(Some(row.cycle_mean), 0),
            rounded(Some(row.stroke_mean), 0),
            rounded(Some(row.peak), 0),
            rounded(Some(row.mach_index), 2),
        ]
    };
    let heads = ["rpm", "air g/s", "cycle mean m/s", "stroke mean m/s", "peak m/s", "inlet Mach index"];
    let heading = format!(
        "Air speed in the open bore, filling {ASSUMED_FILLING} assumed. A rough reading of the stroke mean at full power, common \
         practice: below 60 m/s lazy at low speed, 75 to 100 the usual range on the road, above 120 choking. Filling falls \
         where the Mach index passes about 0.5."
    );
    headed(&heading, &heads, &rows.iter().map(row).collect::<Vec<_>>())
}

fn jets(rows: &[JetRow]) -> String {
    let row = |row: &JetRow| {
        vec![
            row.name.to_owned(),
            mm(row.bore, 3),
            rounded(Some(row.bore_number), 1),
            rounded(Some(row.flow), 0),
            rounded(Some(1e3 * row.head), 0),
        ]
    };
    let heads = ["jet", "bore mm", "bore number", "flow cc/min", "at a head of mm"];
    headed("Fuel jets in both families of numbers", &heads, &rows.iter().map(row).collect::<Vec<_>>())
}

fn flow_tests(description: &Description) -> String {
    let lines: Vec<String> = description.flow_tests.iter().map(flow_test_text).collect();
    list("Jets tested at home", lines.iter().map(String::as_str))
}

fn mm(metres: f64, decimals: usize) -> String {
    rounded(Some(1e3 * metres), decimals)
}

fn mm2(square_metres: f64, decimals: usize) -> String {
    rounded(Some(1e6 * square_metres), decimals)
}

fn percent(share: f64) -> String {
    format!("{} %", rounded(Some(100.0 * share), 0))
}

/// Four significant digits or so, as a person reads it.
fn significant(value: f64) -> String {
    let decimals = match value.abs() {
        size if size >= 1000.0 => 0,
        size if size >= 100.0 => 1,
        size if size >= 10.0 => 2,
        _ => 3,
    };
    rounded(Some(value), decimals)
}
