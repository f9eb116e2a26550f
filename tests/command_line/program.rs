//! Runs the built program.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// What a run left.
#[derive(Debug)]
pub struct Ran {
    pub code: Option<i32>,
    pub stdout: String,
    pub stderr: String,
}

impl From<Output> for Ran {
    fn from(output: Output) -> Self {
        Self {
            code: output.status.code(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}

/// The program with an environment that does not depend on who runs the tests.
pub fn bellmouth(words: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bellmouth"));
    command.args(words).stdin(Stdio::null()).env_remove("NO_COLOR").env_remove("COLUMNS").env("LC_ALL", "C.UTF-8");
    command
}

/// Runs the program to its end.
pub fn run(words: &[&str]) -> Ran {
    bellmouth(words).output().unwrap().into()
}

/// The set-up of the README's example.
pub fn demo() -> String {
    text(&Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios").join("sidecar_38mm.toml"))
}

/// A path as an argument.
pub fn text(path: &Path) -> String {
    path.to_str().unwrap().to_owned()
}

/// Names of the files in a folder, in order.
pub fn files_in(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> =
        folder.read_dir().unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// Writes `content` into a file of a new folder; the folder is removed with the first value.
pub fn file(name: &str, content: &[u8]) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join(name);
    std::fs::write(&path, content).unwrap();
    (folder, path)
}
