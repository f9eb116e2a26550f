//! Ctrl-C: the first asks the command to stop, the second leaves at once.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::console::say;

/// Starts to listen for Ctrl-C. The flag returned becomes true at the first one.
#[must_use]
pub fn listen() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&stop);
    let listening = ctrlc::set_handler(move || {
        if flag.swap(true, Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    if let Err(error) = listening {
        say(format_args!("note: Ctrl-C will not keep finished points: {error}"));
    }
    stop
}
