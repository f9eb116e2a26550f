//! `compare` refuses what cannot be compared, and gives tables, pictures and JSON of what can.

use std::path::Path;

use crate::program::{demo, files_in, run, text};

fn other() -> String {
    demo().replace("38mm", "34mm")
}

#[test]
fn one_file_a_file_twice_and_a_missing_one_are_refused_with_what_to_do() {
    let twice = demo();
    for (words, wanted) in [
        (vec!["compare", &twice], "one set-up has nothing to be compared with"),
        (vec!["compare", &twice, &twice], "is named twice"),
        (vec!["compare", &twice, "no_such.toml"], "no_such.toml"),
    ] {
        let ran = run(&words);
        assert_eq!(ran.code, Some(2), "{words:?}");
        assert!(ran.stderr.contains(wanted) && ran.stdout.is_empty(), "{}", ran.stderr);
    }
}

#[test]
fn different_engines_are_refused_by_the_key_that_differs() {
    let folder = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    std::fs::create_dir(folder.path().join("engines")).unwrap();
    let engine = std::fs::read_to_string(root.join("engines/sidecar_499.toml")).unwrap();
    std::fs::write(folder.path().join("engines/sidecar_499.toml"), engine.replace("\"88 mm\"", "\"87 mm\"")).unwrap();
    let setup = folder.path().join("other.toml");
    std::fs::copy(root.join("sidecar_34mm.toml"), &setup).unwrap();
    let ran = run(&["compare", &demo(), &text(&setup)]);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(ran.stderr.contains("engine.bore: 88 mm against 87 mm"), "{}", ran.stderr);
}

#[test]
fn two_set_ups_give_their_files_and_a_verdict_the_same_on_any_number_of_threads() {
    let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let go = |out: &Path, threads: &str| {
        let (small, large, out) = (other(), demo(), text(out));
        let words = [
            "compare",
            &small,
            &large,
            "--rpm",
            "5000, 6000",
            "--cell-size",
            "20 mm",
            "--out",
            &out,
            "--skip-how-sure",
        ];
        run(&[&words[..], &["--threads", threads]].concat())
    };
    let ran = go(one.path(), "1");
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(files_in(one.path()), ["as_given.png", "compare.csv", "compare.json", "same_mixture.png"]);
    assert!(ran.stdout.contains("both at the same mixture") && ran.stdout.contains("limits first"), "{}", ran.stdout);
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80));
    go(two.path(), "2");
    for name in files_in(one.path()) {
        let read = |folder: &Path| std::fs::read(folder.join(&name)).unwrap();
        assert!(read(one.path()) == read(two.path()), "{name} differs between one thread and two");
    }
    let json: serde_json::Value =
        serde_json::from_slice(&std::fs::read(one.path().join("compare.json")).unwrap()).unwrap();
    // brought to the same mixture, within what whole steps of the jets leave
    let lambda = |i: usize| json["same_mixture"][i]["full"][0]["point"]["lambda"].as_f64().unwrap();
    assert!((lambda(0) / lambda(1) - 1.0).abs() < 0.05, "{} {}", lambda(0), lambda(1));
}

#[test]
fn the_csv_has_the_columns_of_a_map_behind_the_set_up() {
    let folder = tempfile::tempdir().unwrap();
    let (small, large, out) = (other(), demo(), text(folder.path()));
    let words = ["compare", &small, &large, "--rpm", "6000", "--cell-size", "20 mm", "--out", &out];
    let ran = run(&[&words[..], &["--as-given", "--skip-how-sure", "--units", "us"]].concat());
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("bore 1.339 in") && ran.stdout.contains("lbf ft"), "{}", ran.stdout);
    let csv = std::fs::read_to_string(folder.path().join("compare.csv")).unwrap();
    let head: Vec<&str> = csv.lines().next().unwrap().split(',').collect();
    assert_eq!((head[0], head[1], head[2], head[3]), ("setup", "throttle", "rpm", "afr"));
    assert!(head.ends_with(&["jetting", "main_jet", "clip", "pilot_jet", "stroke_mean_air_speed", "peak_mach"]));
    // quarter and full throttle of two carburettors
    assert_eq!(csv.lines().count(), 1 + 4);
}

#[test]
fn another_air_box_is_refused_as_another_engine_is() {
    let folder = tempfile::tempdir().unwrap();
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    std::fs::create_dir(folder.path().join("engines")).unwrap();
    std::fs::copy(root.join("engines/sidecar_499.toml"), folder.path().join("engines/sidecar_499.toml")).unwrap();
    let file = std::fs::read_to_string(root.join("sidecar_34mm.toml")).unwrap();
    let setup = folder.path().join("other.toml");
    std::fs::write(&setup, format!("{file}\n[air_box]\nvolume = \"4 L\"\n")).unwrap();
    let ran = run(&["compare", &demo(), &text(&setup)]);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(ran.stderr.contains("differ in engine, air box, air or fuel"), "{}", ran.stderr);
    assert!(ran.stderr.contains("air_box.volume: not given against 4 L"), "{}", ran.stderr);
}

#[test]
fn how_sure_it_is_names_five_estimates_and_what_to_measure() {
    let folder = tempfile::tempdir().unwrap();
    let (small, large, out) = (other(), demo(), text(folder.path()));
    let words = ["compare", &small, &large, "--as-given", "--rpm", "6000", "--cell-size", "20 mm", "--out", &out];
    let ran = run(&words);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80), "{}", ran.stdout);
    assert!(ran.stdout.contains("How sure: of") && ran.stdout.contains("Measure next: "), "{}", ran.stdout);
    let json: serde_json::Value =
        serde_json::from_slice(&std::fs::read(folder.path().join("compare.json")).unwrap()).unwrap();
    let ends = json["how_sure"]["ends"].as_array().unwrap();
    assert_eq!(ends.len(), 10, "five estimates at both ends");
    assert!(json["how_sure"]["looked_at"].as_u64().unwrap() > 60);
    // the first by screening moves the answer
    assert!(ends.iter().any(|e| e["shift"].as_f64().unwrap() > 0.1), "{ends:?}");
}

#[cfg(unix)]
#[test]
fn ctrl_c_keeps_the_carburettors_that_were_done() {
    use std::io::{BufRead, BufReader, Read};
    use std::process::{Command, Stdio};

    let folder = tempfile::tempdir().unwrap();
    let (small, large, out) = (other(), demo(), text(folder.path()));
    let words = ["compare", &small, &large, "--as-given", "--rpm", "6000", "--cell-size", "20 mm", "--out", &out];
    let mut child = crate::program::bellmouth(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
    assert!(lines.any(|l| l.unwrap().starts_with("how sure: ")), "not so far");
    let kill = format!("kill -INT {}", child.id());
    assert!(Command::new("sh").args(["-c", &kill]).status().unwrap().success());
    let mut text = String::new();
    child.stdout.take().unwrap().read_to_string(&mut text).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert!(text.contains("stopped before the end"), "{text}");
    assert_eq!(files_in(folder.path()), ["compare.partial.csv", "compare.partial.json"]);
}
