//! Text output: no line too wide, no number cut, marks that mean what the legend says.

use bellmouth::report::number::{exact, per_cent, rounded};
use bellmouth::report::prose::wrapped;
use bellmouth::report::stdout::write_quietly;
use bellmouth::report::{cycle_text, map_text};

use super::synthetic;

fn widest(text: &str) -> usize {
    text.lines().map(|l| l.chars().count()).max().unwrap_or(0)
}

fn keep(name: &str, text: &str) {
    if let Some(folder) = std::env::var_os("BELLMOUTH_FIGURES") {
        std::fs::write(std::path::Path::new(&folder).join(name), text).unwrap();
    }
}

#[test]
fn a_map_on_paper_is_no_wider_than_80_columns_and_plain_characters() {
    let text = map_text(&synthetic::map());
    keep("map.txt", &text);
    assert!(widest(&text) <= 80, "{}", widest(&text));
    assert!(text.is_ascii());
    assert!(text.lines().all(|l| l == l.trim_end()));
}

#[test]
fn every_grid_and_value_keeps_the_width() {
    let mut map = synthetic::map();
    map.name = "one-long-word-".repeat(30);
    for p in &mut map.points {
        p.afr = Some(1e300);
        p.lambda = Some(1e300);
        p.note = Some("left bounds \u{1b}[31m\u{202e} ".repeat(20));
    }
    let text = map_text(&map);
    assert!(widest(&text) <= 80);
    assert!(!text.contains('\u{1b}') && !text.contains('\u{202e}'));
    let (odd, fast): (Vec<f64>, Vec<f64>) =
        ((1..40).map(|i| f64::from(i) / 41.3).collect(), (1..40).map(|i| f64::from(i) * 333.3).collect());
    for map in [synthetic::whole(&[], &[]), synthetic::whole(&[0.5], &[]), synthetic::whole(&odd, &fast)] {
        assert!(widest(&map_text(&map)) <= 80);
    }
}

#[test]
fn marks_in_the_table_agree_with_the_points() {
    let mut map = synthetic::whole(&[0.25, 1.0], &[2000.0, 3000.0, 4000.0]);
    let set = |p: &mut bellmouth::study::point::PointResult, lambda: f64| {
        p.lambda = Some(lambda);
        p.afr = Some(lambda * synthetic::STOICHIOMETRIC);
    };
    set(&mut map.points[0], 1.1);
    set(&mut map.points[1], 0.9);
    set(&mut map.points[2], 0.7);
    set(&mut map.points[3], 0.87);
    map.points[3].converged = false;
    map.points[4].afr = None;
    map.points[4].lambda = None;
    map.points.pop();
    let text = map_text(&map);
    let row = |name: &str| text.lines().find(|l| l.starts_with(name)).unwrap().split_whitespace().collect::<Vec<_>>();
    // 1.1, 0.9 and 0.7 times 14.6
    assert_eq!(row("1/4 "), ["1/4", "16.1>", "13.1", "10.2<"]);
    assert_eq!(row("1 "), ["1", "12.7*", "nil", "."]);
    assert!(
        text.contains("4 of 6 points converged") && text.contains("1 did not") && text.contains("1 not computed"),
        "{text}"
    );
}

#[test]
fn the_lean_hole_is_named_with_place_size_and_circuits() {
    let mut map = synthetic::map();
    map.spots = bellmouth::study::spots::find(&map);
    let text = map_text(&map);
    let hole = map.at(0.25, 3000.0).unwrap();
    let by = 100.0 * (hole.lambda.unwrap() / 0.95 - 1.0);
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let worst = format!("AFR {:.1}, lambda 1.08, {by:.0} % too lean at 1/4, 3000 rpm.", hole.afr.unwrap());
    assert!(flat.contains(&worst), "{worst}\n{flat}");
    assert!(flat.contains("needle jet."), "{flat}");
    let full: Vec<_> = map.points.iter().filter(|p| p.converged).collect();
    let torque = full.iter().filter_map(|p| p.torque_nm).fold(0.0, f64::max);
    assert!(flat.contains(&format!("most torque {torque:.1} N m at")));
}

#[test]
fn a_cycle_on_paper_is_no_wider_than_80_columns_and_says_when_it_did_not_converge() {
    let mut cycle = synthetic::cycle();
    let text = cycle_text(&cycle);
    keep("cycle.txt", &text);
    assert!(widest(&text) <= 80 && text.contains("converged after 24 cycles"));
    cycle.point.converged = false;
    cycle.point.afr = None;
    cycle.point.note = Some("word ".repeat(60));
    let text = cycle_text(&cycle);
    assert!(widest(&text) <= 80 && text.contains("NOT CONVERGED"));
}

#[test]
fn numbers_are_rounded_without_a_minus_zero_and_exact_ones_read_back() {
    assert_eq!((rounded(Some(-0.04), 1), rounded(Some(-0.06), 1)), ("0.0".to_owned(), "-0.1".to_owned()));
    assert_eq!((rounded(None, 1), rounded(Some(f64::NAN), 1)), ("-".to_owned(), "-".to_owned()));
    assert_eq!((per_cent(0.123), per_cent(0.001)), ("12 %".to_owned(), "<1 %".to_owned()));
    for value in [0.1 + 0.2, 1e-300, -5e-324, f64::MAX, 1e16, 123_456.789, 0.0, 1e-5] {
        assert_eq!(exact(value).parse::<f64>().unwrap().to_bits(), value.to_bits(), "{}", exact(value));
        assert!(exact(value).len() < 30);
    }
}

#[test]
fn wrapping_keeps_every_word_and_breaks_only_what_is_longer_than_a_line() {
    let text = "a few words ".repeat(40);
    let out = wrapped("  ", "    ", &text);
    assert!(widest(&out) <= 80);
    assert_eq!(out.split_whitespace().collect::<Vec<_>>(), text.split_whitespace().collect::<Vec<_>>());
    let long = "x".repeat(300);
    let out = wrapped("  ", "    ", &long);
    assert!(widest(&out) <= 80);
    assert_eq!(out.split_whitespace().collect::<String>(), long);
}

/// A reader that goes away or a disk that is full.
struct Closed(std::io::ErrorKind);

impl std::io::Write for Closed {
    fn write(&mut self, _: &[u8]) -> std::io::Result<usize> {
        Err(self.0.into())
    }

    fn flush(&mut self) -> std::io::Result<()> {
        Ok(())
    }
}

#[test]
fn a_reader_that_goes_away_is_no_error_and_a_full_disk_is_one() {
    assert!(write_quietly(&mut Closed(std::io::ErrorKind::BrokenPipe), b"text").is_ok());
    assert!(write_quietly(&mut Closed(std::io::ErrorKind::StorageFull), b"text").is_err());
    let mut out = Vec::new();
    write_quietly(&mut out, b"text").unwrap();
    assert_eq!(out, b"text");
}
