//! A sample with some of its quantities replaced by extremes: refused with a reason, or run for two cycles to finite
//! numbers or a failure that says where.

use bellmouth::cli::assembled;
use bellmouth::rig::settings::Settings;
use bellmouth::setup::{load_text, template};
use bellmouth::study::point::{self, Status};

/// Samples that are changed.
const SAMPLES: [&str; 2] = [
    include_str!("../../tests/trade/single_650.toml"),
    include_str!("../../tests/trade/single_400_vacuum_piston.toml"),
];
/// What stands in place of a number.
const EXTREMES: [&str; 12] = ["0", "-0", "1e308", "-1e308", "1e-308", "", "1000", "0.001", "1/3", "nan", "inf", "1"];
/// Most cycles.
const CYCLES: u32 = 2;

/// Reads numbers off the input; zeros behind its end.
struct Reader<'a>(&'a [u8]);

impl Reader<'_> {
    fn byte(&mut self) -> u8 {
        let Some((first, rest)) = self.0.split_first() else { return 0 };
        self.0 = rest;
        *first
    }

    /// From 0 to one less than `sides`.
    fn roll(&mut self, sides: usize) -> usize {
        usize::from(u16::from_be_bytes([self.byte(), self.byte()])) % sides.max(1)
    }

    /// From 0 to 1.
    fn share(&mut self) -> f64 {
        f64::from(u16::from_be_bytes([self.byte(), self.byte()])) / 65_535.0
    }
}

/// `line` with another number, if it is a quantity.
fn replaced(line: &str, input: &mut Reader) -> Option<String> {
    let (key, rest) = line.split_once(" = \"").filter(|_| !line.starts_with('#'))?;
    let (value, remark) = rest.split_once('"')?;
    let from = value.find(|c: char| !(c.is_ascii_digit() || c == '.'))?;
    let (number, unit) = value.split_at(from);
    let number: f64 = number.parse().ok()?;
    let how = input.byte();
    let new = match how {
        0..=23 => EXTREMES[usize::from(how) % EXTREMES.len()].to_owned(),
        // Near what it was: mostly within the range.
        24..=207 => format!("{:.6}", number * (0.7 + 0.7 * f64::from(how - 24) / 183.0)),
        // Twice or four times as much or as little.
        208..=239 => format!("{:.6}", number * [0.25, 0.5, 2.0, 4.0][usize::from(how) % 4]),
        // One power of ten off, as a millimetre for a centimetre.
        240..=247 => format!("{:.6}", 10.0 * number),
        248..=255 => format!("{:.6}", 0.1 * number),
    };
    Some(format!("{key} = \"{new}{unit}\"{remark}"))
}

/// Whether the machine that `input` asks for was run.
pub fn check(input: &[u8]) -> bool {
    let mut input = Reader(input);
    let which = usize::from(input.byte()) % (SAMPLES.len() + 1);
    let sample = SAMPLES.get(which).copied().unwrap_or_else(template);
    let mut lines: Vec<String> = sample.lines().map(str::to_owned).collect();
    for _ in 0..input.byte() % 6 {
        let from = input.roll(lines.len());
        let at = (from..lines.len()).find_map(|at| Some((at, replaced(&lines[at], &mut Reader(input.0))?)));
        if let Some((at, line)) = at {
            input.byte();
            lines[at] = line;
        }
    }
    let Ok(read) = load_text("machine.toml", &(lines.join("\n") + "\n")) else { return false };
    let machine = read.value.machine;
    let settings = Settings { cell_size: 16e-3, ..Settings::default() };
    if assembled::check(&machine, &settings).is_err() {
        return false;
    }
    let (throttle, rpm) = (0.02 + 0.98 * input.share(), machine.engine.highest_rpm * (0.3 + 0.8 * input.share()));
    let cycles = std::cell::Cell::new(0);
    let go_on = || {
        cycles.set(cycles.get() + 1);
        cycles.get() < CYCLES
    };
    let (point, state) = point::solve_while(&machine, throttle, rpm, None, &settings, &go_on);
    let note = point.note.clone().unwrap_or_default();
    assert!(!note.contains("not a finite number"), "{note}");
    assert!(point.status != Status::Failed || !note.is_empty(), "failed without a reason");
    assert!(state.is_none() || point.converged);
    true
}
