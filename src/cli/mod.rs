//! The command-line program: arguments, progress, exit codes. Data on stdout, talk on stderr.

pub mod arguments;
pub mod assembled;
pub mod bug_report;
pub mod cell_size;
pub mod check;
pub mod check_text;
pub mod clock;
pub mod compare;
pub mod console;
pub mod correct;
pub mod counted;
pub mod courant;
pub mod cycle;
pub mod ending;
pub mod flow_test_text;

pub mod grid;
pub mod init;
pub mod interrupt;
pub mod journal;
pub mod load;
pub mod map;
pub mod map_files;
pub mod next_step;
pub mod opening;
pub mod out_folder;
pub mod progress;
mod pump_text;
mod same_engine;
pub mod speeds;
pub mod spots;
pub mod steps;
pub mod watch;
