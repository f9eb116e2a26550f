//! `check` says what was given, what was estimated, and what to take care of.

use crate::program::{demo, file, run, text};

#[test]
fn check_fits_80_columns_without_escape_sequences() {
    let ran = run(&["check", &demo()]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    assert!(!ran.stdout.contains('\u{1b}'));
}

#[test]
fn check_gives_each_caution_once() {
    let said = run(&["check", &demo()]).stdout.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    for caution in
        ["vapour", "shut by itself", "damages engines", "public roads", "emissions law", "measure before you trust"]
    {
        assert_eq!(said.matches(caution).count(), 1, "{caution}");
    }
}

#[test]
fn check_as_json_is_one_object_with_its_schema() {
    let ran = run(&["check", &demo(), "--json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let value: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(value["schema"], 1);
}

#[test]
fn check_names_each_estimate_with_its_range_and_where_it_comes_from() {
    let value: serde_json::Value = serde_json::from_str(&run(&["check", &demo(), "--json"]).stdout).unwrap();
    let said = run(&["check", &demo()]).stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    let estimates = value["description"]["estimated"].as_array().unwrap();
    assert!(!estimates.is_empty());
    for estimate in estimates {
        let text = |value: &serde_json::Value| value.as_str().unwrap().split_whitespace().collect::<Vec<_>>().join(" ");
        let note = &estimate["origin"]["estimated"];
        let (low, high) = (text(&note["low_shown"]), text(&note["high_shown"]));
        let (key, shown) = (text(&estimate["key"]), text(&estimate["shown"]));
        // A range without width says nothing, so the rule follows the value at once.
        let range =
            if low == high { format!("{key}: {shown} {}", text(&note["rule"])) } else { format!("({low} to {high})") };
        for part in [key, shown, range, text(&note["source"])] {
            assert!(said.contains(&part), "{part}");
        }
    }
}

#[test]
fn check_shows_an_air_box_given_estimated_and_what_follows() {
    let set_up = run(&["init"]).stdout + "\n[air_box]\nvolume = \"4 L\"\n";
    let (_folder, path) = file("boxed.toml", set_up.as_bytes());
    let ran = run(&["check", &text(&path)]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for said in
        ["air_box.volume: 4 L", "air_box.inlet.length: 60 mm", "air box over displacement: 8.02", "the filter takes"]
    {
        assert!(ran.stdout.contains(said), "{said}: {}", ran.stdout);
    }
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 80), "{}", ran.stdout);
}

/// What `check` prints for the template with another main jet.
fn checked(jet: &str) -> String {
    let line = "main_jet = { bore_number = 145 }\npilot";
    let set_up = run(&["init"]).stdout.replacen(line, &format!("main_jet = {jet}\npilot"), 1);
    let (_folder, path) = file("tested.toml", set_up.as_bytes());
    let ran = run(&["check", &text(&path)]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 80), "{}", ran.stdout);
    ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn check_says_which_family_the_number_of_a_tested_jet_belongs_to() {
    // a hole of 1.50 mm passes 225 cc/min at 0.36 m of petrol, one of 1.22 mm 150 (computed, coefficient 0.8)
    let test = |volume: u32, more: &str| {
        format!("{{ stamp = 150, volume = \"{volume} ml\", time = \"60 s\", head = \"360 mm\"{more} }}")
    };
    for (jet, said) in [
        (test(225, ""), "so the number is the bore"),
        (test(150, ""), "so the number is a flow"),
        (test(150, ", liquid = \"water\""), "cc/min of water at 20 degC under 360 mm"),
        (test(320, ""), "wider than both: worn, reamed, or the number of another system"),
        (test(190, ""), "a flow at a head of about 2"),
        (test(60, ""), "narrower than both: blocked in part"),
    ] {
        let out = checked(&jet);
        assert!(out.contains("Jets tested at home main jet: ") && out.contains(said), "{jet}: {out}");
        assert!(out.contains("stamped 150: as hundredths of a millimetre 1.500 mm"), "{out}");
    }
    assert!(!checked("{ bore_number = 145 }").contains("tested at home"));
}

#[test]
fn check_shows_the_fuel_and_what_follows_from_it() {
    let line = "kind = \"petrol\"\ndensity = \"745 kg/m3\"";
    let set_up = run(&["init"]).stdout;
    assert!(set_up.contains(line));
    let (_folder, path) = file("fuel.toml", set_up.replacen(line, "kind = \"E85\"\n#", 1).as_bytes());
    let ran = run(&["check", &text(&path)]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    for said in ["fuel.kind: E85", "air-fuel ratio of lambda 1: 9.8", "viscosity of the fuel in the bowl: 1."] {
        assert!(ran.stdout.contains(said), "{said}: {}", ran.stdout);
    }
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 80), "{}", ran.stdout);
}

#[test]
fn check_says_what_the_accelerator_pump_gives_and_for_how_long() {
    // Common practice, no source: 2 to 6 cc for ten strokes, 0.3 to 1 s; the estimates lie in the middle.
    let plain = run(&["init"]).stdout;
    let set_up = plain
        .replace("[carburettor.bowl]\n", "[carburettor.pump]\nleak_jet = { bore_number = 40 }\n\n[carburettor.bowl]\n");
    assert_ne!(set_up, plain);
    let (_folder, path) = file("pump.toml", set_up.as_bytes());
    let ran = run(&["check", &text(&path)]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let said = ran.stdout.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in ["ten strokes give", "cc, a squirt of", "leak jet's share", "pump nozzle 0.450"] {
        assert!(said.contains(part), "{part}: {}", ran.stdout);
    }
    assert!(ran.stdout.lines().all(|line| line.chars().count() <= 80), "{}", ran.stdout);
    let json = run(&["check", &text(&path), "--json"]).stdout;
    let value: serde_json::Value = serde_json::from_str(&json).unwrap();
    let ten = value["pump"]["ten_strokes"].as_f64().unwrap();
    assert!((1e-6..6e-6).contains(&ten), "{ten}");
    assert_eq!(value["pump"]["squirts"].as_array().unwrap().len(), 3);
    let (_folder, path) = file("plain.toml", plain.as_bytes());
    let without = run(&["check", &text(&path)]).stdout;
    assert!(!without.contains("Accelerator pump"));
}
