//! `cycle` computes one operating point over crank angle.

use crate::program::{demo, files_in, run, text};

#[test]
fn a_cycle_prints_its_point_and_writes_its_files() {
    let folder = tempfile::tempdir().unwrap();
    let words = ["cycle", &demo(), "--rpm", "6000", "--throttle", "1", "--out", &text(folder.path())];
    let ran = run(&words);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 80), "{}", ran.stdout);
    let names = files_in(folder.path());
    assert!(
        names.iter().any(|name| name.ends_with(".json")) && names.iter().any(|name| name.ends_with(".png")),
        "{names:?}"
    );
}

#[test]
fn a_cycle_as_json_has_traces_of_one_length() {
    let folder = tempfile::tempdir().unwrap();
    let ran = run(&["cycle", &demo(), "--rpm", "6000", "--throttle", "1/2", "--json", "--out", &text(folder.path())]);
    let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    let converged = value["point"]["converged"].as_bool().unwrap();
    assert_eq!(ran.code, Some(if converged { 0 } else { 1 }), "{}", ran.stderr);
    assert_eq!(value["schema"], 1);
    let traces = value["traces"].as_object().unwrap();
    let lengths: Vec<usize> = traces.values().map(|trace| trace.as_array().unwrap().len()).collect();
    assert!(lengths[0] > 100 && lengths.iter().all(|&length| length == lengths[0]), "{lengths:?}");
}
