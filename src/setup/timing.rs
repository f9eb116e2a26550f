//! Valve timing as the trade writes it: degrees before or after a dead centre.

use std::f64::consts::PI;

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::provenance::Origin;
use super::reader::{Raw, Reader, kind};
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::diagnostics::clean::clean_line;
use crate::units::number::leading;
use crate::units::{Dimension, parse, significant};

/// Angle from the dead centre named.
const OFFSET: Spec = Spec::new(Dimension::Angle, "deg", (-60.0, 120.0), (-20.0, 85.0));

/// Which valve, and so which dead centres are meant. Crank angle runs from the firing top centre.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Inlet: the gas-exchange top centre at 2 pi, the bottom centre after it at 3 pi.
    Inlet,
    /// Exhaust: the bottom centre at pi, the gas-exchange top centre after it at 2 pi.
    Exhaust,
}

/// A dead centre and the side of it from which the angle counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum From {
    BeforeTop,
    AfterTop,
    BeforeBottom,
    AfterBottom,
}

impl From {
    const ALL: [(Self, &'static str, &'static str); 4] = [
        (Self::BeforeTop, "before top", "btdc"),
        (Self::AfterTop, "after top", "atdc"),
        (Self::BeforeBottom, "before bottom", "bbdc"),
        (Self::AfterBottom, "after bottom", "abdc"),
    ];

    fn named(text: &str) -> Option<Self> {
        let text = text.trim().to_lowercase();
        let text = ["dead centre", "dead center", "centre", "center"]
            .iter()
            .fold(text, |t, word| t.strip_suffix(word).map_or(t.clone(), |s| s.trim_end().to_string()));
        Self::ALL.iter().find(|f| text == f.1 || text == f.2).map(|f| f.0)
    }

    fn words(self) -> &'static str {
        Self::ALL.iter().find(|f| f.0 == self).map_or("", |f| f.1)
    }

    /// Crank angle [rad after firing top centre] of `offset` [rad] from this centre.
    fn crank_angle(self, offset: f64, side: Side) -> f64 {
        let bottom = if side == Side::Inlet { 3.0 * PI } else { PI };
        match self {
            Self::BeforeTop => 2.0 * PI - offset,
            Self::AfterTop => 2.0 * PI + offset,
            Self::BeforeBottom => bottom - offset,
            Self::AfterBottom => bottom + offset,
        }
    }
}

/// Which end of the valve's open time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Event {
    /// It leaves the check lift upwards.
    Opens,
    /// It passes the check lift downwards.
    Closes,
}

/// The middle of the trade's range for a mild single, and the range [degrees] at 1 mm of lift.
fn rule(side: Side, event: Event) -> (From, f64, (f64, f64)) {
    match (side, event) {
        (Side::Inlet, Event::Opens) => (From::BeforeTop, 10.0, (5.0, 15.0)),
        (Side::Inlet, Event::Closes) => (From::AfterBottom, 42.5, (35.0, 50.0)),
        (Side::Exhaust, Event::Opens) => (From::BeforeBottom, 45.0, (40.0, 50.0)),
        (Side::Exhaust, Event::Closes) => (From::AfterTop, 5.0, (0.0, 10.0)),
    }
}

/// Reads `opens` or `closes`: crank angle [rad after firing top centre].
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, side: Side, event: Event) -> Figure {
    let key = if event == Event::Opens { "opens" } else { "closes" };
    let path = reader.path(key);
    match reader.raw(ledger, key) {
        Some(raw) => given(ledger, &path, &raw, side, event),
        None => estimated(ledger, &path, side, event),
    }
}

fn given(ledger: &mut Ledger, path: &str, raw: &Raw<'_>, side: Side, event: Event) -> Figure {
    let figure = |kept| Figure { kept, place: Some(raw.place.clone()), key: path.into(), spec: OFFSET };
    let (usual, degrees, _) = rule(side, event);
    let example = format!("write it like \"{degrees} deg {}\"", usual.words());
    let DeValue::String(text) = raw.value else {
        ledger.note(
            Problem::error(format!("`{path}` needs a unit and a dead centre"))
                .at(Some(raw.place.clone()), kind(raw.value))
                .allowed("degrees before or after top or bottom centre")
                .help(example),
        );
        return figure(f64::NAN);
    };
    let Some((offset, from)) = split(text) else {
        ledger.note(
            Problem::error(format!("`{path}` does not say from which dead centre the degrees count"))
                .at(Some(raw.place.clone()), "cannot be read as valve timing")
                .allowed("degrees, then `before top`, `after top`, `before bottom` or `after bottom`")
                .help(format!("{example}; BTDC, ATDC, BBDC and ABDC do as well")),
        );
        return figure(f64::NAN);
    };
    if !OFFSET.accepts(offset) {
        ledger.note(
            Problem::error(format!("`{path}` is out of range"))
                .at(Some(raw.place.clone()), OFFSET.show(offset))
                .allowed(OFFSET.show_range(OFFSET.allowed))
                .help("count from the nearer dead centre"),
        );
        return figure(f64::NAN);
    }
    if !OFFSET.likely(offset) {
        ledger.note(
            Problem::warning(format!("`{path}` is unusual"))
                .at(Some(raw.place.clone()), OFFSET.show(offset))
                .allowed(format!("usual: {}", OFFSET.show_range(OFFSET.usual))),
        );
    }
    let kept = from.crank_angle(offset, side);
    ledger.given(path, clean_line(text, 40), Some(kept), "rad after firing top centre", &raw.place);
    figure(kept)
}

/// Angle [rad] and dead centre of `10 deg before top`.
fn split(text: &str) -> Option<(f64, From)> {
    let (_, rest) = leading(text).ok()?;
    let number = text.trim().strip_suffix(rest)?;
    let rest = rest.trim_start();
    let unit = ["degrees", "deg", "°"].into_iter().find(|u| rest.starts_with(u));
    let words = unit.map_or(rest, |u| &rest[u.len()..]);
    let offset = parse(&format!("{number} deg"), Dimension::Angle).ok()?;
    From::named(words).map(|from| (offset, from))
}

fn estimated(ledger: &mut Ledger, path: &str, side: Side, event: Event) -> Figure {
    let (from, degrees, (a, b)) = rule(side, event);
    let angle = |d: f64| from.crank_angle(OFFSET.kept(d), side);
    let (low, high) = if angle(a) < angle(b) { (a, b) } else { (b, a) };
    let said = |kept: f64| {
        let offset = (kept - from.crank_angle(0.0, side)).abs();
        format!("{} {}", significant(offset, Dimension::Angle, "deg"), from.words())
    };
    let rule = format!("{degrees} deg {} at 1 mm of lift, the middle for a mild road single", from.words());
    let estimate = Estimate { value: angle(degrees), low: angle(low), high: angle(high), rule, source: COMMON };
    let figure = ledger.estimated(path, &OFFSET, estimate);
    if let Some(last) = ledger.origins.last_mut() {
        last.shown = said(figure.kept);
        last.unit = "rad after firing top centre";
        if let Origin::Estimated(note) = &mut last.origin {
            note.low_shown = said(note.low);
            note.high_shown = said(note.high);
        }
    }
    figure
}
