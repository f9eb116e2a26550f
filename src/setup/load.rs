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
use crate::diagnostics::render::MOST_SHOWN;
use crate::diagnostics::{Place, Problem, Report, Warned};
use crate::hardware::duct::USUAL_CELL;

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
    /// Cell of the gas grid [m] that the ducts have to fit.
    pub cell_size: f64,
    /// Values in place of the file's.
    pub instead: Option<TextFile>,
}

/// Loads the set-up at `path`; the files it names have to lie inside `root`, by default the set-up file's folder.
///
/// # Errors
/// Everything that is wrong with the file, at once.
pub fn load(path: &Path, root: Option<&Path>) -> Result<Warned<Setup>, Report> {
    load_for_cells(path, root, USUAL_CELL)
}

/// As [`load`], for cells of `cell_size` [m] instead of the usual ones.
///
/// # Errors
/// As [`load`]; what is too short for the cells among it.
pub fn load_for_cells(path: &Path, root: Option<&Path>, cell_size: f64) -> Result<Warned<Setup>, Report> {
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
    assemble(&Texts { main: main.clone(), named, stem, cell_size, instead: None }, None)
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
    assemble(
        &Texts { main: main.clone(), named, stem: clean_line(name, 60), cell_size: USUAL_CELL, instead: None },
        None,
    )
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
        let help = place.as_ref().and_then(|p| unquoted(&file.text, p.span.start));
        let usual = "a value is written key = \"38 mm\", a heading [carburettor], a remark starts with #";
        Problem::error(format!("the file cannot be read here: {message}"))
            .at(place, "here")
            .help(help.unwrap_or_else(|| usual.into()))
    });
    let mut problems: Vec<Problem> = problems.collect();
    // one value without its quotes is one mistake, though the parser may stumble over each of its words
    problems.dedup_by(|b, a| {
        let line = |p: &Problem| p.place.as_ref().map(|p| p.source.line_start(p.span.start));
        a.help == b.help && line(a) == line(b) && b.help.as_ref().is_some_and(|h| h.contains("straight double quotes"))
    });
    for problem in problems.iter_mut().filter(|p| p.message.contains("duplicate key")).take(MOST_SHOWN) {
        if let Some(twice) = given_twice(file, problem) {
            *problem = twice;
        }
    }
    Err(Report { problems })
}

/// Advice when the line around byte `at` gives a value without straight quotes; none if it does not.
fn unquoted(text: &str, at: usize) -> Option<String> {
    let at = (0..=at.min(text.len())).rev().find(|i| text.is_char_boundary(*i))?;
    let start = text[..at].rfind('\n').map_or(0, |i| i + 1);
    let line = text[start..].lines().next()?;
    let value = line.split_once('=')?.1.trim_start();
    let curly = ['\u{201c}', '\u{201d}', '\u{201e}', '\u{201f}', '\u{2018}', '\u{2019}', '\u{ab}', '\u{bb}'];
    let bare = match value.strip_prefix(curly) {
        Some(rest) => rest.split(curly).next()?,
        None if value.starts_with(|c: char| c.is_alphanumeric() || "+-.".contains(c)) => value.split('#').next()?,
        None => return None,
    };
    let bare = clean_line(bare.trim(), 40).replace(['"', '\\'], "");
    (!bare.is_empty()).then(|| format!("write it in straight double quotes: \"{bare}\""))
}

/// The problem of a part that is named as a file and has a heading too, in place of the parser's `problem`.
fn given_twice(file: &TextFile, problem: &Problem) -> Option<Problem> {
    let place = problem.place.as_ref()?;
    let naming = |key: &str| {
        let mut start = 0;
        file.text.split_inclusive('\n').find_map(|line| {
            let here = start;
            start += line.len();
            let (left, right) = line.split_once('=')?;
            let named = left.trim() == key && right.trim_start().starts_with(['"', '\'']);
            named.then(|| Place { source: Arc::clone(&file.source), span: here..here + left.trim_end().len() })
        })
    };
    let line = file.text.get(file.source.line_start(place.span.start)..)?.lines().next()?;
    NAMING_KEYS.into_iter().find_map(|key| {
        let word = line.trim_start().trim_start_matches('[').trim_start().strip_prefix(key)?;
        let is_word = !word.starts_with(|c: char| c.is_alphanumeric() || c == '_' || c == '-');
        let other = naming(key).filter(|_| is_word)?;
        // a second path, or a heading above the first
        let heading = line.trim_start().starts_with('[');
        let headed = heading || file.text.lines().any(|l| l.trim_start().starts_with(&format!("[{key}")));
        headed.then(|| {
            let problem = Problem::error(format!("`{key}` is given twice, as a file and as a heading"))
                .at(Some(place.clone()), "the second time")
                .help(format!("keep one: either the line `{key} = ...` or the heading [{key}] and what is below it"));
            if heading { problem.against(Some(other), "as a file") } else { problem }
        })
    })
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
