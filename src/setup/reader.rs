//! Hands out the values of one table of the file, and never stops at the first problem.

use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::ledger::{Figure, Ledger, Stray};
use super::quantity::{read_number, read_quantity};
use super::spec::{Estimate, Spec};
use crate::diagnostics::clean::clean_line;
use crate::diagnostics::{Place, Problem, Source};

/// A value of the file with its place.
#[derive(Debug, Clone)]
pub struct Raw<'a> {
    /// The value.
    pub value: &'a DeValue<'a>,
    /// Where it stands.
    pub place: Place,
}

/// One table of the file.
#[derive(Debug)]
pub struct Reader<'a> {
    table: Option<&'a DeTable<'a>>,
    source: Arc<Source>,
    /// Dotted key of the table, empty for the file itself.
    pub prefix: String,
    /// Where to point when a key is missing.
    pub place: Option<Place>,
    known: Vec<String>,
    instead: Option<Instead<'a>>,
}

/// Values that count before those of the table.
#[derive(Debug)]
struct Instead<'a> {
    table: &'a DeTable<'a>,
    source: Arc<Source>,
    /// Keys of the table itself that do not count.
    hidden: &'static [&'static str],
}

impl<'a> Reader<'a> {
    /// The table called `prefix` of the file `source`.
    #[must_use]
    pub fn new(table: Option<&'a DeTable<'a>>, source: &Arc<Source>, prefix: &str, place: Option<Place>) -> Self {
        Self { table, source: Arc::clone(source), prefix: prefix.into(), place, known: Vec::new(), instead: None }
    }

    /// The same table with the values of `table` before its own, and those of `hidden` left out.
    #[must_use]
    pub fn behind(self, table: &'a DeTable<'a>, source: &Arc<Source>, hidden: &'static [&'static str]) -> Self {
        Self { instead: Some(Instead { table, source: Arc::clone(source), hidden }), ..self }
    }

    /// The value of `key` that counts, its key, and the text that it stands in.
    fn found(&self, key: &str) -> Option<(Raw<'a>, Place)> {
        let place = |source: &Arc<Source>, span| Place { source: Arc::clone(source), span };
        let of = |table: &'a DeTable<'a>, source: &Arc<Source>| {
            let (name, value) = table.get_key_value(key)?;
            let raw = Raw { value: value.get_ref(), place: place(source, value.span()) };
            Some((raw, place(source, name.span())))
        };
        let said = self.instead.as_ref().and_then(|i| of(i.table, &i.source));
        let own = || self.table.filter(|_| !self.hides(key)).and_then(|t| of(t, &self.source));
        said.or_else(own)
    }

    fn hides(&self, key: &str) -> bool {
        self.instead.as_ref().is_some_and(|i| i.hidden.contains(&key))
    }

    /// Dotted key of `key` in this table.
    #[must_use]
    pub fn path(&self, key: &str) -> String {
        if self.prefix.is_empty() { key.into() } else { format!("{}.{key}", self.prefix) }
    }

    /// Whether the file gives `key`.
    #[must_use]
    pub fn has(&self, key: &str) -> bool {
        self.found(key).is_some()
    }

    /// The place of the key itself.
    #[must_use]
    pub fn key_place(&self, key: &str) -> Option<Place> {
        self.found(key).map(|(_, place)| place)
    }

    /// The value of `key`, if the file gives it.
    pub fn raw(&mut self, ledger: &mut Ledger, key: &str) -> Option<Raw<'a>> {
        if !self.known.iter().any(|k| k == key) {
            self.known.push(key.into());
        }
        ledger.asked.insert((self.prefix.clone(), key.into()));
        self.found(key).map(|(raw, _)| raw)
    }

    /// The place of the value of `key`, if the file gives it.
    pub fn value_place(&mut self, ledger: &mut Ledger, key: &str) -> Option<Place> {
        self.raw(ledger, key).map(|raw| raw.place)
    }

    /// A value of this file with its place.
    #[must_use]
    pub fn placed(&self, value: &'a Spanned<DeValue<'a>>) -> Raw<'a> {
        Raw { value: value.get_ref(), place: Place { source: Arc::clone(&self.source), span: value.span() } }
    }

    /// The table under `key`; an empty one if the file has none.
    pub fn table(&mut self, ledger: &mut Ledger, key: &str) -> Reader<'a> {
        let prefix = self.path(key);
        let place = self.key_place(key).or_else(|| self.place.clone());
        match self.raw(ledger, key) {
            None => Reader::new(None, &self.source, &prefix, place),
            Some(Raw { value: DeValue::Table(table), .. }) => Reader::new(Some(table), &self.source, &prefix, place),
            Some(raw) => {
                ledger.note(
                    Problem::error(format!("`{prefix}` has to be a table"))
                        .at(Some(raw.place), kind(raw.value))
                        .help(format!("write a line `[{prefix}]` and the values below it")),
                );
                Reader::new(None, &self.source, &prefix, place)
            }
        }
    }

    /// A reader over a table that stands as a value, such as an inline table.
    #[must_use]
    pub fn inside(&self, table: &'a DeTable<'a>, prefix: &str, place: Place) -> Reader<'a> {
        Reader::new(Some(table), &self.source, prefix, Some(place))
    }

    /// A value that the file must give.
    pub fn required(&mut self, ledger: &mut Ledger, key: &str, spec: &Spec, what: &str) -> Figure {
        if let Some(figure) = self.optional(ledger, key, spec) {
            return figure;
        }
        ledger.note(self.missing(key, what));
        Figure { kept: f64::NAN, place: None, key: self.path(key), spec: *spec }
    }

    /// The problem of a missing `key`, `what` saying what to write.
    #[must_use]
    pub fn missing(&self, key: &str, what: &str) -> Problem {
        let label = format!("no `{key}` here");
        Problem::error(format!("`{}` is missing", self.path(key))).at(self.place.clone(), label).help(what)
    }

    /// The key of this table that is most like `key`, if one is near enough to be meant.
    #[must_use]
    pub fn near(&self, key: &str) -> Option<String> {
        nearest(key, self.table?.keys().map(|k| k.get_ref().as_ref())).map(|k| clean_line(k, 60))
    }

    /// A value that the file may give.
    pub fn optional(&mut self, ledger: &mut Ledger, key: &str, spec: &Spec) -> Option<Figure> {
        let raw = self.raw(ledger, key)?;
        Some(read_quantity(ledger, &self.path(key), &raw, spec))
    }

    /// A value that the file gives or a rule estimates.
    pub fn estimated(&mut self, ledger: &mut Ledger, key: &str, spec: &Spec, estimate: Estimate) -> Figure {
        match self.optional(ledger, key, spec) {
            Some(figure) => figure,
            None => ledger.estimated(&self.path(key), spec, estimate.held(spec)),
        }
    }

    /// A whole number that the file must give.
    pub fn whole(&mut self, ledger: &mut Ledger, key: &str, spec: &Spec, what: &str) -> Figure {
        let mut figure = self.required(ledger, key, spec, what);
        if figure.kept.is_finite() && (figure.kept - figure.kept.round()).abs() > 1e-9 {
            ledger.note(
                Problem::error(format!("`{}` has to be a whole number", figure.key))
                    .at(figure.place.clone(), figure.shown())
                    .help(what),
            );
            figure.kept = f64::NAN;
        }
        figure
    }

    /// A plain number without range or note of its origin, as in a jet's stamp.
    pub fn number(&mut self, ledger: &mut Ledger, key: &str) -> Option<(f64, Raw<'a>)> {
        let raw = self.raw(ledger, key)?;
        Some((read_number(ledger, &self.path(key), &raw), raw))
    }

    /// One of a few words; none if it is missing or wrong, which is then noted.
    pub fn choice<T: Copy>(&mut self, ledger: &mut Ledger, key: &str, words: &[(&str, T)], what: &str) -> Option<T> {
        let Some(raw) = self.raw(ledger, key) else {
            ledger.note(self.missing(key, what));
            return None;
        };
        let path = self.path(key);
        let list: Vec<String> = words.iter().map(|w| format!("\"{}\"", w.0)).collect();
        let allowed = list.join(" or ");
        let DeValue::String(text) = raw.value else {
            ledger.note(
                Problem::error(format!("`{path}` has to be a word"))
                    .at(Some(raw.place), kind(raw.value))
                    .allowed(allowed)
                    .help(what),
            );
            return None;
        };
        let Some(found) = words.iter().find(|w| w.0 == text.as_ref()) else {
            let near = nearest(text, words.iter().map(|w| w.0));
            let help = near.map_or_else(|| what.to_string(), |n| format!("did you mean \"{n}\"?"));
            ledger.note(
                Problem::error(format!("`{path}` does not know the word \"{}\"", clean_line(text, 40)))
                    .at(Some(raw.place), "not one of the words")
                    .allowed(allowed)
                    .help(help),
            );
            return None;
        };
        ledger.given(&path, found.0.to_string(), None, "", &raw.place);
        Some(found.1)
    }

    /// Notes the keys that nobody asked for.
    pub fn close(self, ledger: &mut Ledger) {
        let Some(table) = self.table else { return };
        for (key, _) in table {
            if !self.known.iter().any(|k| k == key.get_ref().as_ref()) && !self.hides(key.get_ref()) {
                ledger.strays.push(Stray {
                    table: self.prefix.clone(),
                    key: key.get_ref().to_string(),
                    place: Place { source: Arc::clone(&self.source), span: key.span() },
                    known: self.known.clone(),
                });
            }
        }
    }
}

/// What a value is, for messages.
#[must_use]
pub fn kind(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "this is a text",
        DeValue::Integer(_) | DeValue::Float(_) => "this is a bare number",
        DeValue::Boolean(_) => "this is true or false",
        DeValue::Datetime(_) => "this is a date",
        DeValue::Array(_) => "this is a list",
        DeValue::Table(_) => "this is a table",
    }
}

/// The word nearest to `text`, if one is near enough to be meant.
#[must_use]
pub fn nearest<'w>(text: &str, words: impl Iterator<Item = &'w str>) -> Option<&'w str> {
    let short: String = text.chars().take(60).collect();
    let scored = words.map(|w| (strsim::normalized_damerau_levenshtein(&short.to_lowercase(), &w.to_lowercase()), w));
    let best = scored.max_by(|a, b| a.0.total_cmp(&b.0))?;
    (best.0 >= 0.6).then_some(best.1)
}
