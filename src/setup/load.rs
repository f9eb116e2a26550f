//! From a path to a set-up: the file, the files it names, and their tables.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::assemble::assemble;
use super::file::{TextFile, read};
use super::include::locate;
use super::limits::MOST_INCLUDES;
use super::setup::Setup;
use crate::diagnostics::clean::clean_line;
use crate::diagnostics::{Place, Problem, Report, Warned};

/// Keys that may name another file.
pub const NAMING_KEYS: [&str; 2] = ["engine", "carburettor"];

/// The texts a set-up is made of.
#[derive(Debug, Clone)]
pub struct Texts {
    /// The set-up file.
    pub main: TextFile,
    /// Files it names, by key; or why one cannot be had.
    pub named: BTreeMap<&'static str, Result<TextFile, Report>>,
    /// Name to fall back on.
    pub stem: String,
}

/// Loads the set-up at `path`; the files it names have to lie inside `root`, by default the set-up file's folder.
///
/// # Errors
/// Everything that is wrong with the file, at once.
pub fn load(path: &Path, root: Option<&Path>) -> Result<Warned<Setup>, Report> {
    let name = path.to_string_lossy();
    let main = read(path, &name)?;
    let tables = parse(&main)?;
    let folder = Folder::of(path, root);
    let mut named = BTreeMap::new();
    for key in NAMING_KEYS.into_iter().take(MOST_INCLUDES) {
        let Some(value) = tables.get_ref().get(key) else { continue };
        let DeValue::String(text) = value.get_ref() else { continue };
        let place = Place { source: Arc::clone(&main.source), span: value.span() };
        named.insert(key, fetch(key, text, &folder, path, place));
    }
    let stem = path.file_stem().map_or_else(|| "set-up".into(), |s| s.to_string_lossy().into_owned());
    assemble(&Texts { main: main.clone(), named, stem }, None)
}

/// Loads a set-up from text called `name`; it may name no other file.
///
/// # Errors
/// Everything that is wrong with the text, at once.
pub fn load_text(name: &str, text: &str) -> Result<Warned<Setup>, Report> {
    let main = TextFile::new(name, text)?;
    let tables = parse(&main)?;
    let mut named = BTreeMap::new();
    for key in NAMING_KEYS {
        if let Some((value, DeValue::String(_))) = tables.get_ref().get(key).map(|v| (v, v.get_ref())) {
            let place = Place { source: Arc::clone(&main.source), span: value.span() };
            let problem = Problem::error(format!("`{key}` names a file, but this text is not one itself"))
                .at(Some(place), "a path");
            named.insert(key, Err(Report::one(problem)));
        }
    }
    assemble(&Texts { main: main.clone(), named, stem: clean_line(name, 60) }, None)
}

/// The table of a file, or all its mistakes of syntax.
///
/// # Errors
/// Mistakes of syntax, each with its place.
pub fn parse(file: &TextFile) -> Result<Spanned<DeTable<'_>>, Report> {
    let (table, errors) = DeTable::parse_recoverable(&file.text);
    if errors.is_empty() {
        return Ok(table);
    }
    let problems = errors.iter().map(|e| {
        let place = e.span().map(|span| Place { source: Arc::clone(&file.source), span });
        let message = clean_line(e.message(), 200);
        let message = message.trim_end_matches('.');
        Problem::error(format!("the file cannot be read here: {message}"))
            .at(place, "here")
            .help("a value is written key = \"38 mm\", a heading [carburettor], a remark starts with #")
    });
    Err(Report { problems: problems.collect() })
}

/// Where named files are looked for.
struct Folder {
    folder: std::io::Result<PathBuf>,
    root: std::io::Result<PathBuf>,
}

impl Folder {
    fn of(path: &Path, root: Option<&Path>) -> Self {
        let parent = path.parent().filter(|p| !p.as_os_str().is_empty()).unwrap_or(Path::new("."));
        Self { folder: std::fs::canonicalize(parent), root: std::fs::canonicalize(root.unwrap_or(parent)) }
    }
}

fn fetch(key: &str, text: &str, folder: &Folder, main: &Path, place: Place) -> Result<TextFile, Report> {
    let refused = |why: &str| {
        let problem = Problem::error(format!("`{key}` names a file that is refused: {why}"))
            .at(Some(place.clone()), "this path")
            .help("write a path relative to this file, inside its folder: \"engines/single.toml\"");
        Report::one(problem)
    };
    let (Ok(inside), Ok(root)) = (&folder.folder, &folder.root) else {
        return Err(refused("the root folder cannot be found"));
    };
    let found = locate(text, inside, root).map_err(|why| {
        if why == "no such file" {
            let problem = Problem::error(format!("`{key}` names a file that is not there"))
                .at(Some(place.clone()), why)
                .help("the path is relative to the file that names it");
            return Report::one(problem);
        }
        refused(why)
    })?;
    if std::fs::canonicalize(main).is_ok_and(|m| m == found) {
        return Err(refused("the file names itself"));
    }
    read(&found, text).map_err(|mut report| {
        for problem in report.problems.iter_mut().filter(|p| p.place.is_none()) {
            *problem = problem.clone().at(Some(place.clone()), "this path");
        }
        report
    })
}
