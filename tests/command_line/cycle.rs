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
            ["cycle", &demo, "--rpm", "6000", "--throttle", "1", "--cell-size", "5 mm", "--json", "--out", &out];
        let ran = run(&[&words[..], more].concat());
        let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap_or_else(|_| panic!("{}", ran.stderr));
        value["point"]["ve"].as_f64().unwrap()
    };
    let (usual, said) = (filling(&[]), filling(&["--courant", "0.9"]));
    assert!((usual - said).abs() < 1e-15, "0.9 is the default: {usual} {said}");
    for number in ["0.4", "1"] {
        let other = filling(&["--courant", number]);
        // the step's own error: a per cent is far more than it makes
        assert!((other - usual).abs() > 1e-12 && (other / usual - 1.0).abs() < 0.01, "{number}: {other} {usual}");
    }
}

#[test]
fn an_idling_engine_gives_no_brake_torque_and_its_lift_is_said_in_millimetres() {
    // The known single's file says 1300 rpm.
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trade/single_650.toml");
    let folder = tempfile::tempdir().unwrap();
    let (path, out) = (text(&path), text(folder.path()));
    let ran = run(&["cycle", &path, "--idle", "--cell-size", "10 mm", "--out", &out]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let name = files_in(folder.path()).into_iter().find(|name| name.ends_with(".json")).unwrap();
    let read = std::fs::read_to_string(folder.path().join(name)).unwrap();
    let value: serde_json::Value = serde_json::from_str(&read).unwrap();
    let figure = |name: &str| value["point"][name].as_f64().unwrap();
    assert!((figure("rpm") - 1300.0).abs() < 1e-9, "{}", figure("rpm"));
    assert!(figure("torque_nm").abs() < 0.5 && value["point"]["fired"] == true, "{}", figure("torque_nm"));
    let lift = 1e3 * value["slide_lift_m"].as_f64().unwrap();
    assert!((lift - 40.0 * figure("throttle")).abs() < 1e-9 && lift > 0.2 && lift < 10.0, "{lift}");
    let row = ran.stdout.lines().find(|line| line.starts_with("slide lift [mm]")).unwrap();
    assert!(row.ends_with(&format!("{lift:.2}")), "{row}: {lift}");
    assert!(ran.stderr.contains(&format!("{lift:.2} mm of slide lift")), "{}", ran.stderr);
}
