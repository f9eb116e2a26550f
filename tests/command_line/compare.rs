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
        let words = ["compare", &small, &large, "--rpm", "5000, 6000", "--cell-size", "20 mm", "--out", &out];
        run(&[&words[..], &["--threads", threads]].concat())
    };
    let ran = go(one.path(), "1");
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(files_in(one.path()), ["as_given.png", "compare.json", "same_mixture.png"]);
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
