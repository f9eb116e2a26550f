//! Well-formed values that no machine can have: each is refused, or flagged where it can just be. Common sense and the
//! arithmetic of the parts, no source.

use bellmouth::setup::{load_text, template};

/// What stands in the template, and what takes its place.
const CASES: [(&str, &str); 50] = [
    // the engine
    ("bore = \"88 mm\"", "bore = \"0 mm\""),
    ("bore = \"88 mm\"", "bore = \"880 mm\""),
    ("stroke = \"82 mm\"", "stroke = \"-82 mm\""),
    ("compression = \"9.0:1\"", "compression = \"0.9:1\""),
    ("compression = \"9.0:1\"", "compression = \"90:1\""),
    ("idle = \"1200 rpm\"", "idle = \"7200 rpm\""),
    ("highest = \"6500 rpm\"", "highest = \"650000 rpm\""),
    ("head = \"41 mm\"", "head = \"90 mm\""),
    ("head = \"41 mm\"", "head = \"60 mm\""),
    ("head = \"41 mm\"", "head = \"4.1 mm\""),
    ("lift = \"9.2 mm\"", "lift = \"92 mm\""),
    ("lift = \"9.2 mm\"", "lift = \"0 mm\""),
    ("check_lift = \"1 mm\"", "check_lift = \"12 mm\""),
    ("opens = \"12 deg before top\"", "opens = \"300 deg before top\""),
    ("closes = \"46 deg after bottom\"", "closes = \"246 deg after bottom\""),
    ("opens = \"46 deg before bottom\"", "opens = \"246 deg before bottom\""),
    ("count = 1 ", "count = 0 "),
    ("count = 1 ", "count = 40 "),
    ("length = \"60 mm\"", "length = \"0 mm\""),
    ("length = \"60 mm\"", "length = \"60 m\""),
    ("from = \"38 mm\"", "from = \"3.8 mm\""),
    ("length = \"100 mm\"", "length = \"-100 mm\""),
    // the carburettor
    ("\nmain_jet = { bore_number = 145 }", "\nmain_jet = { bore_number = 1450 }"),
    ("\nmain_jet = { bore_number = 145 }", "\nmain_jet = { bore_number = 400 }"),
    ("\nmain_jet = { bore_number = 145 }", "\nmain_jet = { bore_number = 0 }"),
    ("pilot_jet = { bore_number = 27.5 }", "pilot_jet = { bore_number = 275 }"),
    ("needle_jet = \"2.66 mm\"", "needle_jet = \"2.50 mm\""),
    ("needle_jet = \"2.66 mm\"", "needle_jet = \"26.6 mm\""),
    ("main_air_jet = \"1.4 mm\"", "main_air_jet = \"14 mm\""),
    ("pilot_outlet = \"0.95 mm\"", "pilot_outlet = \"38 mm\""),
    ("{ bore = \"0.8 mm\", ahead = \"1.5 mm\" }", "{ bore = \"0.8 mm\", ahead = \"-150 mm\" }"),
    ("{ bore = \"0.8 mm\", ahead = \"1.5 mm\" }", "{ bore = \"18 mm\", ahead = \"1.5 mm\" }"),
    ("cutaway = \"3.0 mm\"", "cutaway = \"39 mm\""),
    ("cutaway = \"3.0 mm\"", "cutaway = \"-3 mm\""),
    ("straight = \"2.54 mm\"", "straight = \"2.70 mm\""),
    ("taper = \"1.5 deg\"", "taper = \"15 deg\""),
    ("taper_starts = \"22 mm\"", "taper_starts = \"-22 mm\""),
    ("clip = 3", "clip = 7"),
    ("turns = \"1 1/2 turns\"", "turns = \"150 turns\""),
    ("level = \"12 mm\"", "level = \"-120 mm\""),
    ("diameter = \"48 mm\"", "diameter = \"24 mm\""),
    ("radius = \"5 mm\"", "radius = \"50 mm\""),
    // air and fuel
    ("altitude = \"640 m\"", "altitude = \"64 km\""),
    ("temperature = \"21 degC\"", "temperature = \"-300 degC\""),
    ("temperature = \"21 degC\"", "temperature = \"90 degC\""),
    ("humidity = \"50 %\"", "humidity = \"500 %\""),
    ("temperature = \"21 degC\"\nhumidity = \"50 %\"", "temperature = \"21 degC\"\npressure = \"1 kPa\""),
    ("density = \"745 kg/m3\"", "density = \"74.5 kg/m3\""),
    ("kind = \"petrol\"", "kind = \"ethanol\""),
    ("kind = \"petrol\"", "kind = \"blend\"\nethanol = \"70 %\"\nmethanol = \"70 %\""),
];

#[test]
fn what_cannot_be_is_refused_or_flagged() {
    let warned = load_text("template", template()).expect("the template").warnings.len();
    let mut silent = Vec::new();
    let mut refused = 0;
    for (old, new) in CASES {
        assert!(template().contains(old), "{old} is not in the template");
        match load_text("impossible.toml", &template().replacen(old, new, 1)) {
            Err(_) => refused += 1,
            Ok(read) if read.warnings.len() > warned => {}
            Ok(_) => silent.push(new),
        }
    }
    assert!(silent.is_empty(), "taken without a word: {silent:?}");
    assert!(refused >= 40, "only {refused} refused");
}
