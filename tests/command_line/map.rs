//! `map` writes its files, the same bytes on any number of threads, and keeps what is finished.

use std::path::Path;

use crate::program::{Ran, bellmouth, demo, files_in, run, text};

/// A grid that is quick: high speeds cost least.
const TINY: [&str; 4] = ["--throttle", "1/2, 1", "--rpm", "5000, 6000"];

fn tiny_map(out: &Path, more: &[&str]) -> Ran {
    run(&[&["map", &demo(), "--out", &text(out)], &TINY[..], more].concat())
}

#[test]
fn a_map_writes_exactly_the_named_files_the_same_on_any_number_of_threads() {
    let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let ran = tiny_map(one.path(), &["--threads", "1", "--require", "0"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let names = files_in(one.path());
    assert!(names.contains(&"map.csv".to_owned()) && names.contains(&"map.json".to_owned()), "{names:?}");
    for name in &names {
        let known = name == "map.csv" || name == "map.json" || name.ends_with(".png");
        assert!(known, "{name} was left in the folder");
        assert!(ran.stderr.contains(name.as_str()) || ran.stdout.contains(name.as_str()), "{name} is not named");
    }
    tiny_map(two.path(), &["--threads", "2", "--require", "0"]);
    assert_eq!(files_in(two.path()), names);
    for name in &names {
        let read = |folder: &Path| std::fs::read(folder.join(name)).unwrap();
        assert!(read(one.path()) == read(two.path()), "{name} differs between one thread and two");
    }
    let csv = std::fs::read_to_string(one.path().join("map.csv")).unwrap();
    assert_eq!(csv.lines().count(), 5, "a head line and four points");
    assert!(csv.starts_with(
        "throttle,rpm,afr,lambda,afr_metered,ve,torque_nm,power_kw,air_g_s,fuel_g_s,fuel_pilot_g_s,fuel_main_g_s,\
         fuel_starter_g_s,standoff_g_s,nozzle_depression_pa,manifold_pa,residual,cycles,converged"
    ));
}

#[test]
fn steps_add_their_files_and_tables_and_nothing_else() {
    let (bare, with) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let words = |out: &Path| {
        let out = text(out);
        let words = ["map", &demo(), "--throttle", "1/2, 1", "--rpm", "6000", "--cell-size", "20 mm", "--out", &out];
        words.map(str::to_owned).to_vec()
    };
    let go = |words: Vec<String>| run(&words.iter().map(String::as_str).collect::<Vec<_>>());
    let plain = go(words(bare.path()));
    let ran = go([words(with.path()), vec!["--steps".to_owned()]].concat());
    assert_eq!((plain.code, ran.code), (Some(0), Some(0)), "{}", ran.stderr);
    let more: Vec<String> = files_in(with.path()).into_iter().filter(|f| !files_in(bare.path()).contains(f)).collect();
    assert_eq!(more, ["bypass_holes.png", "hand_over.png", "steps.csv", "who_is_in_charge.png"]);
    let read = |name: &str, folder: &Path| std::fs::read(folder.join(name)).unwrap();
    assert!(read("map.csv", bare.path()) == read("map.csv", with.path()), "the map itself stays");
    let csv = std::fs::read_to_string(with.path().join("steps.csv")).unwrap();
    assert_eq!(csv.lines().count(), 1 + 2 * 11, "a head line and a row for each part at each point");
    assert!(ran.stdout.contains("What one step does at 6000 rpm") && !plain.stdout.contains("one step"));
    assert!(ran.stderr.contains("what one step of each part does at 6000 rpm: 51 runs"), "{}", ran.stderr);
    let map: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(with.path().join("map.json")).unwrap()).unwrap();
    assert_eq!(map["steps"]["points"][1]["parts"][8]["part"], "main_jet");
    let main = map["steps"]["points"][1]["parts"][8]["mixture"]["per_step"].as_f64().unwrap();
    assert!(main > 2.0 && main < 4.0, "a main jet step at full throttle: {main} %");
}

#[test]
fn a_map_as_json_prints_what_its_file_holds() {
    let folder = tempfile::tempdir().unwrap();
    let ran = tiny_map(folder.path(), &["--json", "--require", "0"]);
    let printed: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    let filed = std::fs::read_to_string(folder.path().join("map.json")).unwrap();
    assert_eq!(printed, serde_json::from_str::<serde_json::Value>(&filed).unwrap());
    assert_eq!((&printed["schema"], &printed["interrupted"]), (&1.into(), &false.into()));
    assert_eq!(printed["points"].as_array().unwrap().len(), 4);
}

#[test]
fn power_is_corrected_by_the_factor_that_is_printed_or_refused_with_it() {
    let folder = tempfile::tempdir().unwrap();
    // 640 m is too high for the standard: dry air of 92.6 kPa
    let ran = tiny_map(folder.path(), &["--correct", "sae_j1349"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
    let said = ran.stderr.split_whitespace().filter(|word| *word != "│").collect::<Vec<_>>().join(" ");
    for words in ["1.073", "92.6 kPa", "0.93 to 1.07", "SAE J1349", "[air]"] {
        assert!(said.contains(words), "no {words}: {said}");
    }
    assert_eq!(files_in(folder.path()).len(), 0, "nothing is written");
    let template = run(&["init"]).stdout.replacen("altitude = \"640 m\"", "altitude = \"100 m\"", 1);
    let (_kept, path) = crate::program::file("mine.toml", template.as_bytes());
    let (path, out) = (text(&path), text(folder.path()));
    let words = ["map", &path, "--throttle", "1", "--rpm", "6000", "--cell-size", "10 mm", "--out", &out];
    let ran = run(&[&words[..], &["--require", "0", "--correct", "iso_1585"]].concat());
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("corrected to ISO 1585"), "{}", ran.stdout);
    let csv = std::fs::read_to_string(folder.path().join("map.csv")).unwrap();
    let cells: Vec<Vec<&str>> = csv.lines().map(|line| line.split(',').collect()).collect();
    let of = |name: &str| cells[1][cells[0].iter().position(|head| *head == name).unwrap()].parse::<f64>().unwrap();
    let map = std::fs::read_to_string(folder.path().join("map.json")).unwrap();
    let factor = serde_json::from_str::<serde_json::Value>(&map).unwrap()["correction"]["factor"].as_f64().unwrap();
    assert!((factor - 1.0).abs() < 0.07 && (of("corrected_power_kw") / of("power_kw") - factor).abs() < 1e-12);
    assert!((of("corrected_torque_nm") / of("torque_nm") - factor).abs() < 1e-12);
}

#[test]
fn talk_in_a_pipe_has_no_escape_sequences_and_no_bar() {
    let folder = tempfile::tempdir().unwrap();
    let ran = tiny_map(folder.path(), &["--require", "0"]);
    assert!(!ran.stderr.contains(['\u{1b}', '\r']), "{}", ran.stderr);
    assert!(!ran.stdout.contains('\u{1b}'));
    assert!(ran.stderr.contains("4 points"), "{}", ran.stderr);
    assert!(ran.stderr.contains("bellmouth cycle"), "the next command is suggested: {}", ran.stderr);
}

#[test]
fn the_exit_code_agrees_with_the_share_of_converged_points() {
    for required in ["0", "0.5", "1.0"] {
        let folder = tempfile::tempdir().unwrap();
        let ran = tiny_map(folder.path(), &["--json", "--require", required]);
        let map: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
        let good = map["points"].as_array().unwrap().iter().filter(|point| point["converged"] == true).count();
        let enough = good as f64 / 4.0 >= required.parse().unwrap();
        assert_eq!(ran.code, Some(if enough { 0 } else { 1 }), "{good} of 4 converged, {required} required");
    }
}

/// The demonstration's whole grid takes long enough to be interrupted after its first point.
#[cfg(unix)]
#[test]
fn ctrl_c_keeps_finished_points_and_is_exit_code_130() {
    use std::process::{Command, Stdio};
    use std::time::{Duration, Instant};

    let folder = tempfile::tempdir().unwrap();
    let journal = folder.path().join("map.partial.jsonl");
    let words = ["map", &demo(), "--out", &text(folder.path()), "--threads", "1", "--rpm", "1500 to 7000 by 50"];
    let child = bellmouth(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let begun = Instant::now();
    while std::fs::read_to_string(&journal).unwrap_or_default().lines().count() < 3 {
        assert!(begun.elapsed() < Duration::from_secs(120), "no point was finished");
        std::thread::sleep(Duration::from_millis(20));
    }
    let kill = format!("kill -INT {}", child.id());
    assert!(Command::new("sh").args(["-c", &kill]).status().unwrap().success());
    let asked = Instant::now();
    let ran: Ran = child.wait_with_output().unwrap().into();
    assert_eq!(ran.code, Some(130), "{}", ran.stderr);
    assert!(asked.elapsed() < Duration::from_secs(3), "it took {:?} to leave", asked.elapsed());
    assert!(ran.stderr.contains("stopping, ") && ran.stderr.contains("points kept"), "{}", ran.stderr);
    let map = std::fs::read_to_string(folder.path().join("map.partial.json")).unwrap();
    let map: serde_json::Value = serde_json::from_str(&map).unwrap();
    assert_eq!(map["interrupted"], true);
    let points = map["points"].as_array().unwrap().len();
    assert!(points >= 2);
    let rows = std::fs::read_to_string(folder.path().join("map.partial.csv")).unwrap().lines().count();
    assert_eq!(rows, points + 1);
    assert!(journal.exists() && !folder.path().join("map.csv").exists(), "the map is not there, its points are");
}

#[test]
fn a_road_speed_adds_its_sentence_to_text_and_json() {
    let folder = tempfile::tempdir().unwrap();
    let out = text(folder.path());
    let grid = ["--throttle", "1/4, 3/8", "--rpm", "4200, 4400", "--cell-size", "20 mm", "--require", "0"];
    let ran = run(&[&["map", &demo(), "--out", &out, "--speed", "50 mph"], &grid[..]].concat());
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for said in ["At 50 mph (80 km/h) in gear 4 on a level road", "you are here: slide", "L/100 km", "mpg US"] {
        assert!(ran.stdout.contains(said), "no {said:?} in\n{}", ran.stdout);
    }
    assert!(files_in(folder.path()).contains(&"road_line.png".to_owned()));
    let json = std::fs::read_to_string(folder.path().join("map.json")).unwrap();
    let map: serde_json::Value = serde_json::from_str(&json).unwrap();
    let here = &map["road"]["here"][0];
    assert!(here["sentence"].as_str().unwrap().starts_with("At 50 mph"));
    let number = |v: &serde_json::Value| v.as_f64().unwrap();
    let (wanted, got) = (number(&here["point"]["wanted_nm"]), number(&here["point"]["point"]["torque_nm"]));
    assert!((got / wanted - 1.0).abs() <= 2.5e-3, "{got} against {wanted}");
    assert_eq!(map["road"]["lines"].as_array().unwrap().len(), 4);
}
