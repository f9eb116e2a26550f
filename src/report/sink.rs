//! The only place that writes files: each is there whole or not at all.
//!
//! A file is written beside its place under a name of its own (`.tmp` at the end), brought to the disk, then renamed;
//! then the folder is brought to the disk where the system can do that. When a step fails the piece is removed and a
//! file of that name from an earlier run stays as it was. A kill leaves the piece; the next run there removes it.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use tempfile::{Builder, NamedTempFile};

/// Bytes handed to the system at once.
const CHUNK: usize = 64 * 1024;
/// How often an interrupted step is tried again.
const TRIES: usize = 10;
/// How the name of a piece begins and ends, and how many letters and digits stand between.
const PIECE: (&str, &str, usize) = (".bellmouth-", ".tmp", 6);
/// Waits before a refused rename is tried again on systems whose scanners hold new files [ms].
const WAITS_MS: [u64; 6] = [10, 25, 50, 100, 200, 400];

/// A step of writing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Step {
    /// Make the folder.
    Folder,
    /// Make the file under its temporary name.
    Create,
    /// Hand over the next bytes.
    Write,
    /// Bring the file to the disk.
    SyncFile,
    /// Give the file its name.
    Rename,
    /// Bring the folder to the disk.
    SyncFolder,
    /// Take an older file away.
    Remove,
}

impl Step {
    fn words(self) -> &'static str {
        match self {
            Self::Folder => "could not make the folder",
            Self::Create => "could not create a file for",
            Self::Write => "could not write",
            Self::SyncFile => "could not bring to the disk",
            Self::Rename => "could not put in place",
            Self::SyncFolder => "could not bring to the disk the folder of",
            Self::Remove => "could not remove",
        }
    }
}

/// A file or folder could not be written.
#[derive(Debug, thiserror::Error)]
#[error("{} `{}`: {source}", step.words(), path.display())]
pub struct SinkError {
    /// Step that failed.
    pub step: Step,
    /// File or folder.
    pub path: PathBuf,
    /// Cause, as the system names it.
    pub source: io::Error,
}

/// Asked before each step; an error stands for a failure of that step.
pub type Guard = Box<dyn Fn(Step) -> io::Result<()> + Send + Sync>;

/// A folder that takes files.
pub struct Sink {
    folder: PathBuf,
    guard: Guard,
}

impl Sink {
    /// Make `folder` if it is not there and find out, with a probe file, whether files can be written to it.
    ///
    /// # Errors
    /// The folder cannot be made or written to.
    pub fn open(folder: &Path) -> Result<Self, SinkError> {
        Self::guarded(folder, Box::new(|_| Ok(())))
    }

    /// The same with failures on demand.
    ///
    /// # Errors
    /// As [`Sink::open`].
    pub fn guarded(folder: &Path, guard: Guard) -> Result<Self, SinkError> {
        let sink = Self { folder: folder.to_owned(), guard };
        sink.step(Step::Folder, folder, || fs::create_dir_all(folder))?;
        let probe = sink.piece(&folder.join("probe file"), b"probe")?;
        drop(probe);
        Ok(sink)
    }

    /// Folder.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// Write `bytes` as the file `name`, in place of an older one; returns its path.
    ///
    /// # Errors
    /// A step failed, or `name` is not the bare name of a file.
    pub fn write(&self, name: &str, bytes: &[u8]) -> Result<PathBuf, SinkError> {
        let path = self.folder.join(name);
        let bare = Path::new(name).file_name().is_some_and(|n| n == name) && !name.contains(['/', '\\', ':']);
        if !bare {
            let source = io::Error::new(io::ErrorKind::InvalidInput, "not the bare name of a file");
            return Err(SinkError { step: Step::Create, path, source });
        }
        let piece = self.piece(&path, bytes)?;
        self.rename(piece, &path)?;
        self.step(Step::SyncFolder, &path, || sync_folder(&self.folder))?;
        Ok(path)
    }

    /// Remove the file `name` of an earlier run, if it is there.
    ///
    /// # Errors
    /// It cannot be removed.
    pub fn remove(&self, name: &str) -> Result<(), SinkError> {
        let path = self.folder.join(name);
        self.step(Step::Remove, &path, || match fs::remove_file(&path) {
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(()),
            other => other,
        })
    }

    /// Remove the pieces that killed runs left in the folder, and nothing else; returns how many. A piece that cannot
    /// be removed stays: it is in nobody's way. To be called only while no other run writes into the folder.
    #[must_use]
    pub fn remove_left_pieces(&self) -> usize {
        let Ok(entries) = fs::read_dir(&self.folder) else { return 0 };
        let piece = |entry: &fs::DirEntry| {
            let plain = entry.file_type().is_ok_and(|kind| kind.is_file());
            plain && entry.file_name().to_str().is_some_and(is_piece)
        };
        entries.flatten().filter(|entry| piece(entry) && fs::remove_file(entry.path()).is_ok()).count()
    }

    /// A synced file under a temporary name; it goes away when dropped.
    fn piece(&self, path: &Path, bytes: &[u8]) -> Result<NamedTempFile, SinkError> {
        let mut piece = self.step(Step::Create, path, || create(&self.folder))?;
        for chunk in bytes.chunks(CHUNK) {
            self.step(Step::Write, path, || piece.as_file_mut().write_all(chunk))?;
        }
        self.step(Step::SyncFile, path, || piece.as_file().sync_all())?;
        Ok(piece)
    }

    fn rename(&self, piece: NamedTempFile, path: &Path) -> Result<(), SinkError> {
        let mut piece = Some(piece);
        let mut waits = 0;
        self.step(Step::Rename, path, || {
            while let Some(file) = piece.take() {
                let Err(refused) = file.persist(path) else { return Ok(()) };
                piece = Some(refused.file);
                if !wait_for_scanner(&refused.error, waits) {
                    return Err(refused.error);
                }
                waits += 1;
            }
            Err(io::Error::other("the file under its temporary name is gone"))
        })
    }

    /// One step, tried again when the system interrupts it.
    fn step<T>(&self, step: Step, path: &Path, mut act: impl FnMut() -> io::Result<T>) -> Result<T, SinkError> {
        let mut tries = 1;
        loop {
            match (self.guard)(step).and_then(|()| act()) {
                Ok(value) => return Ok(value),
                Err(error) if error.kind() == io::ErrorKind::Interrupted && tries < TRIES => tries += 1,
                Err(source) => return Err(SinkError { step, path: path.to_owned(), source }),
            }
        }
    }
}

/// Whether `name` is one that [`create`] gives.
fn is_piece(name: &str) -> bool {
    let (prefix, suffix, letters) = PIECE;
    let between = name.strip_prefix(prefix).and_then(|rest| rest.strip_suffix(suffix));
    between.is_some_and(|b| b.len() == letters && b.bytes().all(|byte| byte.is_ascii_alphanumeric()))
}

/// A new file beside the others, with the rights that the user's mask gives.
fn create(folder: &Path) -> io::Result<NamedTempFile> {
    let mut builder = Builder::new();
    let (prefix, suffix, letters) = PIECE;
    builder.prefix(prefix).suffix(suffix).rand_bytes(letters);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    builder.tempfile_in(folder)
}

/// Where scanners hold new files for a moment, wait before a refused rename is tried again; whether to try again.
fn wait_for_scanner(error: &io::Error, waits: usize) -> bool {
    let waits_ms: &[u64] = if cfg!(windows) { &WAITS_MS } else { &[] };
    // access denied, sharing violation
    let held = matches!(error.raw_os_error(), Some(5 | 32));
    let Some(wait) = waits_ms.get(waits).filter(|_| held) else { return false };
    std::thread::sleep(std::time::Duration::from_millis(*wait));
    true
}

/// Bring the names in a folder to the disk, where folders can be synced.
fn sync_folder(folder: &Path) -> io::Result<()> {
    if cfg!(unix) { File::open(folder)?.sync_all() } else { Ok(()) }
}
