//! What stands in front of the carburettor's mouth, and where the bowl is vented to.

use bellmouth::diagnostics::{Style, render};
use bellmouth::setup::{End, Setup, load_text, template};

fn setup(more: &str) -> Setup {
    let text = format!("{}\n{more}\n", template());
    load_text("more", &text).unwrap_or_else(|report| panic!("{report}")).value
}

#[track_caller]
fn near(got: f64, want: f64) {
    assert!((got - want).abs() <= 1e-9 * want.abs(), "got {got}, want {want}");
}

#[test]
fn without_a_word_the_mouth_draws_free_air() {
    assert_eq!(setup("").machine.air_box, None);
}

#[test]
fn an_empty_air_box_table_is_estimated_from_displacement_and_bore() {
    let s = setup("[air_box]");
    let part = s.machine.air_box.as_ref().expect("an air box");
    let swept = s.machine.engine.crank.swept_volume();
    near(part.volume, 6.0 * swept);
    assert_eq!(part.inlet.len(), 1);
    near(part.inlet[0].length, 0.060);
    near(part.inlet[0].diameter_start, s.machine.carburettor.slide.bore);
    near(part.inlet[0].diameter_end, s.machine.carburettor.slide.bore);
    near(part.inlet_loss, 0.5);
    near(part.end_corrections.0, 0.6133);
    near(part.end_corrections.1, 0.8217);
    let filter = part.filter.expect("a filter");
    near(filter.area * 1e4, 0.5 * swept * 1e6); // cm2 for each cc
    near(filter.drop, 200.0);
    assert!(!part.bowl_vented_inside);
    let key = |k: &str| s.estimates().filter(|p| p.key == k).count();
    for k in ["air_box.volume", "air_box.inlet.length", "air_box.inlet.diameter", "air_box.inlet.loss"] {
        assert_eq!(key(k), 1, "{k}");
    }
    for k in ["air_box.inlet.outer_correction", "air_box.inlet.inner_correction", "air_box.filter.area"] {
        assert_eq!(key(k), 1, "{k}");
    }
}

#[test]
fn an_air_box_is_built_as_measured() {
    let more = "[air_box]\nvolume = \"305 in3\"\n[air_box.inlet]\nlength = \"4 in\"\ndiameter = \"36 mm\"\nloss = 0.2\n\
                [air_box.filter]\narea = \"31 in2\"\ndrop = \"1 mbar\"";
    let part = setup(more).machine.air_box.expect("an air box");
    assert!((part.volume - 4.998e-3).abs() < 1e-6, "{}", part.volume); // 305 x 16.387 cm3
    near(part.inlet[0].length, 0.1016);
    near(part.inlet[0].diameter_end, 0.036);
    near(part.inlet_loss, 0.2);
    let filter = part.filter.expect("a filter");
    near(filter.area, 31.0 * 6.4516e-4);
    near(filter.drop, 100.0);
    near(filter.resistance(), 100.0 / (31.0 * 6.4516e-4));
}

#[test]
fn an_air_box_may_have_no_filter() {
    let s = setup("[air_box]\nfilter = \"none\"");
    assert_eq!(s.machine.air_box.expect("an air box").filter, None);
    assert!(s.provenance.iter().all(|p| !p.key.starts_with("air_box.filter.")));
}

#[test]
fn a_pod_filter_is_a_volume_whose_inlet_is_the_filter() {
    let part = setup("[pod_filter]\narea = \"150 cm2\"").machine.air_box.expect("a pod filter");
    assert!(part.inlet.is_empty());
    near(part.volume, 0.5e-3);
    let filter = part.filter.expect("a filter");
    near(filter.area, 0.015);
    near(filter.drop, 200.0);
}

#[test]
fn the_bowl_is_vented_where_the_file_says() {
    for (word, more, inside) in [
        ("free air", "", None),
        ("free air", "[air_box]", Some(false)),
        ("air box", "[air_box]", Some(true)),
        ("pod filter", "[pod_filter]", Some(true)),
        ("free air", "[pod_filter]", Some(false)),
    ] {
        let text = template().replacen("[carburettor.bowl]", &format!("[carburettor.bowl]\nvent = \"{word}\""), 1);
        let loaded = load_text("vent", &format!("{text}\n{more}\n")).unwrap_or_else(|report| panic!("{report}"));
        let vented = loaded.value.machine.air_box.map(|b| b.bowl_vented_inside);
        assert_eq!(vented, inside, "{word} {more}");
    }
}

#[test]
fn each_estimate_of_what_stands_in_front_can_be_moved_to_both_ends() {
    for (more, least) in [("[air_box]", 8), ("[pod_filter]", 3)] {
        let setup = setup(more);
        let table = more.trim_matches(['[', ']']);
        let estimates: Vec<_> = setup.estimates().filter(|p| p.key.starts_with(table)).collect();
        assert!(estimates.len() >= least, "{estimates:?}");
        for entry in estimates {
            let note = entry.estimate().expect("an estimate");
            for (end, wanted) in [(End::Low, note.low), (End::High, note.high)] {
                let moved = setup.with_estimate_at(&entry.key, end).unwrap_or_else(|report| panic!("{report}"));
                let there = (wanted - entry.value.expect("a value")).abs() <= 1e-12 * wanted.abs();
                assert!(there || moved.machine != setup.machine, "{}: nothing moves", entry.key);
            }
        }
    }
}

#[test]
fn the_remarks_of_the_template_about_it_load_without_their_marks() {
    let (_, lines) = template().split_once("# [air_box]\n").expect("the air box");
    let (air_box, rest) = lines.split_once("#\n# [pod_filter]").expect("the pod filter");
    let (pod_filter, _) = rest.split_once("\n\n").expect("an end");
    let bare = |lines: &str| -> String {
        let lines = lines.lines().filter(|line| !line.contains("only if there is none"));
        lines.map(|line| format!("{}\n", line.trim_start_matches("# "))).collect()
    };
    let part = setup(&format!("[air_box]\n{}", bare(air_box))).machine.air_box.expect("an air box");
    near(part.volume, 3e-3);
    near(part.inlet[0].length, 0.06);
    near(part.filter.expect("a filter").area, 0.025);
    let part = setup(&format!("[pod_filter]{}", bare(pod_filter))).machine.air_box.expect("a pod filter");
    near(part.volume, 0.5e-3);
    let none = setup("[air_box]\nvolume = \"3 L\"\nfilter = \"none\"").machine.air_box.expect("an air box");
    assert_eq!(none.filter, None);
}

#[test]
fn extreme_values_in_front_of_the_mouth_are_refused_or_give_a_finite_machine() {
    let tables = [
        ("air_box", "volume", ["L", "cc", "in3"]),
        ("air_box.inlet", "length", ["mm", "in", "m"]),
        ("air_box.inlet", "diameter", ["mm", "in", "m"]),
        ("air_box.inlet", "loss", ["", ":1", "mm"]),
        ("air_box.inlet", "outer_correction", ["", ":1", "mm"]),
        ("air_box.inlet", "wall", ["degC", "K", "degF"]),
        ("air_box.filter", "area", ["cm2", "mm2", "in2"]),
        ("air_box.filter", "drop", ["Pa", "kPa", "inH2O"]),
        ("pod_filter", "volume", ["L", "cc", "in3"]),
        ("pod_filter", "area", ["cm2", "mm2", "in2"]),
        ("pod_filter", "drop", ["Pa", "kPa", "inH2O"]),
    ];
    let extremes =
        ["0", "-0", "1e308", "-1e308", "1e-308", "", "1000", "0.001", "1/3", "nan", "inf", "38", "200", "17"];
    let (mut loaded, mut refused) = (0, 0);
    for (table, key, units) in tables {
        for (extreme, unit) in extremes.iter().flat_map(|e| units.map(|u| (e, u))) {
            let text = format!("{}\n[{table}]\n{key} = \"{extreme} {unit}\"\n", template());
            match load_text("extreme.toml", &text) {
                Ok(setup) => {
                    let json = serde_json::to_string(&setup.value.machine).expect("a machine");
                    assert!(!json.contains("null"), "not finite: {json}\n{table}.{key} = {extreme} {unit}");
                    loaded += 1;
                }
                Err(report) => {
                    let drawn = render(&report.problems, Style::plain());
                    assert!(report.errors() > 0 && drawn.lines().all(|l| l.chars().count() <= 80), "{drawn}");
                    refused += 1;
                }
            }
        }
    }
    assert!(loaded > 50 && refused > 200, "{loaded} {refused}");
}
