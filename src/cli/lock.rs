//! `.bellmouth.lock`: keeps a second run out of a folder in which one is writing.
//!
//! The lock is the system's (advisory), so it ends with the process however that ends: a file that a killed run left
//! keeps nobody out. The file holds the number of the process, for the message to the second run, and goes with the
//! run. On a network disk a lock may not hold; files are then still whole, as each is renamed into its place.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Seek, Write};
use std::path::{Path, PathBuf};

use super::console::{say, style};
use super::ending::Failure;
use crate::diagnostics::{Problem, render};
use crate::report::Sink;

/// Name of the file in the output folder.
pub const FILE_NAME: &str = ".bellmouth.lock";
/// How often a file is opened anew because the run before removed it meanwhile.
const TRIES: usize = 20;

/// A folder that is ours until this is dropped.
#[derive(Debug)]
pub struct Lock {
    _file: File,
    path: PathBuf,
    /// Whether the system keeps others out.
    holds: bool,
}

impl Lock {
    /// Takes the folder of `sink` and removes what killed runs left there under temporary names.
    ///
    /// # Errors
    /// [`Failure::Input`] when another run has it, [`Failure::Write`] when the file cannot be made.
    pub fn take(sink: &Sink) -> Result<Self, Failure> {
        let lock = Self::alone(sink.folder())?;
        if lock.holds {
            let _ = sink.remove_left_pieces();
        }
        Ok(lock)
    }

    /// Takes the folder as it is.
    fn alone(folder: &Path) -> Result<Self, Failure> {
        let path = folder.join(FILE_NAME);
        let failure = |error: &io::Error| Failure::Write(format!("cannot lock `{}`: {error}", path.display()));
        for _ in 0..TRIES {
            let opened = OpenOptions::new().create(true).truncate(false).read(true).write(true).open(&path);
            let mut file = opened.map_err(|error| failure(&error))?;
            match file.try_lock() {
                Ok(()) if is_still(&file, &path) => {
                    // For the message of a second run alone, so a full disk is no reason to stop here.
                    let _ = file.set_len(0).and_then(|()| writeln!(file, "{}", std::process::id()));
                    return Ok(Self { _file: file, path, holds: true });
                }
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Err(taken(folder, &mut file)),
                Err(TryLockError::Error(error)) if error.kind() == ErrorKind::Unsupported => {
                    say(format_args!("note: `{}` cannot be locked; start no second run there", folder.display()));
                    return Ok(Self { _file: file, path, holds: false });
                }
                Err(TryLockError::Error(error)) => return Err(failure(&error)),
            }
        }
        Err(failure(&io::Error::other("other runs take it again and again")))
    }
}

impl Drop for Lock {
    fn drop(&mut self) {
        // While it is still locked: a run that opened it meanwhile sees that the name is gone and opens a new one.
        let _ = std::fs::remove_file(&self.path);
    }
}

/// Whether the locked file is the one that has the name: the run before may have removed it in between.
#[cfg(unix)]
fn is_still(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let (Ok(ours), Ok(named)) = (file.metadata(), std::fs::metadata(path)) else { return false };
    (ours.dev(), ours.ino()) == (named.dev(), named.ino())
}

/// Elsewhere an open file keeps its name.
#[cfg(not(unix))]
fn is_still(_file: &File, _path: &Path) -> bool {
    true
}

/// What the second run says.
fn taken(folder: &Path, file: &mut File) -> Failure {
    let mut text = String::new();
    let _ = file.rewind().and_then(|()| file.take(32).read_to_string(&mut text));
    let who = text.trim().parse::<u32>().map(|number| format!(" (process {number})")).unwrap_or_default();
    let problem = Problem::error(format!("another run{who} is writing into `{}`", folder.display()))
        .help("wait until it ends, or choose another folder with `--out`");
    Failure::Input(render(&[problem], style()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn a_second_run_is_kept_out_and_told_who_is_there() {
        let folder = tempfile::tempdir().unwrap();
        let first = Lock::alone(folder.path()).unwrap();
        let Err(Failure::Input(text)) = Lock::alone(folder.path()) else { panic!("two have the folder") };
        let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(text.contains("another run") && text.contains("`--out`"), "{text}");
        if cfg!(unix) {
            assert!(text.contains(&format!("(process {})", std::process::id())), "{text}");
        }
        drop(first);
        assert_eq!(folder.path().read_dir().unwrap().count(), 0, "the file goes with the run");
        Lock::alone(folder.path()).unwrap();
    }

    #[test]
    fn a_file_that_a_killed_run_left_keeps_nobody_out() {
        let folder = tempfile::tempdir().unwrap();
        std::fs::write(folder.path().join(FILE_NAME), "4711\n").unwrap();
        Lock::alone(folder.path()).unwrap();
    }

    #[test]
    fn of_many_at_once_one_has_the_folder_at_a_time() {
        let folder = tempfile::tempdir().unwrap();
        let inside = std::sync::atomic::AtomicUsize::new(0);
        let order = std::sync::atomic::Ordering::SeqCst;
        std::thread::scope(|scope| {
            for _ in 0..4 {
                scope.spawn(|| {
                    for _ in 0..200 {
                        if let Ok(lock) = Lock::alone(folder.path()) {
                            assert_eq!(inside.fetch_add(1, order), 0, "two have the folder");
                            inside.fetch_sub(1, order);
                            drop(lock);
                        }
                    }
                });
            }
        });
    }
}
