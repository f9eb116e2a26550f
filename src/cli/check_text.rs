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
use crate::units::{Quantity, Units};

/// The whole sheet: given, estimated, what follows, what is unlikely, cautions.
#[must_use]
pub fn check_text(description: &Description, pump: Option<&PumpSheet>, units: &Units) -> String {
    let parts = [
        wrapped("", "  ", &description.name),
        given(&description.given),
        estimated(&description.estimated),
        follows(description, units),
        inlet_valve(&description.inlet_valve, units),
        needle(&description.needle, units),
        air_speed(&description.air_speed, units),
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

fn follows(description: &Description, units: &Units) -> String {
    let line = |figure: &Derived| {
        let (value, unit) = shown(figure, units);
        format!("{}: {} {unit}", figure.what, significant(value)).trim_end().to_owned()
    };
    let lines: Vec<String> = description.derived.iter().map(line).collect();
    list("What follows", lines.iter().map(String::as_str))
}

/// A figure in the unit asked for; as it is kept where the metric one is.
fn shown(figure: &Derived, units: &Units) -> (f64, &'static str) {
    let (quantity, si) = match figure.unit {
        "mm" => (Quantity::Length, 1e-3),
        "mm2" => (Quantity::Area, 1e-6),
        "hPa" => (Quantity::Pressure, 1e2),
        "kPa" => (Quantity::Suction, 1e3),
        "Pa" => (Quantity::Suction, 1.0),
        _ => return (figure.value, figure.unit),
    };
    let name = units.name(quantity);
    if name == Units::default().name(quantity) {
        return (figure.value, figure.unit);
    }
    (units.value(quantity, si * figure.value), name)
}

fn inlet_valve(rows: &[ValveRow], units: &Units) -> String {
    let length = |m: f64| units.number(Quantity::Length, Some(m), 2);
    let area = |m2: f64| units.number(Quantity::Area, Some(m2), 0);
    let row = |row: &ValveRow| vec![length(row.lift), area(row.curtain), area(row.geometric), area(row.effective)];
    let (l, a) = (units.name(Quantity::Length), units.name(Quantity::Area));
    let heads = [&format!("lift {l}"), &format!("curtain {a}"), &format!("smallest {a}"), &format!("without loss {a}")];
    headed("Inlet valve: area against lift", &heads.map(String::as_str), &rows.iter().map(row).collect::<Vec<_>>())
}

fn needle(rows: &[NeedleRow], units: &Units) -> String {
    let length = |m: f64, decimals: usize| units.number(Quantity::Length, Some(m), decimals);
    let area = |m2: f64, decimals: usize| units.number(Quantity::Area, Some(m2), decimals);
    let row = |row: &NeedleRow| {
        vec![
            throttle_name(row.throttle),
            length(row.lift, 1),
            area(row.slide, 0),
            length(row.needle, 3),
            area(row.ring, 3),
            area(row.main_jet, 3),
            percent(row.main_jet_share),
        ]
    };
    let (l, a) = (units.name(Quantity::Length), units.name(Quantity::Area));
    let heads = [
        "throttle",
        &format!("lift {l}"),
        &format!("bore {a}"),
        &format!("needle {l}"),
        &format!("ring {a}"),
        &format!("main jet {a}"),
        "main jet's say",
    ];
    let heading = "Needle in needle jet against slide lift; the main jet's say is its part of the resistance, equal \
                   coefficients taken";
    headed(heading, &heads, &rows.iter().map(row).collect::<Vec<_>>())
}

fn air_speed(rows: &[SpeedRow], units: &Units) -> String {
    let speed = |v: f64| units.number(Quantity::AirSpeed, Some(v), 0);
    let row = |row: &SpeedRow| {
        vec![
            rounded(Some(row.rpm), 0),
            units.number(Quantity::Flow, Some(1e-3 * row.air), 1),
            speed(row.cycle_mean),
            speed(row.stroke_mean),
            speed(row.peak),
            rounded(Some(row.mach_index), 2),
        ]
    };
    let v = units.name(Quantity::AirSpeed);
    let heads = [
        "rpm",
        &format!("air {}", units.name(Quantity::Flow)),
        &format!("cycle mean {v}"),
        &format!("stroke mean {v}"),
        &format!("peak {v}"),
        "inlet Mach index",
    ];
    let heading = format!(
        "Air speed in the open bore, filling {ASSUMED_FILLING} assumed. A rough reading of the stroke mean at full power, common \
         practice: below {} lazy at low speed, {} to {} the usual range on the road, above {} choking. Filling falls where \
         the Mach index passes about 0.5.",
        units.text(Quantity::AirSpeed, Some(60.0), 0),
        speed(75.0),
        speed(100.0),
        speed(120.0)
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
