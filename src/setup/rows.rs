//! Lists of tables in the file: by-pass holes, tapers, bands, tests.

use toml::Spanned;
use toml::de::{DeArray, DeValue};

use super::ledger::Ledger;
use super::reader::{Raw, Reader, kind};
use crate::diagnostics::Problem;

/// What a list is of.
#[derive(Debug, Clone, Copy)]
pub struct Rows {
    /// One row, with its article: "a hole".
    pub one: &'static str,
    /// Several: "holes".
    pub many: &'static str,
    /// How to write them.
    pub help: &'static str,
}

impl Rows {
    /// The list that stands as `raw` under `path`; a problem if it is none.
    pub fn list<'a>(&self, ledger: &mut Ledger, path: &str, raw: &Raw<'a>) -> Option<&'a DeArray<'a>> {
        if let DeValue::Array(list) = raw.value {
            return Some(list);
        }
        ledger.note(
            Problem::error(format!("`{path}` has to be a list of {}", self.many))
                .at(Some(raw.place.clone()), kind(raw.value))
                .help(self.help),
        );
        None
    }

    /// The row `item` of the list under `path`, number `i` of it; a problem if it is no table.
    pub fn row<'a>(
        &self,
        reader: &Reader<'a>,
        ledger: &mut Ledger,
        path: &str,
        (i, item): (usize, &'a Spanned<DeValue<'a>>),
    ) -> Option<Reader<'a>> {
        let item = reader.placed(item);
        let path = format!("{path}[{i}]");
        if let DeValue::Table(table) = item.value {
            return Some(reader.inside(table, &path, item.place));
        }
        ledger.note(
            Problem::error(format!("`{path}` has to be {}", self.one))
                .at(Some(item.place), kind(item.value))
                .help(self.help),
        );
        None
    }
}
