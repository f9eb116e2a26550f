//! Tests of the journal.
#![allow(clippy::unwrap_used)]

use super::*;
use crate::rig::settings::Settings;

/// Test vectors of the hash's authors, from memory.
#[test]
fn the_hash_agrees_with_its_authors_vectors() {
    assert_eq!(fnv1a64(b""), 0xcbf2_9ce4_8422_2325);
    assert_eq!(fnv1a64(b"a"), 0xaf63_dc4c_8601_ec8c);
    assert_eq!(fnv1a64(b"foobar"), 0x8594_4171_f739_67e8);
}

fn whose() -> Whose {
    let grid = Grid { throttles: vec![0.5, 1.0], speeds: vec![3000.0, 4000.0] };
    Whose::this(Settings::default(), &grid, serde_json::json!({"name": "x"}))
}

fn point(throttle: f64, rpm: f64) -> PointResult {
    // Numbers that a reader which is off by one unit in the last place would not give back.
    let (afr, ve) = (Some(12.9 + 1.0 / 3.0 * throttle), Some(0.1 + 0.2));
    let converged = PointResult { afr, ve, converged: true, ..PointResult::failed(throttle, rpm, 8, "a note".into()) };
    PointResult { status: Status::Converged, ..converged }
}

fn sink(folder: &tempfile::TempDir) -> Sink {
    Sink::open(folder.path()).unwrap()
}

/// The content of a file in the folder.
fn content(folder: &tempfile::TempDir, name: &str) -> String {
    std::fs::read_to_string(folder.path().join(name)).unwrap()
}

/// A folder with the journal of a run that was cut off after three points; the second chain is finished.
fn cut_off() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::begin(&sink(&folder), &whose(), false).unwrap();
    for (place, at) in [(2, (1.0, 3000.0)), (3, (1.0, 4000.0)), (1, (0.5, 4000.0))] {
        journal.add(place, &point(at.0, at.1)).unwrap();
    }
    folder
}

fn known(folder: &tempfile::TempDir) -> Vec<Option<PointResult>> {
    Journal::begin(&sink(folder), &whose(), true).unwrap().known().to_vec()
}

#[test]
fn each_finished_point_is_one_line_that_reads_back() {
    let folder = cut_off();
    assert_eq!(content(&folder, FILE_NAME).lines().count(), 4, "a head line and three points");
    let wanted = vec![None, Some(point(0.5, 4000.0)), Some(point(1.0, 3000.0)), Some(point(1.0, 4000.0))];
    assert_eq!(known(&folder), wanted);
    Journal::begin(&sink(&folder), &whose(), true).unwrap().remove().unwrap();
    assert_eq!(folder.path().read_dir().unwrap().count(), 0);
}

#[test]
fn wherever_the_file_is_torn_the_whole_lines_are_used_and_the_rest_is_cut_off() {
    let text = content(&cut_off(), FILE_NAME);
    let ends: Vec<usize> = text.match_indices('\n').map(|(at, _)| at + 1).collect();
    for length in (0..text.len()).step_by(7).chain(ends.iter().flat_map(|end| [end - 1, *end])) {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(FILE_NAME), &text[..length]).unwrap();
        let whole = ends.iter().filter(|end| **end <= length).count();
        assert_eq!(known(&folder).iter().flatten().count(), whole.saturating_sub(1), "{length} bytes");
        assert_eq!(content(&folder, FILE_NAME), text[..ends[whole.max(1) - 1]], "{length} bytes");
    }
}

#[test]
fn a_line_without_end_is_torn_and_takes_little_memory() {
    let text = content(&cut_off(), FILE_NAME);
    for (kept, found) in [(text.len(), 3), (text.len() - 1, 2), (0, 0)] {
        let folder = tempfile::tempdir().unwrap();
        let file = File::create(folder.path().join(FILE_NAME)).unwrap();
        (&file).write_all(&text.as_bytes()[..kept]).unwrap();
        // Zeros that take no room on the disk.
        file.set_len(3 << 30).unwrap();
        assert_eq!(known(&folder).iter().flatten().count(), found, "behind {kept} bytes");
    }
}

#[test]
fn a_changed_byte_never_gives_a_wrong_point() {
    let text = content(&cut_off(), FILE_NAME).into_bytes();
    let right = known(&cut_off());
    let (mut refused, mut fewer) = (0, 0);
    for (at, byte) in text.iter().enumerate().step_by(3) {
        let mut bytes = text.clone();
        bytes[at] = if *byte == b'1' { b'2' } else { b'1' };
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(FILE_NAME), &bytes).unwrap();
        match Journal::begin(&sink(&folder), &whose(), true) {
            Ok(journal) => {
                let good = journal.known().iter().enumerate().all(|(place, p)| p.is_none() || *p == right[place]);
                assert!(good, "byte {at}");
                fewer += usize::from(journal.known().iter().flatten().count() < 3);
            }
            Err(Failure::Input(_)) => refused += 1,
            Err(failure) => panic!("{failure:?}"),
        }
    }
    assert!(refused > 20 && fewer > 200, "{refused} refused, {fewer} with fewer points");
}

#[test]
fn points_of_another_map_are_refused_and_stay() {
    let folder = cut_off();
    let before = content(&folder, FILE_NAME);
    let other = Whose { setup: serde_json::json!({"name": "y"}), ..whose() };
    let Err(Failure::Input(text)) = Journal::begin(&sink(&folder), &other, true) else { panic!("not refused") };
    let text = text.split_whitespace().filter(|word| *word != "│").collect::<Vec<_>>().join(" ");
    assert!(text.contains("the set-up differs at `name`") && text.contains("leave `--resume` out"), "{text}");
    assert_eq!(content(&folder, FILE_NAME), before);
}

#[test]
fn a_point_stopped_by_time_is_not_used_nor_what_started_below_it() {
    let folder = tempfile::tempdir().unwrap();
    let mut journal = Journal::begin(&sink(&folder), &whose(), false).unwrap();
    let slow = PointResult { converged: false, status: Status::TimeLimit, ..point(1.0, 3000.0) };
    for (place, point) in [(2, slow), (0, point(0.5, 3000.0)), (3, point(1.0, 4000.0))] {
        journal.add(place, &point).unwrap();
    }
    drop(journal);
    let wanted = vec![None, None, None, Some(point(1.0, 4000.0))];
    assert_eq!(known(&folder), wanted);
    assert_eq!(content(&folder, FILE_NAME).lines().count(), 2, "the others are gone from the file too");
}

#[test]
fn a_point_that_comes_out_otherwise_is_not_mixed_with_the_old_ones() {
    let folder = cut_off();
    let mut journal = Journal::begin(&sink(&folder), &whose(), true).unwrap();
    journal.add(2, &point(1.0, 3000.0)).unwrap();
    let other = PointResult { cycles: 9, ..point(1.0, 3000.0) };
    assert!(matches!(journal.add(2, &other), Err(Failure::Input(text)) if text.contains("otherwise")));
    assert_eq!(content(&folder, FILE_NAME).lines().count(), 4);
}

#[test]
fn without_resume_what_a_killed_run_left_is_set_aside() {
    let folder = cut_off();
    let old = content(&folder, FILE_NAME);
    for _ in 0..2 {
        // The second time there is a head line alone, which is nothing to keep.
        Journal::begin(&sink(&folder), &whose(), false).unwrap();
        assert_eq!(content(&folder, FILE_NAME).lines().count(), 1);
        assert_eq!(content(&folder, EARLIER_NAME), old);
    }
    std::fs::write(folder.path().join(FILE_NAME), "older\n".repeat(5)).unwrap();
    Journal::begin(&sink(&folder), &whose(), false).unwrap();
    assert_eq!(content(&folder, EARLIER_NAME), "older\n".repeat(5), "whatever it is");
}
