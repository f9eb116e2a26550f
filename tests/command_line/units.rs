//! `--units` and `--unit`: text in the user's units, files in SI, unknown words refused with what there is.

use crate::program::{demo, files_in, run, text};

#[test]
fn check_and_cycle_speak_us_units_or_a_single_one_and_files_stay_as_they_are() {
    let ran = run(&["check", &demo(), "--units", "us"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for said in ["lift in", "ring in2", "peak ft/s", "air lb/h"] {
        assert!(ran.stdout.contains(said), "no `{said}` in\n{}", ran.stdout);
    }
    assert!(ran.stdout.lines().all(|l| l.chars().count() <= 80));
    let folders = [tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap()];
    let go = |place: usize, more: &[&str]| {
        let out = text(folders[place].path());
        let words = ["cycle", &demo(), "--rpm", "6000", "--throttle", "1", "--cell-size", "20 mm", "--out", &out];
        run(&[&words[..], more].concat())
    };
    let metric = go(0, &[]);
    let mixed = go(1, &["--units", "us", "--unit", "power=PS", "--unit", "suction=hPa"]);
    assert_eq!((metric.code, mixed.code), (Some(0), Some(0)), "{}", mixed.stderr);
    for said in ["torque [lbf ft]", "power [PS]", "depression at the nozzle [hPa]", "exhaust [degF]", "slide lift [in]"]
    {
        assert!(mixed.stdout.contains(said), "no `{said}` in\n{}", mixed.stdout);
    }
    for said in ["torque [N m]", "power [kW]", "exhaust [degC]"] {
        assert!(metric.stdout.contains(said), "no `{said}` in\n{}", metric.stdout);
    }
    for name in files_in(folders[0].path()) {
        let [a, b] = [0, 1].map(|i| std::fs::read(folders[i].path().join(&name)).unwrap());
        assert_eq!(a == b, !name.ends_with(".png"), "{name}");
    }
}

#[test]
fn an_unknown_quantity_unit_or_system_is_refused_with_what_there_is() {
    for (words, said) in [
        (["--unit", "might=hp"], "speed, air_speed, power, torque"),
        (["--unit", "power=psi"], "kW, hp or PS"),
        (["--unit", "power"], "power=hp"),
        (["--units", "imperial"], "metric, us"),
    ] {
        let ran = run(&[&["check", &demo()], &words[..]].concat());
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{words:?}");
        let flat = ran.stderr.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(said), "{words:?}: {}", ran.stderr);
    }
}
