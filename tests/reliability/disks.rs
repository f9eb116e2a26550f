//! Disks that are full or not to be written.

use std::fs::OpenOptions;
use std::process::{Command, Stdio};

use crate::program::{Ran, bellmouth, demo, run, text};
use crate::stage;
use crate::undisturbed::{assert_undisturbed, files, map, points_kept, points_taken_over, resume, undisturbed};

/// The small map under a limit of the size of any file: the system refuses what is beyond, as it does on a full disk.
fn limited(out: &std::path::Path, blocks: usize) -> Ran {
    let whole = map(out, &["--resume"]);
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$@\"");
    let mut command = Command::new("sh");
    command.args(["-c", &script, "sh"]).arg(whole.get_program()).args(whole.get_args());
    command.env("LC_ALL", "C.UTF-8").stdin(Stdio::null()).output().unwrap().into()
}

#[test]
fn a_disk_that_fills_up_is_exit_code_3_with_the_file_and_loses_nothing() {
    let (mut refused, mut lost) = (0, 0);
    for blocks in [0, 16, 80, 120, 400] {
        let folder = tempfile::tempdir().unwrap();
        let ran = limited(folder.path(), blocks);
        for (name, bytes) in files(folder.path()).iter().filter(|(name, _)| !name.starts_with("map.partial")) {
            assert!(undisturbed().files.get(name).is_some_and(|whole| whole == bytes), "{blocks}: half of {name}");
        }
        if ran.code != Some(0) {
            refused += 1;
            assert_eq!((ran.code, ran.stdout.as_str()), (Some(3), ""), "{blocks}: {}", ran.stderr);
            let last = ran.stderr.lines().rfind(|line| line.starts_with("error: ")).unwrap().to_owned();
            assert!(last.contains(&text(folder.path())) && last.contains("File too large"), "{blocks}: {last}");
        }
        let kept = points_kept(folder.path());
        let ran = resume(folder.path());
        assert_undisturbed(folder.path(), &ran);
        lost += kept - points_taken_over(&ran);
    }
    assert!(refused >= 3, "only {refused} limits were felt");
    assert_eq!(lost, 0);
    stage("full disk", &format!("5 limits, {refused} of them felt, each with exit code 3; lost points 0, same bytes"));
}

#[test]
fn a_full_disk_behind_stdout_is_exit_code_3_and_the_files_are_there() {
    let folder = tempfile::tempdir().unwrap();
    let full = OpenOptions::new().write(true).open("/dev/full").unwrap();
    let ran: Ran = map(folder.path(), &[]).stdout(full).output().unwrap().into();
    assert_eq!(ran.code, Some(3), "{}", ran.stderr);
    assert!(ran.stderr.contains("cannot write to stdout"), "{}", ran.stderr);
    assert!(files(folder.path()) == undisturbed().files);
}

#[test]
fn a_folder_that_takes_no_files_is_refused_before_anything_is_computed() {
    // The kernel's own folder takes no files from anybody, the superuser included.
    for out in ["/proc", "/proc/bellmouth"].iter().filter(|_| std::path::Path::new("/proc/self").exists()) {
        let begun = std::time::Instant::now();
        let ran = run(&["map", &demo(), "--out", out]);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(3), ""), "{}", ran.stderr);
        assert!(ran.stderr.contains("error: could not") && ran.stderr.contains(out), "{}", ran.stderr);
        assert!(begun.elapsed() < std::time::Duration::from_secs(20), "it computed first");
    }
}

#[test]
fn a_reader_that_leaves_before_the_summary_is_no_error() {
    let folder = tempfile::tempdir().unwrap();
    let (reader, writer) = std::io::pipe().unwrap();
    drop(reader);
    let words =
        ["map", &demo(), "--out", &text(folder.path()), "--throttle", "1", "--rpm", "7000", "--cell-size", "24 mm"];
    let ran: Ran = bellmouth(&words).args(["--require", "0"]).stdout(writer).output().unwrap().into();
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(!ran.stderr.contains("rror") && folder.path().join("map.csv").exists(), "{}", ran.stderr);
}

#[test]
fn a_folder_that_goes_away_meanwhile_is_exit_code_3_with_its_name() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().join("out");
    let (setup, named) = (demo(), text(&out));
    let words = ["map", &setup, "--throttle", "1", "--rpm", "6500, 7000", "--cell-size", "24 mm", "--require", "0"];
    let mut child = bellmouth(&[&words[..], &["--threads", "1", "--out", &named]].concat());
    let mut child = child.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    crate::undisturbed::wait_for(&out, 1, &mut child);
    std::fs::remove_dir_all(&out).unwrap();
    let ran: Ran = child.wait_with_output().unwrap().into();
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(3), ""), "{}", ran.stderr);
    assert!(ran.stderr.contains("error: could not create a file for") && ran.stderr.contains(&named), "{}", ran.stderr);
    assert!(!out.exists(), "it is not made anew");
}
