//! Every output of one run says the same numbers, to the last bit.

use crate::program::demo;
use crate::undisturbed::{POINTS, undisturbed};

/// A cell of CSV as JSON has it.
fn same(cell: &str, value: &serde_json::Value) -> bool {
    match value {
        serde_json::Value::Null => cell.is_empty(),
        serde_json::Value::Bool(truth) => cell == truth.to_string(),
        serde_json::Value::String(word) => cell == word,
        number => cell.parse::<f64>().ok().map(f64::to_bits) == number.as_f64().map(f64::to_bits),
    }
}

#[test]
fn map_csv_and_map_json_of_one_run_have_the_same_bits() {
    let files = &undisturbed().files;
    let map: serde_json::Value = serde_json::from_slice(&files["map.json"]).unwrap();
    let mut csv = csv::Reader::from_reader(&files["map.csv"][..]);
    let heads = csv.headers().unwrap().clone();
    let points = map["points"].as_array().unwrap();
    let mut cells = 0;
    for (row, point) in csv.records().map(|row| row.unwrap()).zip(points) {
        for (head, cell) in heads.iter().zip(&row) {
            let value = point.get(head).unwrap_or_else(|| panic!("{head} is not in map.json"));
            assert!(same(cell, value), "{head}: {cell} and {value}");
            cells += 1;
        }
    }
    assert_eq!((points.len(), cells), (POINTS, POINTS * heads.len()));
}

/// The set-up in `map.json` is the one that `check --json` shows.
#[test]
fn check_and_map_read_the_same_machine() {
    let checked: serde_json::Value =
        serde_json::from_str(&crate::program::run(&["check", &demo(), "--json"]).stdout).unwrap();
    let map: serde_json::Value = serde_json::from_slice(&undisturbed().files["map.json"]).unwrap();
    let machine = |value: &serde_json::Value| {
        value.pointer("/setup/machine").or_else(|| value.pointer("/machine")).cloned().unwrap_or_default()
    };
    assert!(machine(&map).is_object(), "{:?}", map["setup"]);
    assert_eq!(machine(&checked), machine(&map));
}
