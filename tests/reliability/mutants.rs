//! Ten thousand mutants of the sample set-ups: each loads or says why, none panics, none takes long.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use bellmouth::diagnostics::{Report, Style, Warned, clean, render};
use bellmouth::setup::{Setup, load, load_text};

use crate::{Dice, stage};

/// Mutants of all samples together; `BELLMOUTH_MUTANTS` asks for another number.
const MUTANTS: usize = 10_000;
/// What is put into the text.
const BITS: [&str; 34] = [
    "\"",
    "[",
    "]",
    "{",
    "}",
    "=",
    ".",
    ",",
    "\n",
    "-",
    "+",
    "9",
    "e",
    "mm",
    "deg",
    "\u{1b}",
    "\u{202e}",
    "é",
    " ",
    "#",
    "'",
    "nan",
    "inf",
    "0",
    "1e308",
    "-1",
    "1e-308",
    "1/3",
    "[engine]\n",
    "true",
    "engine = \"mutant.toml\"\n",
    "\0",
    "\t",
    "\r",
];

/// Every set-up of the repository, the faulty ones too.
fn samples() -> Vec<Vec<u8>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut found = Vec::new();
    for folder in ["scenarios", "scenarios/engines", "tests/trade", "tests/setup/bad"] {
        let mut paths: Vec<PathBuf> =
            root.join(folder).read_dir().unwrap().map(|entry| entry.unwrap().path()).collect();
        paths.sort();
        let files = paths.into_iter().filter(|path| path.extension().is_some_and(|kind| kind == "toml"));
        found.extend(files.map(|path| std::fs::read(path).unwrap()));
    }
    found.push(bellmouth::setup::template().as_bytes().to_vec());
    assert!(found.len() > 40, "{}", found.len());
    found
}

/// One to five changes of any kind.
fn mutate(mut text: Vec<u8>, dice: &mut Dice) -> Vec<u8> {
    for _ in 0..=dice.roll(5) {
        let at = dice.roll(text.len() + 1);
        let lines =
            |text: &[u8]| -> Vec<Vec<u8>> { text.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect() };
        match dice.roll(8) {
            0..=2 => {
                let until = (at + dice.roll(5)).min(text.len());
                text.splice(at..until, BITS[dice.roll(BITS.len())].bytes());
            }
            3 if !text.is_empty() => {
                let at = at.min(text.len() - 1);
                text[at] ^= 1 << dice.roll(8);
            }
            4 => {
                // a number in place of a number
                let digit = (at..text.len()).find(|i| text[*i].is_ascii_digit());
                if let Some(from) = digit {
                    let until = (from..text.len()).find(|i| !text[*i].is_ascii_digit() && text[*i] != b'.');
                    text.splice(from..until.unwrap_or(text.len()), BITS[20 + dice.roll(8)].bytes());
                }
            }
            5 => {
                let mut lines = lines(&text);
                if !lines.is_empty() {
                    lines.remove(dice.roll(lines.len()));
                }
                text = lines.concat();
            }
            6 => {
                let mut lines = lines(&text);
                if !lines.is_empty() {
                    let line = lines[dice.roll(lines.len())].clone();
                    lines.insert(dice.roll(lines.len()), line);
                }
                text = lines.concat();
            }
            _ if dice.roll(20) == 0 => text.truncate(at),
            _ => {}
        }
    }
    text
}

fn drawn(report: &Report) {
    let text = render(&report.problems, Style::plain());
    assert!(text.len() < 64 * 1024, "{} bytes of report", text.len());
    assert!(!text.chars().any(|c| c != '\n' && clean::hides(c)), "raw control character in {text:?}");
}

#[test]
fn mutants_of_every_sample_load_or_say_why_in_a_moment() {
    let samples = samples();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut dice = Dice(1);
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("mutant.toml");
    // The files that the samples name lie beside them.
    for parts in ["scenarios/engines", "tests/setup/bad/parts"] {
        let to = folder.path().join(Path::new(parts).file_name().unwrap());
        std::fs::create_dir(&to).unwrap();
        for entry in root.join(parts).read_dir().unwrap().map(|entry| entry.unwrap()).filter(|e| e.path().is_file()) {
            std::fs::copy(entry.path(), to.join(entry.file_name())).unwrap();
        }
    }
    let many = std::env::var("BELLMOUTH_MUTANTS").ok().and_then(|text| text.parse().ok()).unwrap_or(MUTANTS);
    let loads = |sample: &&Vec<u8>| {
        std::fs::write(&path, sample).unwrap();
        load(&path, None).is_ok()
    };
    let sound: Vec<Vec<u8>> = samples.iter().filter(loads).cloned().collect();
    assert!(sound.len() >= 5, "{}", sound.len());
    let (mut loaded, mut slowest, mut finds) = (0, Duration::ZERO, Vec::new());
    for which in 0..many {
        // Every second one of a sample that loads.
        let sample = if which % 2 == 0 { &sound[which / 2 % sound.len()] } else { &samples[which / 2 % samples.len()] };
        let mutant = mutate(sample.clone(), &mut dice);
        std::fs::write(&path, &mutant).unwrap();
        let begun = Instant::now();
        match catch_unwind(AssertUnwindSafe(|| takes(&load(&path, None)))) {
            Ok(taken) => loaded += usize::from(taken),
            Err(_) => finds.push(String::from_utf8_lossy(&mutant).into_owned()),
        }
        slowest = slowest.max(begun.elapsed());
    }
    assert!(finds.is_empty(), "{} of {many} mutants found something; the first:\n{}", finds.len(), finds[0]);
    assert!(slowest < Duration::from_secs(1), "{slowest:?}");
    assert!(loaded * 20 > many, "{loaded}");
    let ms = slowest.as_secs_f64() * 1e3;
    let samples = samples.len();
    stage("mutants", &format!("{many} of {samples} set-ups, {loaded} loaded; 0 panics, slowest {ms:.0} ms of 1000"));
}

/// A line that is left out, or has a value of a wrong kind, leaves the checks after it without their number.
#[test]
fn each_line_of_a_sample_left_out_or_of_a_wrong_kind_loads_or_says_why() {
    for sample in [
        bellmouth::setup::template(),
        include_str!("../trade/single_650.toml"),
        include_str!("../trade/single_400_vacuum_piston.toml"),
    ] {
        let lines: Vec<&str> = sample.lines().collect();
        for at in (0..lines.len()).filter(|at| !lines[*at].starts_with('#') && !lines[*at].is_empty()) {
            let key = lines[at].split(" = ").next().unwrap();
            for new in [String::new(), format!("{key} = true"), format!("{key} = []"), format!("{key} = \"-1 kg\"")] {
                let mut text = lines.clone();
                text[at] = &new;
                takes(&load_text("line.toml", &text.join("\n")));
            }
        }
    }
}

/// Whether it loads; it is finite then, and what is said can be drawn.
fn takes(read: &Result<Warned<Setup>, Report>) -> bool {
    match read {
        Ok(read) => {
            let machine = format!("{:?}", read.value.machine);
            let senseless = [" NaN", " inf", "-inf", "[NaN", "[inf", "(NaN", "(inf"];
            assert!(!senseless.iter().any(|word| machine.contains(word)), "{machine}");
            if !read.warnings.is_empty() {
                drawn(&Report { problems: read.warnings.clone() });
            }
            true
        }
        Err(report) => {
            assert!(report.errors() > 0, "refused without an error");
            drawn(report);
            false
        }
    }
}
