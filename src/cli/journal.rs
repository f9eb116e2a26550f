//! `map.partial.jsonl`: the finished points of a map that is still running, so that a kill loses little.
//!
//! The first line names the program, the set-up (by the hash of its resolved form) and the grid; every further line
//! is one finished point with its place in the grid. The open file is locked: it also keeps a second run out of the
//! folder. It is removed when the map's own files are written; one that a cut-off run left is set aside.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{Read, Seek, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde::Serialize;

use super::console::say;
use super::ending::Failure;
use crate::study::map::Grid;
use crate::study::point::PointResult;

/// Name of the file in the output folder.
pub const FILE_NAME: &str = "map.partial.jsonl";
/// Name under which the points of a run that was cut off are kept.
pub const EARLIER_NAME: &str = "map.partial.earlier.jsonl";
/// Longest time between two points being brought safely to disk.
const SYNC_EVERY: Duration = Duration::from_secs(2);

/// First line of the journal: whose points these are.
#[derive(Serialize)]
struct Header<'a> {
    version: &'a str,
    setup_fnv1a64: String,
    grid: &'a Grid,
}

/// Every further line: one finished point.
#[derive(Serialize)]
struct Line<'a> {
    place: usize,
    point: &'a PointResult,
}

/// The journal of a running map.
#[derive(Debug)]
pub struct Journal {
    file: File,
    path: PathBuf,
    synced: Instant,
}

impl Journal {
    /// Starts the journal of a map of `setup` (in its resolved form) over `grid`.
    ///
    /// # Errors
    /// [`Failure::Input`] when another run is writing into the folder, [`Failure::Write`] when this one cannot.
    pub fn begin(folder: &Path, setup: &serde_json::Value, grid: &Grid) -> Result<Self, Failure> {
        let path = folder.join(FILE_NAME);
        let opened = OpenOptions::new().create(true).truncate(false).read(true).write(true).open(&path);
        let mut file = opened.map_err(|error| failure(&path, &error))?;
        match file.try_lock() {
            Ok(()) => {}
            Err(TryLockError::WouldBlock) => {
                let text = format!("error: another run is writing into `{}`; choose another `--out`", folder.display());
                return Err(Failure::Input(text));
            }
            Err(TryLockError::Error(error)) => return Err(failure(&path, &error)),
        }
        keep_earlier(&mut file, &path, &folder.join(EARLIER_NAME))?;
        file.set_len(0).and_then(|()| file.rewind()).map_err(|error| failure(&path, &error))?;
        let mut journal = Self { file, path, synced: Instant::now() };
        let setup_fnv1a64 = format!("{:016x}", fnv1a64(setup.to_string().as_bytes()));
        journal.write(&Header { version: env!("CARGO_PKG_VERSION"), setup_fnv1a64, grid })?;
        Ok(journal)
    }

    /// Adds one finished point with its place in the grid's order.
    ///
    /// # Errors
    /// [`Failure::Write`] that names the file and the cause.
    pub fn add(&mut self, place: usize, point: &PointResult) -> Result<(), Failure> {
        self.write(&Line { place, point })?;
        if self.synced.elapsed() >= SYNC_EVERY {
            self.file.sync_data().map_err(|error| failure(&self.path, &error))?;
            self.synced = Instant::now();
        }
        Ok(())
    }

    /// Removes the journal: the map's own files are there.
    ///
    /// # Errors
    /// [`Failure::Write`] that names the file and the cause.
    pub fn remove(self) -> Result<(), Failure> {
        let Self { file, path, .. } = self;
        drop(file);
        std::fs::remove_file(&path).map_err(|error| failure(&path, &error))
    }

    /// Writes one line in one call, so that only the last line can be torn.
    fn write(&mut self, line: &impl Serialize) -> Result<(), Failure> {
        let text = serde_json::to_string(line).map_err(std::io::Error::from);
        let written = text.and_then(|text| self.file.write_all(format!("{text}\n").as_bytes()));
        written.map_err(|error| failure(&self.path, &error))
    }
}

/// Sets the points of an earlier run aside, if `file` holds any, in place of what was set aside before.
///
/// The content is copied and the file stays, as its lock keeps other runs out.
fn keep_earlier(file: &mut File, path: &Path, earlier: &Path) -> Result<(), Failure> {
    let mut content = Vec::new();
    file.read_to_end(&mut content).map_err(|error| failure(path, &error))?;
    // The first line is the head; without another there is no point to keep.
    if content.trim_ascii().contains(&b'\n') {
        std::fs::write(earlier, &content).map_err(|error| failure(earlier, &error))?;
        say(format_args!("note: an earlier run was cut off; its finished points are kept in {}", earlier.display()));
    }
    Ok(())
}

fn failure(path: &Path, error: &std::io::Error) -> Failure {
    Failure::Write(format!("cannot write `{}`: {error}", path.display()))
}

/// 64-bit FNV-1a hash. It tells two set-ups apart; it does not guard against forgery.
///
/// Source: G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, *The FNV Non-Cryptographic Hash Algorithm*, IETF.
#[must_use]
pub fn fnv1a64(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    /// Test vectors of the hash's authors, from memory.
    #[test]
    fn the_hash_agrees_with_its_authors_vectors() {
        assert_eq!(fnv1a64(b""), 0xcbf2_9ce4_8422_2325);
        assert_eq!(fnv1a64(b"a"), 0xaf63_dc4c_8601_ec8c);
        assert_eq!(fnv1a64(b"foobar"), 0x8594_4171_f739_67e8);
    }

    fn grid() -> Grid {
        Grid { throttles: vec![0.5, 1.0], speeds: vec![3000.0] }
    }

    #[test]
    fn each_finished_point_is_one_line_that_reads_back() {
        let folder = tempfile::tempdir().unwrap();
        let mut journal = Journal::begin(folder.path(), &serde_json::json!({"name": "x"}), &grid()).unwrap();
        let point = PointResult { afr: Some(12.9), ..PointResult::failed(1.0, 3000.0, 8, "a note".to_owned()) };
        journal.add(1, &point).unwrap();
        let text = std::fs::read_to_string(folder.path().join(FILE_NAME)).unwrap();
        let lines: Vec<serde_json::Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
        assert_eq!(lines.len(), 2);
        assert_eq!(lines[0]["grid"]["speeds"][0], 3000.0);
        assert_eq!(lines[1]["place"], 1);
        assert_eq!(serde_json::from_value::<PointResult>(lines[1]["point"].clone()).unwrap(), point);
        journal.remove().unwrap();
        assert_eq!(folder.path().read_dir().unwrap().count(), 0);
    }

    #[test]
    fn a_second_run_is_kept_out_of_the_folder() {
        let folder = tempfile::tempdir().unwrap();
        let first = Journal::begin(folder.path(), &serde_json::Value::Null, &grid()).unwrap();
        let second = Journal::begin(folder.path(), &serde_json::Value::Null, &grid());
        assert!(matches!(second, Err(Failure::Input(text)) if text.contains("another run")));
        first.remove().unwrap();
        Journal::begin(folder.path(), &serde_json::Value::Null, &grid()).unwrap();
    }

    #[test]
    fn what_a_killed_run_left_is_set_aside() {
        let folder = tempfile::tempdir().unwrap();
        let read = |name| std::fs::read_to_string(folder.path().join(name)).unwrap();
        for old in ["older\n".repeat(2000), "old\n".repeat(1000)] {
            std::fs::write(folder.path().join(FILE_NAME), &old).unwrap();
            Journal::begin(folder.path(), &serde_json::Value::Null, &grid()).unwrap();
            assert_eq!(read(FILE_NAME).lines().count(), 1);
            assert!(read(FILE_NAME).starts_with('{'), "the new head starts the file");
            assert_eq!(read(EARLIER_NAME), old);
        }
        // The journal now holds a head line alone, which is nothing to keep.
        Journal::begin(folder.path(), &serde_json::Value::Null, &grid()).unwrap();
        assert_eq!(read(EARLIER_NAME), "old\n".repeat(1000));
    }
}
