//! `rejet` says which parts to fit, in 80 columns or as JSON, and keeps the best when it is stopped.

use crate::program::{demo, file, run};

/// A grid and cells that are quick.
const TINY: [&str; 6] = ["--throttle", "1/4, 1", "--rpm", "6000", "--cell-size", "20 mm"];

fn rejet(more: &[&str]) -> crate::program::Ran {
    run(&[&["rejet", &demo(), "--skip-how-sure"], &TINY[..], more].concat())
}

#[test]
fn the_text_fits_80_columns_and_says_what_to_fit_and_to_order() {
    let ran = rejet(&["--free", "main,clip", "--card"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    for said in ["which parts to fit", "Order list, with one size each side", "What is left", "density law"] {
        assert!(ran.stdout.contains(said), "no `{said}` in\n{}", ran.stdout);
    }
    assert!(ran.stderr.contains("the map as fitted: 2 runs"), "{}", ran.stderr);
}

#[test]
fn json_has_all_and_is_the_same_on_any_number_of_threads_and_for_the_own_air() {
    let words = ["--free", "main", "--json", "--threads"];
    let one = rejet(&[&words[..], &["1"]].concat());
    let two = rejet(&[&words[..], &["2"]].concat());
    assert_eq!(one.code, Some(0), "{}", one.stderr);
    assert_eq!(one.stdout, two.stdout);
    let json: serde_json::Value = serde_json::from_str(&one.stdout).unwrap();
    assert_eq!((&json["schema"], &json["interrupted"], &json["settled"]), (&1.into(), &false.into(), &true.into()));
    assert!(json["misfit"]["after"].as_f64().unwrap() <= json["misfit"]["before"].as_f64().unwrap());
    let own: serde_json::Value =
        serde_json::from_str(&rejet(&["--free", "main", "--json", "--altitude", "640 m"]).stdout).unwrap();
    assert_eq!((&own["misfit"], &own["parts"]), (&json["misfit"], &json["parts"]));
}

#[test]
fn how_sure_the_order_list_is_stands_in_text_and_json() {
    let words = ["rejet", &demo(), "--throttle", "1", "--rpm", "6000", "--cell-size", "20 mm", "--free", "main"];
    let ran = run(&words);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80), "{}", ran.stdout);
    for said in ["How sure: of", "the five that say most", " at all these ends", "Measure next: "] {
        assert!(ran.stdout.contains(said), "no `{said}` in\n{}", ran.stdout);
    }
}

#[test]
fn a_range_without_a_wanted_mixture_is_refused_and_parts_that_say_nothing_stay() {
    let text = std::fs::read_to_string(demo()).unwrap().replace(
        "engine = \"engines/sidecar_499.toml\"",
        "engine = \"engines/sidecar_499.toml\"\ntargets = [{ from = \"3/4\", to = 1, rich = 0.85, lean = 0.9 }]",
    );
    let folder = tempfile::tempdir().unwrap();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    std::fs::create_dir(folder.path().join("engines")).unwrap();
    std::fs::copy(root.join("engines/sidecar_499.toml"), folder.path().join("engines/sidecar_499.toml")).unwrap();
    let path = folder.path().join("narrow.toml");
    std::fs::write(&path, text).unwrap();
    let ran = run(&[&["rejet", path.to_str().unwrap(), "--skip-how-sure"], &["--throttle", "1/4"][..]].concat());
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.contains("wants no mixture at any of these throttles"), "{}", ran.stderr);
    // at 1/16 the main jet has nothing to say, so none on sale helps
    let words = ["--skip-how-sure", "--throttle", "1/16", "--rpm", "6000", "--cell-size", "20 mm", "--free", "main"];
    let ran = run(&[&["rejet", &demo()], &words[..]].concat());
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("no change: nothing in stock is worth fitting"), "{}", ran.stdout);
    assert!(ran.stdout.contains("says little"), "{}", ran.stdout);
}

#[test]
fn a_jet_of_the_flow_family_keeps_its_numbers_in_list_and_card() {
    let text = std::fs::read_to_string(demo()).unwrap();
    let line = text.lines().find(|l| l.starts_with("main_jet")).unwrap();
    let text = text.replace(line, "main_jet = { flow = \"150 cc/min\", head = \"360 mm\" }");
    let folder = tempfile::tempdir().unwrap();
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    std::fs::create_dir(folder.path().join("engines")).unwrap();
    std::fs::copy(root.join("engines/sidecar_499.toml"), folder.path().join("engines/sidecar_499.toml")).unwrap();
    let path = folder.path().join("flow.toml");
    std::fs::write(&path, text).unwrap();
    let words =
        ["--skip-how-sure", "--throttle", "1", "--rpm", "6000", "--cell-size", "20 mm", "--free", "main", "--card"];
    let ran = run(&[&["rejet", path.to_str().unwrap()], &words[..]].concat());
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("exact number in cc/min") && ran.stdout.contains("150 cc/min"), "{}", ran.stdout);
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80), "{}", ran.stdout);
}

#[test]
fn bad_words_and_a_part_without_choice_are_refused() {
    for (words, said) in [
        (&["--free", "mane"][..], "is no part known here"),
        (&["--free", ""], "is no part known here"),
        (&["--free", "clip,clip"], "given twice"),
        (&["--altitude", "2000"], "needs a unit"),
        (&["--temperature", "500 degC"], "out of range"),
        (&["--fuel", "diesel"], "does not know the fuel"),
        (&["--free", "clip", "--card"], "about the main jet"),
    ] {
        let ran = rejet(words);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{words:?}");
        assert!(ran.stderr.contains(said), "{words:?}: {}", ran.stderr);
    }
    let text = bellmouth::setup::template().replace("pilot_air_jet", "# pilot_air_jet");
    let text = text.replacen("[carburettor]", "[carburettor]\npilot_air_jet = \"none\"", 1);
    let (_folder, path) = file("plugged.toml", text.as_bytes());
    let ran = run(&["rejet", path.to_str().unwrap(), "--free", "pilot_air_jet"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.stderr.contains("cannot be free"), "{}", ran.stderr);
}

#[cfg(unix)]
#[test]
fn ctrl_c_gives_the_best_so_far_and_exit_code_130() {
    use std::io::{BufRead, BufReader, Read};
    use std::process::{Command, Stdio};

    let demo = demo();
    let words = [&["rejet", demo.as_str(), "--skip-how-sure"], &TINY[..4]].concat();
    let mut child = crate::program::bellmouth(&words).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let mut lines = BufReader::new(child.stderr.take().unwrap()).lines();
    assert!(lines.any(|l| l.unwrap().starts_with("the map as fitted: ")), "no map as fitted");
    let kill = format!("kill -INT {}", child.id());
    assert!(Command::new("sh").args(["-c", &kill]).status().unwrap().success());
    let mut text = String::new();
    child.stdout.take().unwrap().read_to_string(&mut text).unwrap();
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert!(text.contains("interrupted: the best so far"), "{text}");
}
