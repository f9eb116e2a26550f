//! Bytes as the journal of a map: refused, or gone on with, but never with a wrong point.

use std::path::Path;
use std::sync::OnceLock;

use bellmouth::cli::ending::Failure;
use bellmouth::cli::journal::{FILE_NAME, Journal};
use bellmouth::cli::whose::Whose;
use bellmouth::report::Sink;
use bellmouth::rig::settings::Settings;
use bellmouth::study::map::Grid;
use bellmouth::study::point::{PointResult, Status};

fn whose() -> Whose {
    let grid = Grid { throttles: vec![0.25, 0.5, 1.0], speeds: vec![3000.0, 4000.0] };
    Whose::this(Settings::default(), &grid, serde_json::json!({"name": "x"}))
}

/// The one right point of a place.
fn right(place: usize) -> PointResult {
    let grid = whose().grid;
    let (throttle, rpm) = (grid.throttles[place / grid.speeds.len()], grid.speeds[place % grid.speeds.len()]);
    let bare = PointResult::failed(throttle, rpm, 8, "a note".to_owned());
    let (afr, ve) = (Some(12.9 + throttle / 3.0), Some(rpm / 7e3));
    PointResult { afr, ve, converged: true, status: Status::Converged, ..bare }
}

/// The journal of a map of which all six points are there.
fn whole() -> &'static [u8] {
    static ONCE: OnceLock<Vec<u8>> = OnceLock::new();
    ONCE.get_or_init(|| {
        let folder = tempfile::tempdir().expect("a folder");
        let sink = Sink::open(folder.path()).expect("a folder that takes files");
        let mut journal = Journal::begin(&sink, &whose(), false).expect("a journal");
        for place in [4, 5, 2, 3, 0, 1] {
            journal.add(place, &right(place)).expect("a line");
        }
        std::fs::read(folder.path().join(FILE_NAME)).expect("a journal")
    })
}

/// The file that `input` stands for: itself, itself behind a right first line, or a whole journal with changes.
fn file(input: &[u8]) -> Vec<u8> {
    let whole = whole();
    let head = whole.iter().position(|byte| *byte == b'\n').map_or(0, |at| at + 1);
    match input.split_first() {
        None => Vec::new(),
        Some((0, rest)) => rest.to_vec(),
        Some((1, rest)) => [&whole[..head], rest].concat(),
        Some((_, rest)) => rest.chunks(4).fold(whole.to_vec(), changed),
    }
}

/// One change: where (two bytes), what, and with which byte.
fn changed(mut text: Vec<u8>, change: &[u8]) -> Vec<u8> {
    let [high, low, what, byte] = [0, 1, 2, 3].map(|i| change.get(i).copied().unwrap_or(0));
    let at = usize::from(u16::from_be_bytes([high, low])) % (text.len() + 1);
    let lines = |text: &[u8]| text.split_inclusive(|b| *b == b'\n').map(<[u8]>::to_vec).collect::<Vec<_>>();
    match what % 8 {
        0 if at < text.len() => text[at] = byte,
        1 => text.insert(at, byte),
        2 if at < text.len() => drop(text.remove(at)),
        3 => text.truncate(at),
        4 if at < text.len() => text[at] ^= 1 << (byte % 8),
        5 if text.len() < 100_000 => {
            // a line twice; without an end of line that is all of the text
            let mut all = lines(&text);
            if !all.is_empty() {
                let line = all[at % all.len()].clone();
                let to = usize::from(byte) % all.len();
                all.insert(to, line);
            }
            text = all.concat();
        }
        6 => {
            let mut all = lines(&text);
            if !all.is_empty() {
                all.remove(at % all.len());
            }
            text = all.concat();
        }
        // a digit in the place of the next digit
        7 => {
            if let Some(digit) = text.iter().skip(at).position(u8::is_ascii_digit) {
                text[at + digit] = b'0' + byte % 10;
            }
        }
        _ => {}
    }
    text
}

/// How many points of the journal that `input` stands for are gone on with.
pub fn check(input: &[u8]) -> usize {
    thread_local! {
        static FOLDER: tempfile::TempDir = tempfile::tempdir().expect("a folder");
    }
    FOLDER.with(|folder| gone_on_with(folder.path(), &file(input)))
}

fn gone_on_with(folder: &Path, bytes: &[u8]) -> usize {
    std::fs::write(folder.join(FILE_NAME), bytes).expect("a file");
    let sink = Sink::open(folder).expect("a folder that takes files");
    match Journal::begin(&sink, &whose(), true) {
        Ok(journal) => {
            for (place, point) in journal.known().iter().enumerate() {
                assert!(point.as_ref().is_none_or(|point| *point == right(place)), "{place}: {point:?}");
            }
            journal.known().iter().flatten().count()
        }
        Err(Failure::Input(text)) => {
            assert!(text.contains("--resume") && text.len() < 64 * 1024, "{text}");
            0
        }
        Err(failure) => panic!("{failure:?}"),
    }
}
