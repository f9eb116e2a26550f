//! `map.partial.jsonl`: the finished points of a map that is still running, so that a kill loses little.
//!
//! The first line says whose points these are ([`Whose`]); every further line is one finished point with its place in the
//! grid and a check sum. Each line is written in one call, so that only the last can be torn; a line that is not whole
//! ends what is read. The file is removed when the map's own files are written. `--resume` goes on with it; without,
//! what a cut-off run left is set aside.

use std::fs::{File, OpenOptions};
use std::io::{self, BufRead, BufReader, Read, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use serde::Deserialize;

use super::console::{say, style};
use super::counted::counted;
use super::ending::Failure;
use super::whose::Whose;
use crate::diagnostics::{Problem, render};
use crate::report::Sink;
use crate::study::map::Grid;
use crate::study::point::{PointResult, Status};
use crate::study::resume;

/// Name of the file in the output folder.
pub const FILE_NAME: &str = "map.partial.jsonl";
/// Name under which the points of a run that was cut off are kept.
pub const EARLIER_NAME: &str = "map.partial.earlier.jsonl";
/// Longest first line that is read [bytes]: a set-up and a grid of a million speeds take less.
const LONGEST_HEAD: u64 = 64 << 20;
/// Longest further line that is read [bytes]: a point takes some 2000.
const LONGEST_LINE: u64 = 1 << 20;
/// Longest time between two points being brought safely to disk.
const SYNC_EVERY: Duration = Duration::from_secs(2);

/// Every line but the first: one finished point.
#[derive(Deserialize)]
struct Line {
    place: usize,
    fnv1a64: String,
    point: PointResult,
}

impl Line {
    fn text(place: usize, point: &PointResult) -> io::Result<String> {
        let point = serde_json::to_string(point)?;
        let sum = fnv1a64(format!("{place} {point}").as_bytes());
        Ok(format!("{{\"place\":{place},\"fnv1a64\":\"{sum:016x}\",\"point\":{point}}}\n"))
    }

    /// A line that is whole and belongs to `grid`.
    fn read(bytes: &[u8], grid: &Grid) -> Option<(usize, PointResult)> {
        let Self { place, fnv1a64, point } = serde_json::from_slice(bytes.strip_suffix(b"\n")?).ok()?;
        let again = Self::text(place, &point).ok()?;
        let (throttle, rpm) =
            (grid.throttles.get(place.checked_div(grid.speeds.len())?)?, grid.speeds[place % grid.speeds.len()]);
        let here = point.throttle.to_bits() == throttle.to_bits() && point.rpm.to_bits() == rpm.to_bits();
        (here && again.contains(&format!("\"fnv1a64\":\"{fnv1a64}\""))).then_some((place, point))
    }
}

/// What a cut-off run left.
struct Earlier {
    /// What keeps its points from being used, and what to do.
    differs: Option<(String, &'static str)>,
    /// The points by their places in the grid; none if they cannot be used.
    points: Vec<Option<PointResult>>,
    /// How many there are.
    found: usize,
    /// Length of what is whole [bytes].
    whole: u64,
}

/// The journal of a running map.
#[derive(Debug)]
pub struct Journal {
    file: File,
    path: PathBuf,
    synced: Instant,
    known: Vec<Option<PointResult>>,
}

impl Journal {
    /// Starts the journal of a map in the folder of `sink`, which must be locked.
    ///
    /// With `go_on` the points of a run that was cut off are taken over; else they are set aside.
    ///
    /// # Errors
    /// [`Failure::Input`] when the points there are not those of `whose`, [`Failure::Write`] when a file cannot be
    /// read or written.
    pub fn begin(sink: &Sink, whose: &Whose, go_on: bool) -> Result<Self, Failure> {
        let path = sink.folder().join(FILE_NAME);
        let earlier = read(&path, whose)?;
        if !go_on {
            set_aside(&path, earlier.as_ref())?;
            return Self::fresh(sink, whose, Vec::new());
        }
        let Some(mut earlier) = earlier else {
            say(format_args!("note: no finished points in {}; the map starts from its first", sink.folder().display()));
            return Self::fresh(sink, whose, Vec::new());
        };
        if let Some((text, help)) = earlier.differs {
            return Err(refusal(&path, &text, help));
        }
        for point in &mut earlier.points {
            // It depends on how busy the computer was.
            *point = point.take().filter(|point| point.status != Status::TimeLimit);
        }
        resume::forget_behind_gaps(&whose.grid, &mut earlier.points);
        let kept = earlier.points.iter().filter(|point| point.is_some()).count();
        say(format_args!("going on after {}", counted(kept, "point")));
        if kept < earlier.found {
            // What is not used must not stand before what comes anew.
            return Self::fresh(sink, whose, earlier.points);
        }
        Self::open(path, earlier.points, Some(earlier.whole))
    }

    /// A journal that holds the `known` points alone.
    fn fresh(sink: &Sink, whose: &Whose, known: Vec<Option<PointResult>>) -> Result<Self, Failure> {
        let text = || -> io::Result<String> {
            let mut text = serde_json::to_string(whose)? + "\n";
            for (place, point) in known.iter().enumerate() {
                text += &point.as_ref().map_or_else(|| Ok(String::new()), |point| Line::text(place, point))?;
            }
            Ok(text)
        };
        let text = text().map_err(|error| failure(&sink.folder().join(FILE_NAME), &error))?;
        let path = sink.write(FILE_NAME, text.as_bytes())?;
        Self::open(path, known, None)
    }

    /// Opens the file for what comes behind its first `whole` bytes, or behind all.
    fn open(path: PathBuf, known: Vec<Option<PointResult>>, whole: Option<u64>) -> Result<Self, Failure> {
        let opened = OpenOptions::new().write(true).open(&path).and_then(|mut file| {
            whole.map_or(Ok(()), |whole| file.set_len(whole))?;
            file.seek(SeekFrom::End(0))?;
            Ok(file)
        });
        let file = opened.map_err(|error| failure(&path, &error))?;
        Ok(Self { file, path, synced: Instant::now(), known })
    }

    /// The points of an earlier run, by their places in the grid.
    #[must_use]
    pub fn known(&self) -> &[Option<PointResult>] {
        &self.known
    }

    /// Adds one finished point with its place in the grid's order. A known one that was solved again only for its state
    /// is compared.
    ///
    /// # Errors
    /// [`Failure::Write`] that names the file and the cause, [`Failure::Input`] when a known point came out otherwise.
    pub fn add(&mut self, place: usize, point: &PointResult) -> Result<(), Failure> {
        if let Some(known) = self.known.get(place).and_then(Option::as_ref) {
            let text = format!("throttle {}, {} rpm came out otherwise than there", point.throttle, point.rpm);
            return if known == point {
                Ok(())
            } else {
                Err(refusal(&self.path, &text, "go on with the same computer"))
            };
        }
        let written = Line::text(place, point).and_then(|text| self.file.write_all(text.as_bytes()));
        written.map_err(|error| self.halted(&error))?;
        if self.synced.elapsed() >= SYNC_EVERY {
            self.sync()?;
        }
        Ok(())
    }

    /// Brings it to the disk.
    ///
    /// # Errors
    /// [`Failure::Write`] that names the file and the cause.
    pub fn sync(&mut self) -> Result<(), Failure> {
        self.synced = Instant::now();
        self.file.sync_data().map_err(|error| self.halted(&error))
    }

    /// What is written so far is kept.
    fn halted(&self, error: &io::Error) -> Failure {
        Failure::Write(format!("cannot write `{}`: {error}; its points stay, `--resume` goes on", self.path.display()))
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
}

/// What `path` holds for a map of `whose`; none without a whole first line. A line that is too long counts as torn, so that
/// no file takes much memory.
fn read(path: &Path, whose: &Whose) -> Result<Option<Earlier>, Failure> {
    let cannot = |error: io::Error| Failure::Write(format!("cannot read `{}`: {error}", path.display()));
    let file = match File::open(path) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        opened => opened.map_err(cannot)?,
    };
    let (mut reader, mut line) = (BufReader::new(file), Vec::new());
    let mut whole = reader.by_ref().take(LONGEST_HEAD).read_until(b'\n', &mut line).map_err(cannot)?;
    if !line.ends_with(b"\n") {
        return Ok(None);
    }
    let differs = match serde_json::from_slice::<Whose>(&line) {
        Ok(earlier) => whose.differs(&earlier),
        Err(_) => Some(("its first line does not say of what map they are".to_owned(), "move the file away")),
    };
    let places = if differs.is_none() { whose.grid.throttles.len() * whose.grid.speeds.len() } else { 0 };
    let (mut points, mut found) = (vec![None; places], 0);
    loop {
        line.clear();
        let length = reader.by_ref().take(LONGEST_LINE).read_until(b'\n', &mut line).map_err(cannot)?;
        if !line.ends_with(b"\n") {
            break;
        }
        if differs.is_none() {
            let Some((place, point)) = Line::read(&line, &whose.grid) else { break };
            let Some(there) = points.get_mut(place).filter(|there| there.is_none()) else { break };
            *there = Some(point);
        }
        found += 1;
        whole += length;
    }
    Ok(Some(Earlier { differs, points, found, whole: whole as u64 }))
}

/// Sets the points of an earlier run aside, if there are any, in place of what was set aside before.
fn set_aside(path: &Path, earlier: Option<&Earlier>) -> Result<(), Failure> {
    let Some(earlier) = earlier.filter(|earlier| earlier.found > 0) else { return Ok(()) };
    let aside = path.with_file_name(EARLIER_NAME);
    std::fs::rename(path, &aside).map_err(|error| failure(&aside, &error))?;
    let points = counted(earlier.found, "finished point");
    say(format_args!("note: an earlier run was cut off; its {points} are kept in {}", aside.display()));
    if earlier.differs.is_none() {
        say("note: they are of this same map: with `--resume` it would have gone on from there");
    }
    Ok(())
}

fn refusal(path: &Path, text: &str, help: &str) -> Failure {
    let problem = Problem::error(format!("`--resume` cannot use the points in `{}`: {text}", path.display())).help(
        format!("{help}, choose another folder with `--out`, or leave `--resume` out to compute all points anew"),
    );
    Failure::Input(render(&[problem], style()))
}

fn failure(path: &Path, error: &io::Error) -> Failure {
    Failure::Write(format!("cannot write `{}`: {error}", path.display()))
}

/// 64-bit FNV-1a hash. It tells two texts apart; it does not guard against forgery.
///
/// Source: G. Fowler, L. C. Noll, K.-P. Vo, D. Eastlake, *The FNV Non-Cryptographic Hash Algorithm*, IETF.
#[must_use]
pub fn fnv1a64(bytes: &[u8]) -> u64 {
    bytes.iter().fold(0xcbf2_9ce4_8422_2325, |hash, &byte| (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3))
}

#[cfg(test)]
#[path = "journal_tests.rs"]
mod tests;
