//! Bytes as a set-up file: it loads and is finite, or says why in a report that can be drawn.

use std::io::Write;

use bellmouth::diagnostics::{Problem, Style, clean, render};
use bellmouth::setup::{load, load_text};

/// Whether `input` loads.
pub fn check(input: &[u8]) -> bool {
    let read = match std::str::from_utf8(input) {
        Ok(text) => load_text("input.toml", text),
        Err(_) => {
            let mut file = tempfile::NamedTempFile::new().expect("a temporary file");
            file.write_all(input).expect("a temporary file");
            load(file.path(), None)
        }
    };
    match read {
        Ok(read) => {
            let machine = serde_json::to_string(&read.value.machine).expect("a machine is written");
            let open = serde_json::to_value(&read.value.machine).expect("a machine is written");
            assert!(!machine.is_empty() && open.is_object());
            let words = format!("{:?}", read.value.machine);
            let senseless = [" NaN", " inf", "-inf", "[NaN", "[inf", "(NaN", "(inf"];
            assert!(!senseless.iter().any(|word| words.contains(word)), "not finite: {words}");
            drawn(&read.warnings);
            true
        }
        Err(report) => {
            assert!(report.errors() > 0, "refused without an error");
            drawn(&report.problems);
            false
        }
    }
}

/// Asserts that a report is short and holds nothing that moves the cursor.
pub fn drawn(problems: &[Problem]) {
    if problems.is_empty() {
        return;
    }
    let text = render(problems, Style::plain());
    assert!(text.len() < 64 * 1024, "{} bytes of report", text.len());
    assert!(!text.chars().any(|c| c != '\n' && clean::hides(c)), "raw control character in {text:?}");
}
