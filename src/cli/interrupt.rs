//! Ctrl-C, or a request to end from the system: the first asks the command to stop, a later one leaves at once.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use super::console::say;

/// Signals this close to the first one are the same request: a shell and a supervisor often send one each. No hand is as
/// quick.
const SAME_REQUEST: Duration = Duration::from_millis(100);

/// Starts to listen for Ctrl-C. The flag returned becomes true at the first one.
#[must_use]
pub fn listen() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&stop);
    let mut first = None;
    let listening = ctrlc::set_handler(move || {
        flag.store(true, Ordering::Relaxed);
        if is_another(&mut first, Instant::now()) {
            std::process::exit(130);
        }
    });
    if let Err(error) = listening {
        say(format_args!("note: Ctrl-C will not keep finished points: {error}"));
    }
    stop
}

/// Whether a signal at `now` is another request than the one at `first`, which it sets when there was none.
fn is_another(first: &mut Option<Instant>, now: Instant) -> bool {
    now.duration_since(*first.get_or_insert(now)) >= SAME_REQUEST
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_a_signal_well_after_the_first_is_another_request() {
        let (mut first, begun) = (None, Instant::now());
        for (after, another) in [(0, false), (3, false), (99, false), (100, true), (101, true)] {
            assert_eq!(is_another(&mut first, begun + Duration::from_millis(after)), another, "{after} ms");
        }
    }
}
