//! Problems drawn for a terminal, with the line of the file and a caret.

use std::fmt;

use miette::{
    Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, MietteError, MietteSpanContents, SourceCode,
    SourceSpan, SpanContents, ThemeStyles,
};

use super::fold::fold;
use super::problem::{Problem, Severity};
use super::source::Source;

/// Most problems drawn; the rest is counted.
pub const MOST_SHOWN: usize = 20;

/// How to draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Style {
    /// Width of the terminal [columns], 40 at least.
    pub width: usize,
    /// Whether to use colour.
    pub colour: bool,
    /// Whether to use line-drawing characters, else ASCII.
    pub unicode: bool,
}

impl Style {
    /// 80 columns, no colour, line-drawing characters.
    #[must_use]
    pub fn plain() -> Self {
        Self { width: 80, colour: false, unicode: true }
    }
}

/// Draws `problems`, errors first, at most [`MOST_SHOWN`], then a count.
#[must_use]
pub fn render(problems: &[Problem], style: Style) -> String {
    let width = style.width.clamp(40, 200);
    let base = if style.unicode { GraphicalTheme::unicode() } else { GraphicalTheme::ascii() };
    let theme = GraphicalTheme {
        styles: if style.colour { ThemeStyles::ansi() } else { ThemeStyles::none() },
        characters: base.characters,
    };
    let handler = GraphicalReportHandler::new_themed(theme)
        .with_width(width)
        .with_wrap_lines(false)
        .with_context_lines(0)
        .with_links(false);
    let of = |s| problems.iter().filter(move |p| p.severity == s);
    let sorted: Vec<&Problem> = of(Severity::Error).chain(of(Severity::Warning)).collect();
    let mut out = String::new();
    for problem in sorted.iter().take(MOST_SHOWN) {
        let drawn = Drawn::new(problem, width);
        if handler.render_report(&mut out, &drawn).is_err() {
            out.push_str(&problem.message);
        }
        out.push('\n');
    }
    let out: Vec<&str> = out.lines().map(str::trim_end).collect();
    let mut out = out.join("\n");
    out.truncate(out.trim_end().len());
    out.push('\n');
    if sorted.len() > MOST_SHOWN {
        out.push_str(&format!("\nand {} more not shown\n", sorted.len() - MOST_SHOWN));
    }
    out
}

/// A problem in the form the drawing package asks for.
#[derive(Debug)]
struct Drawn<'a> {
    problem: &'a Problem,
    window: Option<Window<'a>>,
    message: String,
    width: usize,
}

impl fmt::Display for Drawn<'_> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.message)
    }
}

impl std::error::Error for Drawn<'_> {}

impl Diagnostic for Drawn<'_> {
    fn severity(&self) -> Option<miette::Severity> {
        Some(match self.problem.severity {
            Severity::Error => miette::Severity::Error,
            Severity::Warning => miette::Severity::Warning,
        })
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        let p = self.problem;
        let elsewhere = p.other.as_ref().filter(|o| !self.same_file(o.0.source.as_ref()));
        let mut lines: Vec<String> = Vec::new();
        lines.extend(elsewhere.map(|(place, label)| format!("the other one: {label}, {}", place.short())));
        lines.extend(p.allowed.iter().map(|a| format!("allowed: {a}")));
        lines.extend(p.help.clone());
        (!lines.is_empty()).then(|| Box::new(fold(&lines.join("\n"), self.width - 8)) as Box<dyn fmt::Display>)
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.window.as_ref().map(|w| w as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        let p = self.problem;
        let place = p.place.as_ref().filter(|_| self.window.is_some())?;
        let span = one_line(&place.source, place.span.clone());
        let text = |label: &str| (!label.is_empty()).then(|| fold(label, LABEL_ROOM));
        let first = LabeledSpan::new_primary_with_span(text(&p.label), span);
        let second =
            p.other.as_ref().filter(|o| self.same_file(o.0.source.as_ref())).map(|(place, label)| {
                LabeledSpan::new_with_span(text(label), one_line(&place.source, place.span.clone()))
            });
        Some(Box::new(std::iter::once(first).chain(second)))
    }
}

impl<'a> Drawn<'a> {
    fn new(problem: &'a Problem, width: usize) -> Self {
        // a file without text has no line to show, so the message names it
        let (window, message) = match &problem.place {
            None => (None, problem.message.clone()),
            Some(p) if p.source.shown.trim().is_empty() => {
                (None, format!("{} in `{}`, which is empty", problem.message, p.source.name))
            }
            Some(p) => {
                (Some(Window { source: &p.source, width, label: label_width(problem) }), problem.message.clone())
            }
        };
        Self { problem, window, message: fold(&message, width - 4), width }
    }

    fn same_file(&self, source: &Source) -> bool {
        self.window.as_ref().is_some_and(|w| w.source == source)
    }
}

/// Most columns that a label takes right of its caret.
const LABEL_ROOM: usize = 34;
/// Columns that line number and frame take.
const FRAME: usize = 14;

/// Columns that the widest folded label of `problem` takes.
fn label_width(problem: &Problem) -> usize {
    let other = problem.other.as_ref().map_or("", |(_, label)| label.as_str());
    let widest = |label: &str| fold(label, LABEL_ROOM).lines().map(|l| l.chars().count()).max().unwrap_or(0);
    widest(&problem.label).max(widest(other))
}

/// The part of `span` on its first line, at most 20 bytes of it and at least one column wide where there is one.
fn one_line(source: &Source, span: std::ops::Range<usize>) -> SourceSpan {
    let start = source.boundary(span.start);
    let end = source.line_end(start);
    let stop = source.boundary(span.end.clamp(start, end).min(start + 20)).max(start);
    if stop > start {
        return (start, stop - start).into();
    }
    let next = source.shown[start..end].chars().next().map_or(0, char::len_utf8);
    if next > 0 {
        return (start, next).into();
    }
    let before = source.shown[source.line_start(start)..start].chars().next_back().map_or(0, char::len_utf8);
    (start - before, before).into()
}

/// The file as the drawing package sees it: one line at a time, cut around the place to fit the width.
#[derive(Debug)]
struct Window<'a> {
    source: &'a Source,
    width: usize,
    /// Columns that the widest label takes right of its caret.
    label: usize,
}

impl SourceCode for Window<'_> {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        _before: usize,
        _after: usize,
    ) -> Result<Box<dyn SpanContents<'a> + 'a>, MietteError> {
        let (from, to) = (span.offset(), span.offset() + span.len());
        if to > self.source.shown.len() || self.source.line_start(from) != self.source.line_start(to) {
            return Err(MietteError::OutOfBounds);
        }
        let (line_start, line_end) = (self.source.line_start(from), self.source.line_end(from));
        let before = self.width.saturating_sub(FRAME + self.label + 10);
        let start = self.source.boundary(line_start.max(from.saturating_sub(before)));
        let room = self.width.saturating_sub(FRAME);
        let end = self.source.boundary(line_end.min(start + room)).max(to);
        let (line, column) = self.source.line_column(from);
        let data = &self.source.shown.as_bytes()[start..end];
        Ok(Box::new(MietteSpanContents::new_named(
            tail(&self.source.name, self.width.saturating_sub(30)),
            data,
            (start, end - start).into(),
            line - 1,
            column - 1,
            1,
        )))
    }
}

/// The last `longest` characters of a path, a mark in front if some are left out.
fn tail(name: &str, longest: usize) -> String {
    let length = name.chars().count();
    if length <= longest {
        return name.to_string();
    }
    std::iter::once('…').chain(name.chars().skip(length + 1 - longest)).collect()
}
