//! Runs side by side, and no word to any network.

use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use crate::program::{Ran, bellmouth, demo, text};
use crate::stage;
use crate::undisturbed::{assert_undisturbed, map, undisturbed, wait_for};

fn started(mut command: Command) -> Child {
    command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
}

/// Open sockets of a process; none where the system does not list them.
fn sockets(child: &Child) -> usize {
    let Ok(open) = Path::new("/proc").join(child.id().to_string()).join("fd").read_dir() else { return 0 };
    let target = |entry: std::fs::DirEntry| entry.path().read_link().unwrap_or_default();
    open.flatten().map(target).filter(|path| path.to_string_lossy().starts_with("socket:")).count()
}

#[test]
fn one_folder_has_one_run_and_runs_in_two_folders_do_not_touch_each_other() {
    let (one, two) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let (setup, out, beside) = (demo(), text(one.path()), text(two.path()));
    let mut first = started(map(one.path(), &[]));
    wait_for(one.path(), 1, &mut first);
    // Full throttle alone, which in the whole map starts cold as well.
    let words = ["map", &setup, "--throttle", "1", "--rpm", "5500 to 7000 by 500", "--cell-size", "24 mm"];
    let second = started(bellmouth(&[&words[..], &["--require", "0", "--out", &beside]].concat()));
    let begun = Instant::now();
    let cycle = bellmouth(&["cycle", &setup, "--rpm", "6000", "--throttle", "1", "--out", &out]);
    let other = text(&Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/sidecar_34mm.toml"));
    let compare = bellmouth(&["compare", &setup, &other, "--rpm", "6000", "--out", &out]);
    let late = [map(one.path(), &[]), map(one.path(), &["--resume"]), cycle, compare].map(started);
    let mut open = 0;
    for child in late {
        let ran: Ran = child.wait_with_output().unwrap().into();
        open += sockets(&first) + sockets(&second);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
        let said: String = ran.stderr.chars().filter(|c| !c.is_whitespace() && *c != '│').collect();
        for words in [format!("(process{})", first.id()), out.clone(), "`--out`".to_owned()] {
            assert!(said.contains(&words), "no {words}: {said}");
        }
    }
    assert!(begun.elapsed() < Duration::from_secs(20), "it took {:?} to be refused", begun.elapsed());
    let first: Ran = first.wait_with_output().unwrap().into();
    assert_undisturbed(one.path(), &first);
    let second: Ran = second.wait_with_output().unwrap().into();
    assert_eq!(second.code, Some(0), "{}", second.stderr);
    let whole = String::from_utf8(undisturbed().files["map.csv"].clone()).unwrap();
    let wanted: Vec<&str> = whole.lines().filter(|row| row.starts_with("throttle") || row.starts_with("1,")).collect();
    let found = std::fs::read_to_string(two.path().join("map.csv")).unwrap();
    assert_eq!((found.lines().collect::<Vec<_>>(), wanted.len()), (wanted, 5));
    assert_eq!(open, 0, "sockets");
    stage(
        "side by side",
        "2 maps, cycle and compare refused in the folder of a map; 2 maps at once, same bytes, 0 sockets",
    );
}

/// With the system's own list of what a process asks for, where there is one.
#[test]
fn no_command_asks_the_system_for_a_network() {
    let folder = tempfile::tempdir().unwrap();
    let trace = folder.path().join("trace");
    let (setup, out) = (demo(), text(&folder.path().join("out")));
    let small = ["--throttle", "1", "--rpm", "7000", "--cell-size", "24 mm", "--require", "0", "--out", &out];
    let commands = [
        vec!["init"],
        vec!["check", &setup],
        [&["map", &setup][..], &small].concat(),
        vec!["cycle", &setup, "--throttle", "1", "--rpm", "7000", "--cell-size", "24 mm", "--out", &out],
    ];
    let mut traced = 0;
    for words in commands {
        let program = bellmouth(&words);
        let mut command = Command::new("strace");
        command.args(["-f", "-qq", "-e", "trace=network", "-o"]).arg(&trace);
        command.arg(program.get_program()).args(program.get_args()).stdin(Stdio::null());
        let Ok(output) = command.output() else { break };
        if std::fs::metadata(&trace).is_err() || String::from_utf8_lossy(&output.stderr).contains("ptrace") {
            break; // the system lets nobody look
        }
        assert!(output.status.code().is_some_and(|code| code < 2), "{words:?}");
        // Two threads tell each other to wake up by no socket either, so nothing at all is allowed.
        let asked = std::fs::read_to_string(&trace).unwrap();
        let calls: Vec<&str> = asked.lines().filter(|line| line.contains('(')).collect();
        assert!(calls.is_empty(), "{words:?}: {calls:?}");
        traced += 1;
    }
    let how = if traced == 0 { "not traced: no strace here" } else { "0 calls of the network" };
    stage("network", &format!("{traced} commands, {how}"));
}
