//! Files that are no set-ups at all: none of them panics, hangs or reaches the terminal raw.

use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

use bellmouth::diagnostics::{Place, Problem, Report, Source, Style, clean, render};
use bellmouth::setup::limits::{LARGEST_FILE, LONGEST_LINE};
use bellmouth::setup::{load, load_text};

/// Loads bytes from a file and gives the drawn report; panics if they load.
fn refused(bytes: &[u8]) -> String {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("set-up.toml");
    fs::write(&path, bytes).expect("a written file");
    drawn(&load(&path, None).expect_err("a refusal"))
}

fn drawn(report: &Report) -> String {
    let text = render(&report.problems, Style::plain());
    assert!(text.len() < 64 * 1024, "{} bytes of report", text.len());
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "too wide: {line}");
    }
    assert!(!text.chars().any(|c| c != '\n' && clean::hides(c)), "raw control character in {text:?}");
    text
}

#[test]
fn an_empty_file_says_what_is_missing() {
    let text = refused(b"");
    assert!(text.contains("`engine` is missing") && text.contains("`carburettor` is missing"), "{text}");
}

#[test]
fn a_file_of_only_a_byte_order_mark_reads_as_empty() {
    let text = refused(b"\xef\xbb\xbf");
    assert!(text.contains("`engine` is missing") && text.contains("`carburettor` is missing"), "{text}");
    let text = refused(b"\xef\xbb\xbfnmae = 1\n");
    assert!(text.contains("set-up.toml:1:1]") && text.contains("unknown key `nmae`"), "{text}");
}

#[test]
fn utf_16_and_latin_1_ask_for_utf_8() {
    let wide: Vec<u8> = "\u{feff}name = \"x\"".encode_utf16().flat_map(u16::to_le_bytes).collect();
    assert!(refused(&wide).contains("UTF-16"));
    let text = refused(b"name = \"x\"\n# Vergaser f\xfcr 38 mm\n");
    assert!(text.contains("not UTF-8 text, from line 2 on"), "{text}");
}

#[test]
fn binary_files_are_not_text() {
    assert!(refused(b"\x7fELF\0\0\0\0").contains("is not a text file"));
}

#[test]
fn line_ends_of_the_other_system_load() {
    let text = bellmouth::setup::template().replace('\n', "\r\n");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("crlf.toml");
    fs::write(&path, text).expect("a written file");
    let with = load(&path, None).expect("a set-up");
    let without = load_text("lf.toml", bellmouth::setup::template()).expect("a set-up");
    assert_eq!(with.value.machine, without.value.machine);
}

#[test]
fn too_large_a_file_is_refused_by_its_size() {
    let limit = usize::try_from(LARGEST_FILE).expect("a size");
    let line = format!("# {}\n", "x".repeat(98));
    let text = line.repeat(limit / line.len() + 1);
    assert!(refused(text.as_bytes()).contains("is too large"));
    let fits = line.repeat(limit / line.len());
    assert!(refused(fits.as_bytes()).contains("`engine` is missing"));
}

#[test]
fn too_long_a_line_is_refused_before_it_is_drawn() {
    let text = refused(format!("name = \"{}\"\n", "x".repeat(LONGEST_LINE)).as_bytes());
    assert!(text.contains("a line is too long") && text.contains("at most 4096 bytes"), "{text}");
    let text = refused(format!("nome = \"{}\"\n", "x".repeat(LONGEST_LINE - 20)).as_bytes());
    assert!(text.contains("unknown key `nome`"), "{text}");
}

#[test]
fn control_and_bidirectional_characters_never_reach_the_terminal() {
    // drawn() looks for them
    refused(b"name = \"a\x1b[2Jb\"\n");
    refused("name = \"a\u{202e}b\" # \u{2066}\nbore\u{200b} = 1\n".as_bytes());
    let text = refused(b"name = \"\\u001b[31mred\"\n\"\\u001b[2J\" = 1\nfuel.kind = \"\\u009b2J\"\n");
    assert!(text.contains("`name` cannot be used"), "{text}");
}

#[test]
fn cleaning_keeps_each_byte_in_its_place() {
    let text = "a\u{1b}b\u{202e}c\u{9b}d\u{feff}é\r\n\t\u{e0041}";
    let cleaned = clean::clean(text);
    assert_eq!(cleaned.len(), text.len());
    assert_eq!(cleaned, "a?b???c??d???é \n\t????");
}

#[test]
fn folders_and_devices_are_refused_without_waiting() {
    let start = Instant::now();
    let folder = tempfile::tempdir().expect("a folder");
    assert!(drawn(&load(folder.path(), None).expect_err("a refusal")).contains("it is a folder"));
    assert!(drawn(&load(Path::new("nowhere/at all.toml"), None).expect_err("a refusal")).contains("no such file"));
    #[cfg(unix)]
    {
        let pipe = folder.path().join("pipe.toml");
        let made = std::process::Command::new("mkfifo").arg(&pipe).status().expect("mkfifo");
        assert!(made.success());
        for path in [pipe.as_path(), Path::new("/dev/zero"), Path::new("/dev/null")] {
            assert!(drawn(&load(path, None).expect_err("a refusal")).contains("not a regular file"));
        }
    }
    assert!(start.elapsed() < Duration::from_secs(5));
}

#[test]
fn hostile_shapes_are_refused_in_a_moment() {
    let shapes: Vec<(&str, String)> = vec![
        ("nested lists", format!("a = {}", "[".repeat(4000))),
        ("nested lists closed", format!("a = {}{}", "[".repeat(2000), "]".repeat(2000))),
        ("nested tables", format!("a = {}", "{b=".repeat(1300))),
        ("dotted key", format!("{}x = 1", "a.".repeat(2000))),
        ("many signs", format!("a = {}1", "+".repeat(4000))),
        ("many digits", format!("air_leak = {}", "9".repeat(4000))),
        ("many digits in a text", format!("air_leak = \"{} mm\"", "9".repeat(4000))),
        ("large exponent", "air_leak = \"1e99999999999 mm\"".into()),
        ("not a number", "air_leak = nan".into()),
        ("infinite", "air_leak = -inf".into()),
        ("largest", "air_leak = \"1e308 mm\"\nstandoff_loss = 1e308".into()),
        ("smallest", "standoff_loss = -1e-308".into()),
        ("nul", "a = \"\0\"".into()),
        ("many tables", (0..20_000).map(|i| format!("[t{i}]\n")).collect()),
        ("many keys", (0..20_000).map(|i| format!("k{i} = 1\n")).collect()),
        ("many mistakes", "= =\n".repeat(20_000)),
        ("many lists of tables", "[[engine]]\n".repeat(10_000)),
        ("long key", format!("{} = 1", "k".repeat(4000))),
        ("blanks", format!("a ={}1", " ".repeat(4000))),
        ("tabs", format!("{}a = 1", "\t".repeat(4000))),
        ("wide letters", format!("\"{}\" = 1", "漢".repeat(1000))),
        ("rows", format!("carburettor.needle.diameters = [\n{}]", "[1,2],\n".repeat(20_000))),
        ("a date", "name = 2026-11-25".into()),
        ("quotes", "name = '''x\n'''\nair_leak = \"\"\"1\nmm\"\"\"".into()),
    ];
    for (name, text) in shapes {
        let start = Instant::now();
        refused(text.as_bytes());
        let took = start.elapsed();
        assert!(took < Duration::from_secs(2), "{name} took {took:?}");
    }
}

#[test]
fn a_flood_of_errors_is_cut_and_counted() {
    let text: String = (0..50).map(|i| format!("strange{i} = 1\n")).collect();
    let drawn = refused(text.as_bytes());
    assert_eq!(drawn.matches("unknown key").count() + drawn.matches("is missing").count(), 20, "{drawn}");
    assert!(drawn.contains("and 32 more not shown"), "{drawn}");
}

#[test]
fn a_place_anywhere_in_any_text_can_be_drawn() {
    // each place of a text with wide, combining and missing characters, and places beyond its end
    let text = "a\r\n\tb = \"漢字 é\u{301}\"\n\n\u{202e}x";
    let source = Source::new("t.toml", text);
    for start in 0..text.len() + 3 {
        for length in [0, 1, 2, 7, 500] {
            let place = Place { source: source.clone(), span: start..start + length };
            let problem = Problem::error("somewhere").at(Some(place), "here").help("nothing");
            drawn(&Report::one(problem));
        }
    }
}

/// A small generator of numbers for the tests below: the multiplier and increment of Knuth's MMIX.
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        usize::try_from((self.0 >> 33) % sides as u64).expect("a small number")
    }
}

/// Loads a text; whatever it is, it gives a finite machine or a report that can be drawn.
fn loads_or_says_why(text: &str) -> bool {
    match load_text("mutant.toml", text) {
        Ok(loaded) => {
            let json = serde_json::to_string(&loaded.value.machine).expect("a machine");
            assert!(!json.contains("null"), "not finite: {json}\n{text}");
            drawn_if_any(&loaded.warnings);
            true
        }
        Err(report) => {
            assert!(report.errors() > 0, "refused without an error\n{text}");
            drawn(&report);
            false
        }
    }
}

fn drawn_if_any(warnings: &[Problem]) {
    if !warnings.is_empty() {
        drawn(&Report { problems: warnings.to_vec() });
    }
}

#[test]
fn mutants_of_the_template_load_or_say_why() {
    let bytes = [
        "\"", "[", "]", "{", "}", "=", ".", "\n", "-", "9", "e", "mm", "\u{1b}", "\u{202e}", "é", " ", "#", "'", "nan",
        "0",
    ];
    let mut dice = Dice(7);
    let mut loaded = 0;
    for _ in 0..3_000 {
        let mut text: Vec<char> = bellmouth::setup::template().chars().collect();
        for _ in 0..=dice.roll(4) {
            let at = dice.roll(text.len());
            let until = (at + dice.roll(4)).min(text.len());
            text.splice(at..until, bytes[dice.roll(bytes.len())].chars());
        }
        loaded += usize::from(loads_or_says_why(&text.iter().collect::<String>()));
    }
    // most of the template is remarks, so many mutants are sound; neither kind may be missing
    assert!(loaded > 300 && loaded < 2_900, "{loaded}");
}

#[test]
fn extreme_values_are_refused_or_give_a_finite_machine() {
    let extremes =
        ["0", "-0", "1e308", "-1e308", "1e-308", "", "1000", "0.001", "1/3", "nan", "inf", "38", "200", "17"];
    let template = bellmouth::setup::template();
    let mut loaded = 0;
    for (i, line) in template.lines().enumerate() {
        let Some((key, rest)) = line.split_once(" = \"").filter(|_| !line.starts_with('#')) else { continue };
        let Some((old, remark)) = rest.split_once('"') else { continue };
        let unit = old.trim_start_matches(|c: char| c.is_ascii_digit() || "./ -".contains(c));
        for extreme in extremes {
            let new = format!("{key} = \"{extreme} {unit}\"{remark}");
            let text: Vec<&str> =
                template.lines().enumerate().map(|(j, l)| if i == j { new.as_str() } else { l }).collect();
            loaded += usize::from(loads_or_says_why(&text.join("\n")));
        }
    }
    assert!(loaded > 20, "{loaded}");
}
