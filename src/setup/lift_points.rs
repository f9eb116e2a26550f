//! The lift of a valve as measured points: crank angle and lift, by degree wheel and dial gauge.

use std::f64::consts::PI;

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::limits::MOST_ROWS;
use super::quantity::read_quantity;
use super::reader::{Reader, kind};
use super::spec::Spec;
use super::timing::Side;
use crate::diagnostics::{Place, Problem};
use crate::hardware::poppet_valve::{LiftProfile, LiftTable};
use crate::units::Dimension::{Angle, Length};

const ANGLE: Spec = Spec::new(Angle, "deg", (-400.0, 400.0), (-400.0, 400.0));
const LIFT: Spec = Spec::new(Length, "mm", (0.0, 25.0), (0.0, 14.0));
/// Largest lift [mm]: what a valve has to open at least, and at most.
const HIGHEST: Spec = Spec::new(Length, "mm", (1.0, 25.0), (5.0, 14.0));
/// Crank angle from the seat to the seat [deg].
const OPEN_FOR: (f64, f64) = (120.0, 480.0);

/// What to write.
const POINTS: &str = "write lift_points = [[\"-20 deg\", \"0 mm\"], [\"0 deg\", \"0.8 mm\"], ...]: crank angle after the top centre between \
                      exhaust and inlet, negative before it, and the lift of the valve there";

/// Keys that describe the lift another way.
const OTHERS: [&str; 4] = ["lift", "check_lift", "opens", "closes"];

/// One row of the file.
struct Row {
    angle: Figure,
    lift: Figure,
}

/// Reads `lift_points`, if the file gives it: the profile and its largest lift.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, side: Side) -> Option<(LiftProfile, Figure)> {
    let key = "lift_points";
    let raw = reader.raw(ledger, key)?;
    for other in OTHERS {
        if reader.has(other) {
            ledger.note(
                Problem::error(format!("`{}` and `{key}` both describe the valve's lift", reader.path(other)))
                    .at(reader.key_place(other), "this one")
                    .against(reader.key_place(key), "and this one")
                    .help("keep `lift_points` if they were measured, else `lift`, `opens` and `closes`"),
            );
        }
        let _ = reader.raw(ledger, other);
    }
    let noted = ledger.problems.len();
    let path = reader.path(key);
    let rows = rows(reader, ledger, &path, raw.value, &raw.place);
    let highest = rows.iter().map(|r| r.lift.kept).fold(f64::NAN, f64::max);
    let highest = Figure { kept: highest, place: Some(raw.place.clone()), key: path.clone(), spec: HIGHEST };
    let nothing = LiftProfile::Polynomial { max_lift: f64::NAN, centre: f64::NAN, half_duration: f64::NAN };
    if !ledger.sound_since(noted) {
        return Some((nothing, Figure { kept: f64::NAN, ..highest }));
    }
    check_ends(ledger, &path, &rows);
    let open = off_the_seat(&rows);
    check_shape(ledger, &path, side, open, &highest, &raw.place);
    let points = open.iter().map(|r| (r.angle.kept + 2.0 * PI, r.lift.kept)).collect();
    let table = LiftTable::new(points).filter(|_| ledger.sound_since(noted));
    Some((table.map_or(nothing, LiftProfile::Points), highest))
}

fn rows<'a>(reader: &Reader<'a>, ledger: &mut Ledger, path: &str, value: &'a DeValue<'a>, place: &Place) -> Vec<Row> {
    let bad = |label: &str| {
        Problem::error(format!("`{path}` has to be a list of pairs")).at(Some(place.clone()), label).help(POINTS)
    };
    let DeValue::Array(list) = value else {
        ledger.note(bad(kind(value)));
        return Vec::new();
    };
    if list.len() > MOST_ROWS || list.len() < 3 {
        ledger.note(bad(&format!("{} rows", list.len())).allowed(format!("3 to {MOST_ROWS} rows")));
        return Vec::new();
    }
    let mut rows: Vec<Row> = Vec::with_capacity(list.len());
    for (i, item) in list.iter().enumerate() {
        let item = reader.placed(item);
        let pair = match item.value {
            DeValue::Array(pair) => pair.first().zip(pair.get(1)).filter(|_| pair.len() == 2),
            _ => None,
        };
        let Some((angle, lift)) = pair else {
            let problem = Problem::error(format!("`{path}[{i}]` has to be a pair"));
            ledger.note(problem.at(Some(item.place), kind(item.value)).help(POINTS));
            continue;
        };
        let angle = read_quantity(ledger, &format!("{path}[{i}].angle"), &reader.placed(angle), &ANGLE);
        let lift = read_quantity(ledger, &format!("{path}[{i}].lift"), &reader.placed(lift), &LIFT);
        if rows.last().is_some_and(|last| angle.kept <= last.angle.kept) {
            ledger.note(
                Problem::error(format!("the angles of `{path}` do not rise"))
                    .at(angle.place.clone(), format!("{} is not after the row before it", angle.shown()))
                    .help("turn the crank the way it runs, each row at a later angle than the last"),
            );
        }
        rows.push(Row { angle, lift });
    }
    rows
}

/// The first and the last row have the valve on its seat, and only rows at the ends.
fn check_ends(ledger: &mut Ledger, path: &str, rows: &[Row]) {
    for (row, word) in rows.first().map(|r| (r, "start")).into_iter().chain(rows.last().map(|r| (r, "end"))) {
        if row.lift.kept > 0.0 {
            ledger.note(
                Problem::error(format!("`{path}` does not {word} with the valve on its seat"))
                    .at(row.lift.place.clone(), row.lift.shown())
                    .allowed("0 mm")
                    .help("the first and the last row have a lift of 0 mm: add the angle at which the valve leaves its seat or is back"),
            );
        }
    }
    let open = off_the_seat(rows);
    let between = open.get(1..open.len().saturating_sub(1)).unwrap_or_default();
    if let Some(shut) = between.iter().find(|r| r.lift.kept <= 0.0) {
        ledger.note(
            Problem::error(format!("`{path}` shuts the valve between its ends"))
                .at(shut.lift.place.clone(), format!("no lift at {}", shut.angle.shown()))
                .help("a valve opens once in a cycle"),
        );
    }
}

/// The rows from the last one before the valve lifts to the first one after it is back.
fn off_the_seat(rows: &[Row]) -> &[Row] {
    let lifted = |r: &Row| r.lift.kept > 0.0;
    match (rows.iter().position(lifted), rows.iter().rposition(lifted)) {
        (Some(first), Some(last)) => &rows[first.saturating_sub(1)..(last + 2).min(rows.len())],
        _ => &[],
    }
}

/// How far and how long it opens, and on which side of the top centre.
fn check_shape(ledger: &mut Ledger, path: &str, side: Side, open: &[Row], highest: &Figure, place: &Place) {
    if !HIGHEST.accepts(highest.kept) {
        ledger.note(
            Problem::error(format!("`{path}` hardly opens the valve"))
                .at(Some(place.clone()), format!("at most {}", LIFT.show(highest.kept)))
                .allowed(format!("a largest lift of {}", HIGHEST.show_range(HIGHEST.allowed)))
                .help("the lift is that of the valve itself, in the unit written beside it"),
        );
        return;
    }
    let (Some(first), Some(last)) = (open.first(), open.last()) else { return };
    let degrees = (last.angle.kept - first.angle.kept).to_degrees();
    if !(OPEN_FOR.0..=OPEN_FOR.1).contains(&degrees) {
        ledger.note(
            Problem::error(format!("the valve is off its seat for {} degrees of crank angle", degrees.round()))
                .at(first.angle.place.clone(), "opens")
                .against(last.angle.place.clone(), "closes")
                .allowed(format!("{} to {} deg", OPEN_FOR.0, OPEN_FOR.1))
                .help("count degrees of the crank, not of the camshaft, which turns half as fast"),
        );
    }
    let Some(top) = open.iter().max_by(|a, b| a.lift.kept.total_cmp(&b.lift.kept)) else { return };
    let (wrong, usual) = match side {
        Side::Inlet => (top.angle.kept < 0.0, "an inlet valve is furthest open after the top centre, near 110 deg"),
        Side::Exhaust => {
            (top.angle.kept > 0.0, "an exhaust valve is furthest open before the top centre, near -110 deg")
        }
    };
    if wrong {
        ledger.note(
            Problem::error(format!("`{path}` is furthest open on the wrong side of the top centre"))
                .at(top.angle.place.clone(), format!("furthest open at {}", top.angle.shown()))
                .help(format!("{usual}; count from the top centre between exhaust and inlet")),
        );
    }
}
