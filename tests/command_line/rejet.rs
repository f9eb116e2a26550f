//! `rejet` says which parts to fit, in 80 columns or as JSON, and keeps the best when it is stopped.

use crate::program::{demo, file, run};

/// A grid and cells that are quick.
const TINY: [&str; 6] = ["--throttle", "1/4, 1", "--rpm", "6000", "--cell-size", "20 mm"];

fn rejet(more: &[&str]) -> crate::program::Ran {
    run(&[&["rejet", &demo()], &TINY[..], more].concat())
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
    let words = [&["rejet", demo.as_str()], &TINY[..4]].concat();
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
