//! What the fuzzer found, and inputs that reach far: they run with every test, by the same checks as in `fuzz/targets`.

use std::path::Path;
use std::time::{Duration, Instant};

use crate::stage;

#[path = "../../fuzz/checks/journal.rs"]
mod journal;
#[path = "../../fuzz/checks/machine.rs"]
mod machine;
#[path = "../../fuzz/checks/quantity.rs"]
mod quantity;
#[path = "../../fuzz/checks/setup.rs"]
mod setup;

/// What a target promises for one input; whether it was taken.
type Check = fn(&[u8]) -> bool;

/// Runs the stored inputs of a target: how many there are, how many of them `check` takes, and the longest time.
fn stored(target: &str, check: impl Fn(&[u8]) -> bool) -> (usize, usize, Duration) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz/seeds").join(target);
    let mut paths: Vec<_> = folder.read_dir().unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let (mut taken, mut slowest) = (0, Duration::ZERO);
    for path in &paths {
        let input = std::fs::read(path).unwrap();
        let begun = Instant::now();
        taken += usize::from(check(&input));
        slowest = slowest.max(begun.elapsed());
    }
    (paths.len(), taken, slowest)
}

#[test]
fn stored_inputs_of_the_fuzzer_hold_what_its_targets_promise() {
    let mut text = String::new();
    let mut slowest = Duration::ZERO;
    let all: [(&str, Check); 4] = [
        ("quantity", quantity::check),
        ("setup", setup::check),
        ("machine", machine::check),
        ("journal", |input| journal::check(input) > 0),
    ];
    for (target, check) in all {
        let (inputs, taken, longest) = stored(target, check);
        // Neither all refused nor all taken, or the stored inputs say little.
        assert!(taken > 2 && taken < inputs, "{target}: {taken} of {inputs} taken");
        text += &format!("{inputs} for {target} ({taken} taken), ");
        slowest = slowest.max(longest);
    }
    assert!(slowest < Duration::from_secs(5), "{slowest:?}");
    stage("stored inputs", &format!("{text}0 panics, slowest {:.0} ms", slowest.as_secs_f64() * 1e3));
}
