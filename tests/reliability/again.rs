//! Runs one ignored test of this program in a process of its own.

use std::process::Command;

use crate::program::Ran;

/// Runs the ignored test `name` alone, with `variables` in its environment.
pub fn alone(name: &str, variables: &[(&str, String)]) -> Ran {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--ignored", "--exact", name, "--nocapture", "--test-threads", "1"]);
    variables.iter().for_each(|(key, value)| drop(command.env(key, value)));
    command.output().unwrap().into()
}
