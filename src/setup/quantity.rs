//! One quantity of the file: its number, its unit, its range.

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::reader::{Raw, kind};
use super::spec::Spec;
use crate::diagnostics::Problem;
use crate::diagnostics::clean::clean_line;
use crate::units::number::{LONGEST_NUMBER, leading};
use crate::units::table::{Unit, find};
use crate::units::{Dimension, QuantityError, parse};

/// Reads `raw` as the quantity `key`; NaN and a noted problem if it is not one or out of range.
pub fn read_quantity(ledger: &mut Ledger, key: &str, raw: &Raw<'_>, spec: &Spec) -> Figure {
    let figure = |kept: f64| Figure { kept, place: Some(raw.place.clone()), key: key.into(), spec: *spec };
    let Some((kept, text)) = value(ledger, key, raw, spec) else { return figure(f64::NAN) };
    if !spec.accepts(kept) {
        let mut problem = Problem::error(format!("`{key}` is out of range"))
            .at(Some(raw.place.clone()), spec.show(kept))
            .allowed(spec.show_range(spec.allowed));
        if let Some(meant) = meant(&text, spec) {
            problem = problem.help(format!("did you mean \"{meant}\"?"));
        } else if kept < 0.0 && spec.allowed.0 >= 0.0 && spec.dimension != Dimension::Temperature {
            problem = problem.help("it cannot be negative; leave out the minus sign");
        }
        ledger.note(problem);
        return figure(f64::NAN);
    }
    if !spec.likely(kept) {
        let mut problem = Problem::warning(format!("`{key}` is unusual"))
            .at(Some(raw.place.clone()), spec.show(kept))
            .help(format!("usual: {}", spec.show_range(spec.usual)));
        if let Some(meant) = meant(&text, spec) {
            problem = problem.help(format!("usual: {}; did you mean \"{meant}\"?", spec.show_range(spec.usual)));
        }
        ledger.note(problem);
    }
    ledger.given(key, clean_line(&text, 60), Some(kept), spec.dimension.kept_in(), &raw.place);
    figure(kept)
}

/// The value in the unit kept inside and its text, before any range.
fn value(ledger: &mut Ledger, key: &str, raw: &Raw<'_>, spec: &Spec) -> Option<(f64, String)> {
    let text = match raw.value {
        DeValue::String(text) => text.to_string(),
        DeValue::Integer(n) => match digits(n.as_str(), n.radix()) {
            Some(text) => text,
            None => {
                ledger.note(unreadable(key, raw, &QuantityError::NotFinite, spec));
                return None;
            }
        },
        DeValue::Float(n) => n.as_str().to_string(),
        other => {
            ledger.note(
                Problem::error(format!("`{key}` has to be {}", spec.dimension.a_word()))
                    .at(Some(raw.place.clone()), kind(other))
                    .help(example(spec)),
            );
            return None;
        }
    };
    match parse(&text, spec.dimension) {
        Ok(kept) => Some((kept, text)),
        Err(error) => {
            ledger.note(unreadable_text(key, raw, &error, spec, &text));
            None
        }
    }
}

/// Reads a plain number, such as the number stamped on a jet; NaN and a noted problem if it is not one.
pub fn read_number(ledger: &mut Ledger, key: &str, raw: &Raw<'_>) -> f64 {
    let spec = Spec::new(Dimension::Number, "", (f64::MIN, f64::MAX), (f64::MIN, f64::MAX));
    value(ledger, key, raw, &spec).map_or(f64::NAN, |v| v.0)
}

/// Decimal digits of a TOML integer, which may be written in base 2, 8 or 16.
fn digits(text: &str, radix: u32) -> Option<String> {
    if radix == 10 {
        return Some(text.to_string());
    }
    i64::from_str_radix(text, radix).ok().map(|n| n.to_string())
}

fn unreadable(key: &str, raw: &Raw<'_>, error: &QuantityError, spec: &Spec) -> Problem {
    unreadable_text(key, raw, error, spec, "")
}

fn unreadable_text(key: &str, raw: &Raw<'_>, error: &QuantityError, spec: &Spec, text: &str) -> Problem {
    let place = Some(raw.place.clone());
    let units = spec.dimension.unit_names();
    match error {
        QuantityError::NoUnit => {
            let guess = meant_bare(text, spec);
            let help = guess.map_or_else(|| example(spec), |g| format!("did you mean \"{g}\"?"));
            Problem::error(format!("`{key}` needs a unit")).at(place, error.to_string()).allowed(units).help(help)
        }
        QuantityError::UnknownUnit(unit) => {
            let unit = clean_line(unit, 20);
            let help =
                other_case(text, &unit, spec).map_or_else(|| example(spec), |m| format!("did you mean \"{m}\"?"));
            Problem::error(format!("`{key}` has an unknown unit"))
                .at(place, format!("`{unit}` is no unit known here"))
                .allowed(if units.is_empty() { "a number without a unit".into() } else { units })
                .help(help)
        }
        QuantityError::OtherDimension { unit, of } => {
            Problem::error(format!("`{key}` has to be {}, not {}", spec.dimension.a_word(), of.a_word()))
                .at(place, format!("`{}` is a unit of {}", clean_line(unit, 20), of.word()))
                .allowed(if units.is_empty() { "a number without a unit".into() } else { units })
                .help(example(spec))
        }
        QuantityError::Comma => Problem::error(format!("`{key}` has a comma in its number"))
            .at(place, "a comma")
            .help("write a point: \"38.5 mm\", and nothing between thousands"),
        QuantityError::NotFinite => Problem::error(format!("`{key}` is not a number that can be used"))
            .at(place, "not a finite number")
            .allowed(spec.show_range(spec.allowed)),
        QuantityError::TooLong => Problem::error(format!("`{key}` has too many digits"))
            .at(place, error.to_string())
            .allowed(format!("at most {LONGEST_NUMBER} characters in one number")),
        QuantityError::NoNumber | QuantityError::ZeroBelow => {
            Problem::error(format!("`{key}` cannot be read as {}", spec.dimension.a_word()))
                .at(place, error.to_string())
                .help(example(spec))
        }
    }
}

/// "write a number and a unit, for example ...".
fn example(spec: &Spec) -> String {
    let middle = 0.5 * (spec.usual.0 + spec.usual.1);
    if !middle.is_finite() {
        return "write a number".into();
    }
    let shown = spec.show(spec.kept(middle));
    match spec.dimension {
        Dimension::Number => format!("write a number, for example {shown}"),
        Dimension::Share => format!("write a share, for example \"{shown}\" or a number from 0 to 1"),
        _ => format!("write the number and its unit, for example \"{shown}\""),
    }
}

/// The same number with another unit that makes it likely: 38 m becomes 38 mm. Units that nobody mistakes for
/// another are not proposed.
fn meant(text: &str, spec: &Spec) -> Option<String> {
    let (number, unit) = leading(text).ok()?;
    likely(text, number, unit, spec)
}

/// The same quantity with its unit in the capitals and small letters that it has: 28 MM becomes 28 mm. Where case
/// alone tells two units apart, the first, which is the usual one, is proposed.
fn other_case(text: &str, unit: &str, spec: &Spec) -> Option<String> {
    let bare = text.trim().strip_suffix(unit)?.trim_end();
    let same = |u: &&Unit| u.spellings.iter().any(|s| s.to_lowercase() == unit.to_lowercase());
    let found = spec.dimension.units().find(same)?;
    Some(format!("{} {}", clean_line(bare, 40), found.name()))
}

fn meant_bare(text: &str, spec: &Spec) -> Option<String> {
    let (number, _) = leading(text).ok()?;
    likely(text, number, "", spec)
}

fn likely(text: &str, number: f64, unit: &str, spec: &Spec) -> Option<String> {
    let bare = text.trim().strip_suffix(unit)?.trim_end();
    let first = find(spec.unit, spec.dimension).into_iter();
    let other = first
        .chain(spec.dimension.units())
        .filter(|u| !u.spellings.contains(&unit) && !["", "cm", "um", "thou"].contains(&u.name()))
        .find(|u| spec.likely((u.to_kept)(number)))?;
    Some(if other.name() == ":1" { format!("{bare}:1") } else { format!("{} {}", clean_line(bare, 40), other.name()) })
}
