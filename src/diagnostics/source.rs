//! The text of a file, and a place in it.

use std::ops::Range;
use std::sync::Arc;

use super::clean::{clean, clean_line};

/// The text of one file, kept for messages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Name as shown, cleaned.
    pub name: String,
    /// Text, cleaned, tabs as blanks, byte for byte as long as the file's.
    pub shown: String,
}

impl Source {
    /// Keeps `text` of the file called `name`.
    #[must_use]
    pub fn new(name: &str, text: &str) -> Arc<Self> {
        Arc::new(Self { name: clean_line(name, 200), shown: clean(text).replace('\t', " ") })
    }

    /// Line and column of a byte, both from 1; the column counts characters.
    #[must_use]
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        let start = self.line_start(offset);
        let line = self.shown[..start].matches('\n').count() + 1;
        let column = self.shown[start..self.boundary(offset)].chars().count() + 1;
        (line, column)
    }

    /// First byte of the line that holds `offset`.
    #[must_use]
    pub fn line_start(&self, offset: usize) -> usize {
        self.shown[..self.boundary(offset)].rfind('\n').map_or(0, |i| i + 1)
    }

    /// Byte after the last one of the line that holds `offset`, the line feed left out.
    #[must_use]
    pub fn line_end(&self, offset: usize) -> usize {
        let from = self.boundary(offset);
        self.shown[from..].find('\n').map_or(self.shown.len(), |i| from + i)
    }

    /// The nearest start of a character at or before `offset`.
    #[must_use]
    pub fn boundary(&self, offset: usize) -> usize {
        let mut i = offset.min(self.shown.len());
        while !self.shown.is_char_boundary(i) {
            i -= 1;
        }
        i
    }
}

/// A stretch of a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// File.
    pub source: Arc<Source>,
    /// Bytes.
    pub span: Range<usize>,
}

impl Place {
    /// Line from 1.
    #[must_use]
    pub fn line(&self) -> usize {
        self.source.line_column(self.span.start).0
    }

    /// Column from 1, in characters.
    #[must_use]
    pub fn column(&self) -> usize {
        self.source.line_column(self.span.start).1
    }

    /// The file and the line: `engine.toml:12`.
    #[must_use]
    pub fn short(&self) -> String {
        format!("{}:{}", self.source.name, self.line())
    }
}
