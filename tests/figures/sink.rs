//! The file writer: whole or not at all, whichever step fails.

use std::io::{Error, ErrorKind};
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use bellmouth::report::Sink;
use bellmouth::report::sink::Step;

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().file_name().to_string_lossy().into_owned()).collect();
    names.sort();
    names
}

#[test]
fn a_file_is_written_whole_and_replaces_an_older_one() {
    let folder = tempfile::tempdir().unwrap();
    let deep = folder.path().join("out").join("set-up");
    let sink = Sink::open(&deep).unwrap();
    assert!(names(&deep).is_empty(), "the probe is gone");
    let large: Vec<u8> = (0..300_000_u32).map(|i| (i % 251) as u8).collect();
    let path = sink.write("map.csv", &large).unwrap();
    assert_eq!(std::fs::read(&path).unwrap(), large);
    sink.write("map.csv", b"short").unwrap();
    assert_eq!(std::fs::read(&path).unwrap(), b"short");
    assert_eq!(names(&deep), ["map.csv"]);
    sink.write("empty", b"").unwrap();
    assert_eq!(std::fs::read(deep.join("empty")).unwrap(), b"");
}

#[test]
fn whichever_step_fails_once_or_for_ever_no_half_file_stays() {
    let old = b"from an earlier run".to_vec();
    let new = vec![7_u8; 200_000];
    let kinds = [
        ErrorKind::StorageFull,
        ErrorKind::Other,
        ErrorKind::PermissionDenied,
        ErrorKind::ReadOnlyFilesystem,
        ErrorKind::WriteZero,
        ErrorKind::QuotaExceeded,
    ];
    let (mut faults, mut refused) = (0, 0);
    for kind in kinds {
        for for_ever in [false, true] {
            let mut clean = false;
            for k in 0..40 {
                let folder = tempfile::tempdir().unwrap();
                std::fs::write(folder.path().join("map.csv"), &old).unwrap();
                let count = AtomicUsize::new(0);
                let guard = move |_: Step| {
                    let now = count.fetch_add(1, Ordering::SeqCst);
                    if now == k || (for_ever && now > k) { Err(Error::from(kind)) } else { Ok(()) }
                };
                let outcome =
                    Sink::guarded(folder.path(), Box::new(guard)).and_then(|sink| sink.write("map.csv", &new));
                assert_eq!(names(folder.path()), ["map.csv"], "operation {k}, {kind:?}");
                let found = std::fs::read(folder.path().join("map.csv")).unwrap();
                faults += 1;
                refused += usize::from(outcome.is_err());
                match outcome {
                    Ok(_) => {
                        assert!(found == new);
                        clean = true;
                    }
                    Err(error) => {
                        // once the name is given the new file is whole, though the folder may not be on the disk yet
                        assert!(found == if error.step == Step::SyncFolder { new.clone() } else { old.clone() });
                        let words = error.to_string();
                        assert!(words.contains(&folder.path().display().to_string()), "{words}");
                        assert!(words.contains(&Error::from(kind).to_string()), "{words}");
                    }
                }
                if clean {
                    break;
                }
            }
            assert!(clean, "the run without a failure was never reached");
        }
    }
    // for `.ci/run`, as the stages of tests/reliability
    let line = format!(
        "faults: {refused} failed steps of the writer in {faults} runs, each said with file and cause; 0 half files\n"
    );
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
    std::fs::create_dir_all(folder).unwrap();
    std::fs::write(folder.join("stage_faults.txt"), line).unwrap();
}

#[test]
fn an_interrupted_step_is_tried_again() {
    let folder = tempfile::tempdir().unwrap();
    let again = Arc::new(AtomicBool::new(false));
    let guard = move |_: Step| {
        let now = again.fetch_not(Ordering::SeqCst);
        if now { Ok(()) } else { Err(Error::from(ErrorKind::Interrupted)) }
    };
    let sink = Sink::guarded(folder.path(), Box::new(guard)).unwrap();
    sink.write("a", b"text").unwrap();
    assert_eq!(std::fs::read(folder.path().join("a")).unwrap(), b"text");
}

#[test]
fn a_folder_that_cannot_be_used_is_refused_before_anything_is_computed() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("a file");
    std::fs::write(&file, b"x").unwrap();
    assert_eq!(Sink::open(&file).map(|_| ()).unwrap_err().step, Step::Folder);
    assert_eq!(Sink::open(&file.join("below")).map(|_| ()).unwrap_err().step, Step::Folder);
}

#[test]
fn only_bare_names_are_taken() {
    let folder = tempfile::tempdir().unwrap();
    let inner = folder.path().join("inner");
    let sink = Sink::open(&inner).unwrap();
    for name in ["", ".", "..", "../x", "a/b", "/tmp/x", "a\\b", "c:x", "a/"] {
        assert!(sink.write(name, b"x").is_err(), "{name}");
    }
    assert_eq!(names(folder.path()), ["inner"]);
    assert!(names(&inner).is_empty());
}

#[cfg(unix)]
#[test]
fn a_written_file_can_be_read_as_the_users_mask_allows() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let plain = folder.path().join("plain");
    std::fs::write(&plain, b"x").unwrap();
    let path = Sink::open(folder.path()).unwrap().write("a", b"x").unwrap();
    let mode = |p: &Path| std::fs::metadata(p).unwrap().permissions().mode();
    assert_eq!(mode(&path), mode(&plain));
}
