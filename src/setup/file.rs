//! Reading a text file that a person wrote.

use std::fs::File;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use super::limits::{LARGEST_FILE, LONGEST_LINE};
use crate::diagnostics::clean::clean_line;
use crate::diagnostics::{Place, Problem, Report, Source};

/// A text file as read.
#[derive(Debug, Clone)]
pub struct TextFile {
    /// For messages.
    pub source: Arc<Source>,
    /// The text itself.
    pub text: Arc<str>,
}

impl TextFile {
    /// A text already at hand, called `name`.
    ///
    /// # Errors
    /// A line longer than [`LONGEST_LINE`].
    pub fn new(name: &str, text: &str) -> Result<Self, Report> {
        let source = Source::new(name, text);
        let mut start = 0;
        for line in text.split('\n') {
            if line.len() > LONGEST_LINE {
                let end = start + line.char_indices().take(40).last().map_or(0, |(i, c)| i + c.len_utf8());
                let problem = Problem::error("a line is too long")
                    .at(Some(Place { source, span: start..end }), format!("{} bytes in this line", line.len()))
                    .allowed(format!("at most {LONGEST_LINE} bytes in a line"));
                return Err(Report::one(problem));
            }
            start += line.len() + 1;
        }
        Ok(Self { source, text: text.into() })
    }
}

/// Reads the regular file at `path`, called `name` in messages.
///
/// # Errors
/// Not there, not a regular file, too large, not UTF-8, a line too long. No content of the file is in the problem unless it
/// is readable text.
pub fn read(path: &Path, name: &str) -> Result<TextFile, Report> {
    let named = clean_line(name, 200);
    let cannot = |e: &std::io::Error| {
        let problem = Problem::error(format!("cannot read `{named}`: {}", reason(e)));
        Report::one(problem.help("check the name and the folder"))
    };
    let regular = |is_file: bool, is_dir: bool| {
        if is_file {
            return Ok(());
        }
        let what = if is_dir { "a folder" } else { "not a regular file" };
        let problem = Problem::error(format!("cannot read `{named}`: it is {what}"));
        Err(Report::one(problem.help("name the set-up file itself")))
    };
    // asked before opening, as opening a pipe would wait for its other end
    let before = std::fs::metadata(path).map_err(|e| cannot(&e))?;
    regular(before.is_file(), before.is_dir())?;
    let file = File::open(path).map_err(|e| cannot(&e))?;
    let opened = file.metadata().map_err(|e| cannot(&e))?;
    regular(opened.is_file(), opened.is_dir())?;
    let mut bytes = Vec::new();
    file.take(LARGEST_FILE + 1).read_to_end(&mut bytes).map_err(|e| cannot(&e))?;
    if bytes.len() as u64 > LARGEST_FILE {
        let problem = Problem::error(format!("`{named}` is too large"))
            .allowed(format!("at most {} KiB", LARGEST_FILE / 1024))
            .help("a set-up is a page or two of text; is this the right file?");
        return Err(Report::one(problem));
    }
    TextFile::new(name, decode(&bytes, &named)?)
}

fn reason(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "no such file".into(),
        std::io::ErrorKind::PermissionDenied => "permission denied".into(),
        kind => kind.to_string(),
    }
}

/// The text of `bytes`, without a byte-order mark.
fn decode<'b>(bytes: &'b [u8], named: &str) -> Result<&'b str, Report> {
    let refused = |what: String| Report::one(Problem::error(what).help("save it as UTF-8 text in your editor"));
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        return Err(refused(format!("`{named}` is UTF-16 text, not UTF-8")));
    }
    let bytes = bytes.strip_prefix(&[0xef, 0xbb, 0xbf]).unwrap_or(bytes);
    if bytes.contains(&0) {
        return Err(refused(format!("`{named}` is not a text file")));
    }
    std::str::from_utf8(bytes).map_err(|e| {
        let line = bytes[..e.valid_up_to()].iter().filter(|b| **b == b'\n').count() + 1;
        refused(format!("`{named}` is not UTF-8 text, from line {line} on"))
    })
}
