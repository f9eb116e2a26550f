//! Ctrl-C, the system's request to end, and other maps than the one that was stopped.

use std::process::Stdio;
use std::time::{Duration, Instant};

use crate::program::{Ran, bellmouth, demo, file, run, text};
use crate::stage;
use crate::undisturbed::{
    JOURNAL, assert_undisturbed, files, map, points_kept, points_taken_over, resume, signal, wait_for,
};

#[test]
fn a_signal_keeps_the_points_says_how_to_go_on_and_leaves_an_older_map_alone() {
    for name in ["INT", "TERM"] {
        let folder = tempfile::tempdir().unwrap();
        for older in ["map.csv", "map.json"] {
            std::fs::write(folder.path().join(older), "of an earlier run").unwrap();
        }
        let mut child = map(folder.path(), &[]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        wait_for(folder.path(), 3, &mut child);
        signal(&child, name);
        let asked = Instant::now();
        let ran: Ran = child.wait_with_output().unwrap().into();
        assert!(asked.elapsed() < Duration::from_secs(10), "{name}: it took {:?}", asked.elapsed());
        assert_eq!(ran.code, Some(130), "{name}: {}", ran.stderr);
        assert!(ran.stderr.contains("of 12 points kept; `--resume` goes on"), "{name}: {}", ran.stderr);
        let found = files(folder.path());
        let names: Vec<&str> = found.keys().map(String::as_str).collect();
        assert_eq!(names, ["map.csv", "map.json", "map.partial.csv", "map.partial.json", JOURNAL]);
        assert_eq!(
            (&found["map.csv"][..], &found["map.json"][..]),
            (&b"of an earlier run"[..], &b"of an earlier run"[..])
        );
        let kept = points_kept(folder.path());
        assert_eq!(found["map.partial.csv"].iter().filter(|byte| **byte == b'\n').count(), kept + 1);
        let ran = resume(folder.path());
        assert_eq!(points_taken_over(&ran), kept);
        assert_undisturbed(folder.path(), &ran);
    }
    stage("signals", "INT and TERM kept all finished points, exit code 130, same bytes after going on");
}

/// One point, then many runs of its steps in which the first request must wait for those in flight.
#[test]
fn a_second_ctrl_c_leaves_at_once_and_the_map_goes_on_all_the_same() {
    let folder = tempfile::tempdir().unwrap();
    let (setup, out) = (demo(), text(folder.path()));
    let words = ["map", &setup, "--out", &out, "--throttle", "1", "--rpm", "1500", "--cell-size", "3 mm", "--steps"];
    let mut child = bellmouth(&words).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
    wait_for(folder.path(), 1, &mut child);
    std::thread::sleep(Duration::from_millis(300));
    signal(&child, "INT");
    std::thread::sleep(Duration::from_millis(200));
    signal(&child, "INT");
    let asked = Instant::now();
    let ran: Ran = child.wait_with_output().unwrap().into();
    assert_eq!(ran.code, Some(130), "{}", ran.stderr);
    assert!(asked.elapsed() < Duration::from_secs(5), "it took {:?}", asked.elapsed());
    // After one request the runs in flight are waited for, then the map of the finished point is written.
    assert!(!folder.path().join("map.csv").exists(), "it did not leave at once: {}", ran.stderr);
    assert_eq!(points_kept(folder.path()), 1, "the point stays");
    let ran = run(&[&words[..words.len() - 1], &["--resume", "--require", "0"]].concat());
    assert_eq!((ran.code, points_taken_over(&ran)), (Some(0), 1), "{}", ran.stderr);
}

/// A map of the template that was stopped, and what it says to `--resume` with other words.
#[test]
fn going_on_with_another_map_is_refused_and_says_what_differs() {
    let folder = tempfile::tempdir().unwrap();
    let mut child = map(folder.path(), &[]).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
    wait_for(folder.path(), 2, &mut child);
    child.kill().unwrap();
    child.wait().unwrap();
    let before = files(folder.path())[JOURNAL].clone();
    let template = run(&["init"]).stdout;
    let (_kept, other) = file("other.toml", template.as_bytes());
    let (setup, other, out) = (demo(), text(&other), text(folder.path()));
    let grid = ["--throttle", "1/4, 1/2, 1", "--rpm", "5500 to 7000 by 500"];
    let cases: [(&str, &[&str], &str, &str); 4] = [
        (&setup, &grid[..2], "24 mm", "the grid differs"),
        (&setup, &grid, "10 mm", "were 24 mm and 0.9, now 10 mm and 0.9"),
        (&other, &grid, "24 mm", "the set-up differs at `machine"),
        (&setup, &["--throttle", "1/4, 1/2, 1", "--rpm", "5500 to 6400 by 300"], "24 mm", "the grid differs"),
    ];
    for (setup, grid, cells, words) in cases {
        let ran = run(&[&["map", setup, "--out", &out, "--resume", "--cell-size", cells], grid].concat());
        let said = ran.stderr.split_whitespace().filter(|word| *word != "│").collect::<Vec<_>>().join(" ");
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{said}");
        assert!(said.contains(words) && said.contains("leave `--resume` out"), "no {words}: {said}");
        assert_eq!(files(folder.path())[JOURNAL], before, "the points stay");
    }
}
