//! No cell of a CSV file is taken for a formula by a spreadsheet, and what was written reads back.

use bellmouth::hardware::part::Part;
use bellmouth::report::csv_text::text_cell;
use bellmouth::report::{cycle_csv, map_csv, steps_csv};

use crate::synthetic;

/// Texts that a spreadsheet would compute (common practice, no source).
const PAYLOADS: [&str; 12] = [
    "=1+1",
    "+1 mm",
    "-1+1",
    "@SUM(1)",
    "\t=1+1",
    "\r=1+1",
    "\n=1",
    "=cmd|' /C calc'!A0",
    "-0.5 mm",
    "=\"a\",\"b\"",
    "+A1",
    "@\"x\r\n=1",
];
/// Texts that stay as they are.
const PLAIN: [&str; 9] = ["-1250.5", "-1e-7", "+2", "", "a groove down", "'=1", "0.5 mm more", "1=1", " =1"];

fn records(csv: &str) -> Vec<Vec<String>> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(csv.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}

fn is_safe(cell: &str) -> bool {
    !cell.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) || cell.parse::<f64>().is_ok()
}

#[test]
fn a_text_that_starts_like_a_formula_gets_an_apostrophe_and_a_number_never() {
    for text in PAYLOADS {
        assert_eq!(text_cell(text), format!("'{text}"));
        assert!(is_safe(&text_cell(text)));
    }
    for text in PLAIN {
        assert_eq!(text_cell(text), text);
    }
}

#[test]
fn each_text_of_the_steps_is_safe_and_reads_back() {
    for payload in PAYLOADS.iter().chain(&PLAIN) {
        let mut steps = synthetic::steps();
        for row in &mut steps.parts {
            row.setting = (*payload).to_owned();
            row.step = (*payload).to_owned();
        }
        for effect in steps.points.iter_mut().flat_map(|point| &mut point.parts) {
            effect.up.note = Some((*payload).to_owned());
            effect.down.note = Some((*payload).to_owned());
        }
        let rows = records(&steps_csv(&steps).unwrap());
        assert!(rows.iter().flatten().all(|cell| is_safe(cell)), "{payload:?}");
        for head in ["setting", "step", "note_up", "note_down"] {
            let column = rows[0].iter().position(|name| name == head).unwrap();
            assert!(rows[1..].iter().all(|row| row[column].strip_prefix('\'').unwrap_or(&row[column])
                == payload.strip_prefix('\'').unwrap_or(payload)));
        }
    }
}

/// The names of steps that begin with a sign, as they are.
#[test]
fn the_steps_of_the_parts_are_safe_too() {
    let machine = bellmouth::setup::load_text("template", bellmouth::setup::template()).unwrap().value.machine;
    let labels: Vec<String> = Part::in_charge().map(|part| part.step_label(&machine)).collect();
    assert!(labels.iter().any(|label| !is_safe(label)), "none begins with a sign any more: {labels:?}");
    assert!(labels.iter().all(|label| is_safe(&text_cell(label))), "{labels:?}");
}

/// A map and a cycle hold numbers, true, false and the words of the status; no text of a set-up.
#[test]
fn a_map_and_a_cycle_have_no_text_from_outside() {
    let mut map = synthetic::map();
    map.name = PAYLOADS[0].to_owned();
    map.points.iter_mut().for_each(|point| point.note = Some(PAYLOADS[7].to_owned()));
    let mut cycle = synthetic::cycle();
    cycle.name = PAYLOADS[0].to_owned();
    for csv in [map_csv(&map).unwrap(), cycle_csv(&cycle).unwrap()] {
        let word = |cell: &String| cell.chars().all(|c| c.is_ascii_lowercase() || c == '_');
        for row in &records(&csv)[1..] {
            assert!(row.iter().all(|cell| word(cell) || cell.parse::<f64>().is_ok()), "{row:?}");
        }
    }
}
