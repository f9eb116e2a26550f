//! Whatever is wrong at the edge ends with exit code 2, nothing on stdout, and words that help.

use crate::program::{demo, file, run, text};

/// Runs the words and expects a refusal that says `said`.
fn refused(words: &[&str], said: &str) {
    let ran = run(words);
    assert_eq!(ran.code, Some(2), "{words:?}: {}", ran.stderr);
    assert_eq!(ran.stdout, "", "{words:?}");
    assert!(ran.stderr.contains(said), "{words:?} should say {said:?} but says:\n{}", ran.stderr);
    assert!(!ran.stderr.contains("a bug in bellmouth"), "{words:?}: {}", ran.stderr);
}

#[test]
fn words_that_are_no_command_line_are_refused() {
    refused(&[], "Usage:");
    refused(&["map"], "<SETUP>");
    refused(&["check", "a.toml", "b.toml"], "unexpected argument");
    refused(&["init", "triple"], "single");
    refused(&["cycle", "a.toml", "--throttle", "1"], "--rpm <RPM>");
    refused(&["cycle", "a.toml", "--rpm", "3000"], "--throttle");
    refused(&["cycle", "a.toml", "--rpm", "3000", "--idle", "--throttle", "1"], "cannot be used with");
    refused(&["cycle", "a.toml"], "--throttle");
}

#[test]
fn a_near_miss_is_named() {
    refused(&["mapp", "a.toml"], "'map'");
    refused(&["map", "a.toml", "--thorttle", "1"], "'--throttle'");
    refused(&["map", "a.toml", "--jsn"], "'--json'");
}

#[test]
fn a_throttle_that_is_none_is_refused() {
    for (list, said) in [
        ("", "list is empty"),
        ("0", "above 0 (shut)"),
        ("-1/4", "above 0 (shut)"),
        ("1.5", "at most 1 (full)"),
        ("25", "did you mean `25 %`?"),
        ("half", "`12.5 %`"),
        ("nan", "`12.5 %`"),
        ("1/0", "`12.5 %`"),
        ("1/4,,1/2", "`12.5 %`"),
        ("1/2,50 %", "given twice"),
    ] {
        refused(&["map", "a.toml", "--throttle", list], said);
    }
    refused(&["cycle", "a.toml", "--rpm", "3000", "--throttle", "2"], "did you mean `2 %`?");
}

#[test]
fn a_speed_that_is_none_is_refused() {
    for (list, said) in [
        ("", "list is empty"),
        ("-3000", "from 100 to 30000 rpm"),
        ("0", "from 100 to 30000 rpm"),
        ("1e9", "from 100 to 30000 rpm"),
        ("inf", "from 100 to 30000 rpm"),
        ("fast", "not a speed in rpm"),
        ("3000,3000", "given twice"),
        ("5000 to 2000 by 500", "falls"),
        ("2000 to 5000", "needs its step"),
        ("2000 to 5000 by 0", "above 0 rpm"),
        ("100 to 30000 by 0.001", "more than 1000000 speeds"),
    ] {
        refused(&["map", "a.toml", "--rpm", list], said);
    }
    refused(&["cycle", "a.toml", "--idle", "--rpm", "-1200"], "from 100 to 30000 rpm");
}

#[test]
fn other_numbers_out_of_range_are_refused() {
    refused(&["map", "a.toml", "--threads", "0"], "--threads");
    refused(&["map", "a.toml", "--threads", "-1"], "--threads");
    refused(&["map", "a.toml", "--require", "1.5"], "from 0 to 1");
    refused(&["map", "a.toml", "--require", "most"], "--require");
    refused(&["map", "a.toml", "--cell-size", "5"], "mm");
    refused(&["map", "a.toml", "--cell-size", "0 mm"], "from 1 mm to 50 mm");
    refused(&["map", "a.toml", "--cell-size", "1 m"], "from 1 mm to 50 mm");
}

#[test]
fn a_standard_that_is_none_is_refused_with_those_there_are() {
    refused(&["map", "a.toml", "--correct", "din"], "sae_j1349, iso_1585");
    refused(&["cycle", "a.toml", "--rpm", "3000", "--throttle", "1", "--correct", "iso_1585"], "unexpected argument");
}

#[test]
fn a_courant_number_that_is_none_or_unstable_is_refused() {
    for (number, said) in [
        ("1.2", "a Courant number above 1 is unstable: "),
        ("0", "from 0.05 to 1, not `0`"),
        ("-0.5", "from 0.05 to 1, not `-0.5`"),
        ("fast", "as `0.5`"),
        ("nan", "as `0.5`"),
        ("0.8 mm", "as `0.5`"),
    ] {
        refused(&["map", "a.toml", "--courant", number], said);
        refused(&["cycle", "a.toml", "--rpm", "3000", "--throttle", "1", "--courant", number], said);
    }
}

#[test]
fn cells_too_long_for_the_ducts_are_refused_once_with_their_place_and_nothing_is_written() {
    // A spigot of 47 mm between the slide and a step to the boot.
    let template = run(&["init"]).stdout.replacen("from = \"38 mm\"", "from = \"40 mm\"", 1);
    let (folder, path) = file("mine.toml", template.as_bytes());
    let (mine, out) = (text(&path), text(&folder.path().join("out")));
    for words in [&["map"][..], &["cycle", "--rpm", "3000", "--throttle", "1"]] {
        let words = [words, &[&mine, "--cell-size", "50 mm", "--out", &out]].concat();
        refused(&words, "too short for 3 cells of");
        let said = run(&words).stderr;
        assert_eq!(said.matches("too short").count(), 1, "{said}");
        assert!(said.contains("mine.toml:") && said.contains("`--cell-size`"), "{said}");
        assert!(said.lines().all(|line| line.chars().count() <= 80), "{said}");
        assert!(!folder.path().join("out").exists());
    }
}

#[test]
fn a_part_too_short_for_the_usual_cells_is_taken_with_smaller_ones() {
    let spigot = "[carburettor.spigot]\nlength = \"6 mm\"";
    let template = run(&["init"]).stdout.replacen("[carburettor.spigot]\nlength = \"47 mm\"", spigot, 1);
    assert!(template.contains(spigot), "{template}");
    let (folder, path) = file("mine.toml", template.replacen("from = \"38 mm\"", "from = \"40 mm\"", 1).as_bytes());
    let (path, out) = (text(&path), text(&folder.path().join("out")));
    refused(&["check", &path], "the spigot is 6 mm long between two steps or ends");
    let words = ["cycle", &path, "--rpm", "7000", "--throttle", "1", "--out", &out];
    refused(&words, "of at most 5.0 mm");
    assert!(!folder.path().join("out").exists());
    let ran = run(&[&words[..], &["--cell-size", "4 mm"]].concat());
    assert!(matches!(ran.code, Some(0 | 1)), "{}", ran.stderr);
}

#[test]
fn a_grid_of_too_many_points_is_refused_before_anything_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let out = text(&folder.path().join("out"));
    refused(&["map", &demo(), "--rpm", "1000 to 7000 by 0.01", "--out", &out], "one map has at most 1000000");
    assert!(!folder.path().join("out").exists());
}

#[test]
fn a_set_up_that_is_no_readable_file_is_refused_by_every_command() {
    let folder = tempfile::tempdir().unwrap();
    for path in [folder.path().to_path_buf(), folder.path().join("missing.toml")] {
        let path = text(&path);
        refused(&["check", &path], &path[path.len() - 4..]);
        refused(&["map", &path], &path[path.len() - 4..]);
        refused(&["cycle", &path, "--rpm", "3000", "--throttle", "1"], &path[path.len() - 4..]);
    }
}

#[cfg(unix)]
#[test]
fn a_device_is_no_set_up() {
    refused(&["check", "/dev/zero"], "/dev/zero");
}

#[test]
fn a_set_up_that_is_not_one_is_refused_with_its_name() {
    let no_utf8 = [0xff_u8, 0xfe, 0x00, 0x41];
    let cases: [&[u8]; 4] = [b"", b"bore = ", &no_utf8, b"[engine]\nbore = \"84 mm\"\n"];
    for content in cases {
        let (_folder, path) = file("mine.toml", content);
        refused(&["check", &text(&path)], "mine.toml");
    }
}

#[test]
fn a_bare_number_is_refused_with_the_units_that_would_do() {
    let template = run(&["init"]).stdout;
    let quoted = template.lines().find(|line| line.starts_with("bore = \"") && line.contains(" mm\"")).unwrap();
    let (key, value) = quoted.split_once('=').unwrap();
    let number = value.trim().trim_start_matches('"').split_once(" mm").unwrap().0;
    let bare = template.replacen(quoted, &format!("{key}= {number}"), 1);
    assert!(number.parse::<f64>().is_ok(), "{number} is no number");
    let (_folder, path) = file("mine.toml", bare.as_bytes());
    refused(&["check", &text(&path)], "mm");
}

#[test]
fn a_road_speed_that_is_none_or_cannot_be_held_is_refused_before_the_map() {
    let folder = tempfile::tempdir().unwrap();
    let out = text(&folder.path().join("out"));
    let map = |more: &[&str], said: &str| refused(&[&["map", &demo(), "--out", &out], more].concat(), said);
    map(&["--speed", "60"], "as `60 mph`");
    map(&["--speed", "60 mm"], "is a unit of length");
    map(&["--speed", "-5 mph"], "from 2 to 540 km/h");
    map(&["--speed", "9000 km/h"], "from 2 to 540 km/h");
    map(&["--gear", "2"], "--speed <SPEED>");
    map(&["--speed", "60 mph", "--gear", "0"], "`--gear 1`");
    map(&["--speed", "60 mph", "--gear", "7"], "gear 1 to 4");
    map(&["--speed", "60 mph", "--gear", "1"], "up to 31 mph (49 km/h) in this gear");
    map(&["--speed", "10 km/h", "--gear", "3"], "from 17 km/h (11 mph) in this gear");
    map(&["--speed", "75 mph", "--cell-size", "20 mm"], "in gear 4 at full throttle");
    let (_mine, bare) = file("mine.toml", run(&["init"]).stdout.as_bytes());
    refused(&["map", &text(&bare), "--speed", "60 mph", "--out", &out], "add a table [road]");
    assert!(!folder.path().join("out").exists());
}
