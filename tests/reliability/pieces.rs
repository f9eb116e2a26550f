//! What a kill leaves under a temporary name goes with the next run in that folder, and nothing else does.

use bellmouth::cli::lock::Lock;
use bellmouth::report::Sink;

use crate::program::{demo, files_in, run, text};

/// Names of no piece of ours.
const OTHERS: [&str; 9] = [
    ".bellmouth-.tmp",
    ".bellmouth-abcde.tmp",
    ".bellmouth-abcdefg.tmp",
    ".bellmouth-abc-ef.tmp",
    ".bellmouth-abcdef.tmp.old",
    "bellmouth-abcdef.tmp",
    "x.bellmouth-abcdef.tmp",
    "map.csv.tmp",
    ".tmp",
];

#[test]
fn the_next_run_removes_what_a_kill_left_and_nothing_else() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    for name in OTHERS.iter().chain(&[".bellmouth-a0Zb9y.tmp", ".bellmouth-AAAAAA.tmp"]) {
        std::fs::write(at(name), "half").unwrap();
    }
    std::fs::create_dir(at(".bellmouth-folder.tmp")).unwrap();
    let mut kept: Vec<String> = OTHERS.iter().map(|name| (*name).to_owned()).collect();
    kept.push(".bellmouth-folder.tmp".to_owned());
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(at("map.csv.tmp"), at(".bellmouth-linked.tmp")).unwrap();
        kept.push(".bellmouth-linked.tmp".to_owned());
    }
    kept.sort();
    let sink = Sink::open(folder.path()).unwrap();
    let lock = Lock::take(&sink).unwrap();
    let found = || files_in(folder.path()).into_iter().filter(|name| name != ".bellmouth.lock").collect::<Vec<_>>();
    assert_eq!(found(), kept);
    // Pieces that appear while a run has the folder are its own: one that is refused leaves them alone.
    std::fs::write(at(".bellmouth-abcdef.tmp"), "being written").unwrap();
    let words = ["cycle", &demo(), "--throttle", "1", "--rpm", "7000", "--cell-size", "24 mm", "--out"];
    let out = text(folder.path());
    let ran = run(&[&words[..], &[&out]].concat());
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(at(".bellmouth-abcdef.tmp").exists());
    drop(lock);
    let ran = run(&[&words[..], &[&out]].concat());
    assert!(ran.code.is_some_and(|code| code < 2), "{}", ran.stderr);
    assert!(!at(".bellmouth-abcdef.tmp").exists() && at("map.csv.tmp").exists());
}
