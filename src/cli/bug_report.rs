//! What a person sees when the program breaks one of its own promises.

use std::panic::{self, PanicHookInfo};

use super::console::say;

/// Replaces the message of a panic by one that says what to send.
pub fn install_hook() {
    panic::set_hook(Box::new(|panic| say(text(panic))));
}

fn text(panic: &PanicHookInfo) -> String {
    format!(
        "a bug in bellmouth {}: {panic}\nplease report it with this text, the command line and the set-up file",
        env!("CARGO_PKG_VERSION")
    )
}
