//! `init` prints a set-up that the other commands take as it is.

use crate::program::{file, run, text};

#[test]
fn what_init_prints_passes_check() {
    let printed = run(&["init"]);
    assert_eq!((printed.code, printed.stderr.as_str()), (Some(0), ""));
    let (_folder, path) = file("mine.toml", printed.stdout.as_bytes());
    let checked = run(&["check", &text(&path)]);
    assert_eq!(checked.code, Some(0), "{}", checked.stderr);
}

#[test]
fn init_takes_the_kind_of_set_up_by_name() {
    assert_eq!(run(&["init", "single"]).stdout, run(&["init"]).stdout);
}

#[test]
fn the_printed_set_up_explains_itself() {
    let printed = run(&["init"]).stdout;
    let comments = printed.lines().filter(|line| line.contains('#')).count();
    assert!(comments >= 10, "only {comments} lines with a comment");
}

#[test]
fn no_line_of_the_printed_set_up_is_longer_than_100_columns() {
    for line in run(&["init"]).stdout.lines() {
        assert!(line.chars().count() <= 100, "{line}");
    }
}

#[test]
fn the_printed_set_up_names_the_parts_that_may_stand_in_front_of_the_mouth() {
    let printed = run(&["init"]).stdout;
    for word in ["# [air_box]", "# [air_box.inlet]", "# [air_box.filter]", "# [pod_filter]", "# vent = "] {
        assert!(printed.contains(word), "{word}");
    }
}
