//! The command-line program; see the library crate `bellmouth` for what it computes.

use std::process::ExitCode;

use bellmouth::cli::arguments::{self, Command};
use bellmouth::cli::{bug_report, check, compare, cycle, ending, init, map, rejet, snap, supply};

fn main() -> ExitCode {
    bug_report::install_hook();
    let command = match arguments::read() {
        Ok(command) => command,
        Err(outcome) => return ending::exit_code(outcome),
    };
    ending::exit_code(match command {
        Command::Init(arguments) => init::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::Map(arguments) => map::run(&arguments),
        Command::Cycle(arguments) => cycle::run(&arguments),
        Command::Rejet(arguments) => rejet::run(&arguments),
        Command::Compare(arguments) => compare::run(&arguments),
        Command::Supply(arguments) => supply::run(&arguments),
        Command::Snap(arguments) => snap::run(&arguments),
    })
}
