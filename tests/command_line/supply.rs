//! `supply` says how long the bowl lasts, writes its files, and refuses what cannot be.

use std::path::Path;

use crate::program::{demo, file, files_in, run, text};

fn scenario(name: &str) -> String {
    text(&Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join(name))
}

#[test]
fn what_cannot_be_is_refused_with_what_to_do() {
    let crushed = scenario("supply_crushed_inlet.toml");
    for (words, wanted) in [
        (vec!["supply", &demo()], "write a heading [supply]"),
        (vec!["supply", &crushed, "--rpm", "9000"], "1200 (idle) to 7000 rpm (highest)"),
        (vec!["supply", &crushed, "--speed", "70"], "as `60 mph`"),
        (vec!["supply", &crushed, "--throttle", "1/2"], "--rpm"),
        (vec!["supply", &crushed, "--speed", "50 mph", "--rpm", "4000"], "cannot be used with"),
        (vec!["supply", &crushed, "--speed", "190 km/h", "--cell-size", "20 mm"], "its highest is about"),
    ] {
        let folder = tempfile::tempdir().unwrap();
        let out = text(&folder.path().join("out"));
        let ran = run(&[&words[..], &["--out", &out]].concat());
        assert_eq!(ran.code, Some(2), "{words:?} {}", ran.stderr);
        assert!(ran.stderr.contains(wanted) && ran.stdout.is_empty(), "{words:?}: {}", ran.stderr);
    }
}

/// Files of a run on two threads and on one have the same bytes; returns what the first said and wrote.
fn the_same_on_two_threads(words: &[&str]) -> (String, serde_json::Value) {
    let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let go = |out: &Path, threads: &str| {
        let out = text(out);
        run(&[words, &["--cell-size", "20 mm", "--threads", threads, "--out", &out]].concat())
    };
    let ran = go(one.path(), "1");
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(files_in(one.path()), ["supply.csv", "supply.json", "supply_bowl.png", "supply_demand.png"]);
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80), "{}", ran.stdout);
    go(two.path(), "2");
    for name in files_in(one.path()) {
        let read = |folder: &Path| std::fs::read(folder.join(&name)).unwrap();
        assert!(read(one.path()) == read(two.path()), "{name} differs between one thread and two");
    }
    let json = std::fs::read(one.path().join("supply.json")).unwrap();
    (ran.stdout, serde_json::from_slice(&json).unwrap())
}

#[test]
fn a_starved_single_gets_its_sheet_and_files_the_same_on_any_number_of_threads() {
    let tests =
        "\n[[supply.jug_test]]\nat = \"bowl drain\"\nvolume = \"160 ml\"\ntime = \"2 min\"\nhead = \"200 mm\"\n";
    let (_folder, path) = file("starved.toml", (bellmouth::setup::template().to_owned() + tests).as_bytes());
    let (said, json) = the_same_on_two_threads(&["supply", &text(&path), "--rpm", "5000", "--throttle", "1/2"]);
    for words in ["runs dry after", "takes most", "14 CFR 23.955(b)", "so the fitting is one of", "public roads"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    assert_eq!(json["held"]["rides"][1]["ride"]["ending"], "ran_dry");
    // leaner as the level falls
    let lambda = |i: usize| json["held"]["levels"][i]["lambda"].as_f64().unwrap();
    assert!(lambda(4) > 1.01 * lambda(0), "{} {}", lambda(0), lambda(4));
}

/// `cargo test --release --test command_line -- --ignored outfit`: half a minute on two cores.
#[test]
#[ignore = "half a minute: the outfit on the road, twice"]
fn a_starved_outfit_on_the_road_gets_miles_the_same_on_any_number_of_threads() {
    let (said, json) =
        the_same_on_two_threads(&["supply", &scenario("supply_crushed_inlet.toml"), "--speed", "90 km/h"]);
    assert!(said.contains("runs dry after") && said.contains("miles") && said.contains("on the road"), "{said}");
    assert_eq!(json["held"]["rides"][1]["ride"]["ending"], "ran_dry");
}
