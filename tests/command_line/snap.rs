//! `snap` refuses an opening that is none, and gives tables, CSV, JSON and pictures of one.

use std::path::Path;

use crate::program::{demo, files_in, run, text};

fn with_pump() -> String {
    text(&Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join("snap_38mm.toml"))
}

#[test]
fn openings_that_are_none_are_refused_with_place_range_and_help() {
    for (words, said) in [
        (&["--from", "1/2", "--to", "1/4"][..], &["ends no wider than it starts", "command line", "above 50 %"][..]),
        (&["--time", "2 s", "--run", "1 s"], &["takes longer to open than the run lasts", "longer than 2 s"]),
        (&["--rpm", "90"], &["`snap.rpm` is out of range", "100 rpm to 30000 rpm"]),
        (&["--rpm", "20000"], &["outside the engine's speeds", "idles at 1200 rpm"]),
        (&["--from", "12.5"], &["`snap.from` is out of range"]),
        (&["--time", "-1 s"], &["`snap.time` is out of range"]),
        (&["--gear", "9"], &["`snap.gear` is no gear of this vehicle", "1 to 4"]),
        (&["--inertia", "0.3"], &["`snap.inertia`", "kg m2"]),
        (&["--free", "gap"], &["no accelerator pump whose parts could be looked for", "[carburettor.pump]"]),
        (&["--free", "spring"], &["`spring` is no part of the pump", "gap, stop, nozzle"]),
        (&["--free", "gap", "--as-given"], &["cannot be used with"]),
    ] {
        let ran = run(&[&["snap", &demo()], words].concat());
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{words:?}: {}", ran.stderr);
        for part in said {
            assert!(ran.stderr.contains(part), "{words:?} should say {part:?} but says:\n{}", ran.stderr);
        }
    }
}

#[test]
fn an_opening_gives_its_files_the_same_on_any_number_of_threads() {
    let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let go = |out: &Path, threads: &str| {
        let (setup, out) = (with_pump(), text(out));
        let short = ["--rpm", "4500", "--run", "0.3 s", "--time", "0.1 s", "--cell-size", "20 mm", "--free", "stop"];
        run(&[&["snap", &setup, "--out", &out, "--threads", threads][..], &short].concat())
    };
    let ran = go(one.path(), "1");
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(files_in(one.path()), ["snap.csv", "snap.json", "snap_cycles.png", "snap_fuel.png"]);
    assert!(ran.stdout.contains("Verdict: ") && ran.stdout.contains("ten strokes"), "{}", ran.stdout);
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80), "{}", ran.stdout);
    go(two.path(), "2");
    for name in files_in(one.path()) {
        let read = |folder: &Path| std::fs::read(folder.join(&name)).unwrap();
        assert!(read(one.path()) == read(two.path()), "{name} differs between one thread and two");
    }
    let json: serde_json::Value =
        serde_json::from_slice(&std::fs::read(one.path().join("snap.json")).unwrap()).unwrap();
    let gap = &json["tuned"]["best"]["parts"]["rod_gap_m"];
    assert!((gap.as_f64().unwrap() - 2e-3).abs() < 1e-12, "a part that is not free stays: {gap}");
}
