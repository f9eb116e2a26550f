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

#[test]
fn a_smaller_courant_number_is_another_computation_of_the_same_point() {
    let filling = |more: &[&str]| {
        let folder = tempfile::tempdir().unwrap();
        let (demo, out) = (demo(), text(folder.path()));
        let words =
            ["cycle", &demo, "--rpm", "6000", "--throttle", "1", "--cell-size", "10 mm", "--json", "--out", &out];
        let ran = run(&[&words[..], more].concat());
        let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}", ran.stderr));
        value["point"]["ve"].as_f64().unwrap()
    };
    let (usual, said) = (filling(&[]), filling(&["--courant", "0.8"]));
    assert!((usual - said).abs() < 1e-15, "0.8 is the default: {usual} {said}");
    for number in ["0.4", "1"] {
        let other = filling(&["--courant", number]);
        // the step's own error: a per cent is far more than it makes
        assert!((other - usual).abs() > 1e-12 && (other / usual - 1.0).abs() < 0.01, "{number}: {other} {usual}");
    }
}
