//! A small map that nothing disturbs, and others to compare with it.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;
use std::time::{Duration, Instant};

use crate::program::{Ran, bellmouth, demo, text};

/// Four chains of three points, quick ones: coarse cells and high speeds.
const SMALL: [&str; 10] = [
    "--throttle",
    "1/4, 1/2, 1",
    "--rpm",
    "5500 to 7000 by 500",
    "--cell-size",
    "24 mm",
    "--require",
    "0",
    "--threads",
    "2",
];
/// Its points.
pub const POINTS: usize = 12;
/// Name of the journal.
pub const JOURNAL: &str = "map.partial.jsonl";

/// The command for the small map into a folder.
pub fn map(out: &Path, more: &[&str]) -> Command {
    let (setup, out) = (demo(), text(out));
    bellmouth(&[&["map", &setup, "--out", &out], &SMALL[..], more].concat())
}

/// Goes on with it to its end.
pub fn resume(out: &Path) -> Ran {
    map(out, &["--resume"]).output().unwrap().into()
}

/// What a map leaves that nothing disturbs.
pub struct Undisturbed {
    pub files: BTreeMap<String, Vec<u8>>,
    pub stdout: String,
    pub took: Duration,
}

/// Computed once.
pub fn undisturbed() -> &'static Undisturbed {
    static ONCE: OnceLock<Undisturbed> = OnceLock::new();
    ONCE.get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let begun = Instant::now();
        let ran: Ran = map(folder.path(), &[]).output().unwrap().into();
        assert_eq!(ran.code, Some(0), "{}", ran.stderr);
        let files = files(folder.path());
        assert!(files.len() > 4 && files.contains_key("map.csv") && files.contains_key("map.json"));
        Undisturbed { files, stdout: ran.stdout, took: begun.elapsed() }
    })
}

/// The files of a folder but for pieces under temporary names.
pub fn files(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = folder.read_dir().unwrap().map(|entry| entry.unwrap());
    let named = entries.map(|entry| (entry.file_name().into_string().unwrap(), entry.path()));
    named.filter(|(name, _)| !name.ends_with(".tmp")).map(|(name, path)| (name, std::fs::read(path).unwrap())).collect()
}

/// Asserts that a folder holds what the undisturbed map left.
pub fn assert_undisturbed(folder: &Path, ran: &Ran) {
    let (found, wanted) = (files(folder), undisturbed());
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(found.keys().collect::<Vec<_>>(), wanted.files.keys().collect::<Vec<_>>(), "{}", ran.stderr);
    for (name, bytes) in &found {
        assert!(*bytes == wanted.files[name], "{name} differs: {}", ran.stderr);
    }
    assert_eq!(ran.stdout, wanted.stdout);
    let left =
        folder.read_dir().unwrap().filter(|e| e.as_ref().unwrap().path().extension().is_some_and(|x| x == "tmp"));
    assert_eq!(left.count(), 0, "pieces under temporary names");
}

/// Whole lines of points in the journal.
pub fn points_kept(folder: &Path) -> usize {
    let text = std::fs::read(folder.join(JOURNAL)).unwrap_or_default();
    text.iter().filter(|byte| **byte == b'\n').count().saturating_sub(1)
}

/// The number in "going on after 7 points".
pub fn points_taken_over(ran: &Ran) -> usize {
    let words = ran.stderr.split("going on after ").nth(1);
    words.and_then(|rest| rest.split(' ').next()).and_then(|number| number.parse().ok()).unwrap_or(0)
}

/// Waits until the journal holds so many points, or the run is over.
pub fn wait_for(folder: &Path, points: usize, child: &mut std::process::Child) {
    let begun = Instant::now();
    while points_kept(folder) < points && child.try_wait().unwrap().is_none() {
        assert!(begun.elapsed() < Duration::from_secs(120), "no {points} points were finished");
        std::thread::sleep(Duration::from_millis(2));
    }
}

/// Sends a signal by its name.
pub fn signal(child: &std::process::Child, name: &str) {
    let sent = Command::new("sh").args(["-c", &format!("kill -{name} {}", child.id())]).status().unwrap();
    assert!(sent.success());
}
