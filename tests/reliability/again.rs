//! Runs one ignored test of this program in a process of its own.

use std::process::Command;

use crate::program::Ran;

/// Runs the ignored test `name` alone, with `variables` in its environment.
pub fn alone(name: &str, variables: &[(&str, String)]) -> Ran {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--ignored", "--exact", name, "--nocapture", "--test-threads", "1"]);
    command.envs(variables.iter().map(|(key, value)| (key, value))).output().unwrap().into()
}
