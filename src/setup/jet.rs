//! Jets of the file: a size, a number of the bore family, or a flow with the head it was measured at.

use std::f64::consts::PI;

use toml::de::DeValue;

use super::flow_test;
use super::ledger::{Figure, Ledger};
use super::quantity::read_quantity;
use super::reader::{Raw, Reader, kind};
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::clean::clean_line;
use crate::diagnostics::{Place, Problem};
use crate::hardware::jet::Jet;
use crate::laws::jet::discharge;
use crate::media::atmosphere::G0;
use crate::media::fuel::Fuel;
use crate::numeric::root;
use crate::units::Dimension::{Length, VolumeFlow};

/// Bore of a jet or drilling.
pub const BORE: Spec = Spec::new(Length, "mm", (0.1, 10.0), (0.15, 4.0));
const LENGTH: Spec = Spec::new(Length, "mm", (0.1, 60.0), (0.3, 20.0));
const FLOW: Spec = Spec::new(VolumeFlow, "cc/min", (1.0, 5000.0), (5.0, 600.0));
const HEAD: Spec = Spec::new(Length, "mm", (20.0, 5000.0), (100.0, 1500.0));
/// Head [mm of petrol] at which a hole of 1 mm passes about 100 cc/min, so that a flow number near the bore number.
pub const USUAL_HEAD: f64 = 360.0;

const SHAPES: &str = "write \"1.50 mm\", or { bore_number = 150 } if the number is the bore in hundredths of a \
                      millimetre, or { flow = \"150 cc/min\", head = \"360 mm\" } if it is a flow, or what you measured: \
                      { volume = \"250 ml\", time = \"75 s\", head = \"360 mm\" }";

/// What a jet is for, which decides its length by rule and its likely bore.
#[derive(Debug, Clone, Copy)]
pub struct Role {
    /// Key in the carburettor's table.
    pub key: &'static str,
    /// Length over bore.
    pub slenderness: f64,
    /// Range of it.
    pub slendernesses: (f64, f64),
    /// Where the bore usually lies.
    pub bore: Spec,
    /// Whether the passage may be plugged.
    pub may_be_plugged: bool,
}

/// A jet with the figure of its bore.
#[derive(Debug)]
pub struct ReadJet {
    /// The part; NaN after a problem.
    pub jet: Jet,
    /// Its bore.
    pub bore: Figure,
}

/// Reads a jet that the file must give. `fuel` measures flow numbers.
pub fn required(reader: &mut Reader<'_>, ledger: &mut Ledger, role: Role, fuel: &Fuel) -> ReadJet {
    let path = reader.path(role.key);
    match reader.raw(ledger, role.key) {
        Some(raw) => read(reader, ledger, &path, &raw, role, fuel),
        None => {
            ledger.note(reader.missing(role.key, SHAPES));
            unknown(&path, None, role)
        }
    }
}

/// Reads a jet that a rule estimates if the file does not give it; none when the passage is plugged.
pub fn estimated(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    role: Role,
    fuel: &Fuel,
    by_rule: Estimate,
) -> Option<ReadJet> {
    let path = reader.path(role.key);
    match reader.raw(ledger, role.key) {
        Some(Raw { value: DeValue::String(word), place }) if role.may_be_plugged && word.as_ref() == "none" => {
            ledger.given(&path, "none, plugged".into(), None, "", &place);
            None
        }
        Some(raw) => Some(read(reader, ledger, &path, &raw, role, fuel)),
        None => {
            let bore = ledger.estimated(&path, &role.bore, by_rule.held(&role.bore));
            Some(with_length(ledger, &path, bore, role, None))
        }
    }
}

/// Reads a jet from a value.
pub fn read(reader: &Reader<'_>, ledger: &mut Ledger, path: &str, raw: &Raw<'_>, role: Role, fuel: &Fuel) -> ReadJet {
    match raw.value {
        DeValue::String(text) if digits_only(text) => {
            ledger.note(ambiguous(path, raw, text, role));
            unknown(path, Some(raw.place.clone()), role)
        }
        DeValue::Integer(n) => {
            ledger.note(ambiguous(path, raw, n.as_str(), role));
            unknown(path, Some(raw.place.clone()), role)
        }
        DeValue::Float(n) => {
            ledger.note(ambiguous(path, raw, n.as_str(), role));
            unknown(path, Some(raw.place.clone()), role)
        }
        DeValue::Table(table) => {
            let mut inner = reader.inside(table, path, raw.place.clone());
            let jet = from_table(&mut inner, ledger, path, raw, role, fuel);
            inner.close(ledger);
            jet
        }
        DeValue::String(text) if text.contains("cc/min") || text.contains("L/h") => {
            ledger.note(
                Problem::error(format!("`{path}` is a flow without the head it was measured at"))
                    .at(Some(raw.place.clone()), "a flow alone")
                    .help(format!("write {{ flow = \"{}\", head = \"{USUAL_HEAD} mm\" }}", clean_line(text, 30))),
            );
            unknown(path, Some(raw.place.clone()), role)
        }
        DeValue::String(_) => {
            let bore = read_quantity(ledger, path, raw, &role.bore);
            with_length(ledger, path, bore, role, None)
        }
        other => {
            ledger.note(
                Problem::error(format!("`{path}` has to be a jet"))
                    .at(Some(raw.place.clone()), kind(other))
                    .help(SHAPES),
            );
            unknown(path, Some(raw.place.clone()), role)
        }
    }
}

fn digits_only(text: &str) -> bool {
    let text = text.trim();
    !text.is_empty() && text.chars().all(|c| c.is_ascii_digit() || c == '.')
}

/// A bare number: a size without its unit if it is one, else a stamp without its family.
fn ambiguous(path: &str, raw: &Raw<'_>, text: &str, role: Role) -> Problem {
    let number = clean_line(text.trim(), 20);
    let value = number.parse::<f64>().unwrap_or(f64::NAN);
    let place = Some(raw.place.clone());
    if role.bore.likely(value * 1e-3) && !role.bore.likely(value * 1e-5) {
        return Problem::error(format!("`{path}` needs a unit"))
            .at(place, "a number without a unit")
            .help(format!("did you mean \"{number} mm\"?"));
    }
    let gauge = if value.is_finite() { format!(" and a gauge says {:.2} mm", value / 100.0) } else { String::new() };
    Problem::error(format!("`{path}` does not say which family its number belongs to"))
        .at(place, format!("{number} hundredths of a millimetre, or {number} cc/min?"))
        .help(format!(
            "write {{ bore_number = {number} }} if it is the bore{gauge}, or {{ flow = \"{number} cc/min\" }} if it is a \
             flow; two makers' numbers need not mean the same jet"
        ))
}

fn unknown(path: &str, place: Option<Place>, role: Role) -> ReadJet {
    let bore = Figure { kept: f64::NAN, place, key: path.into(), spec: role.bore };
    ReadJet { jet: Jet { bore: f64::NAN, length: f64::NAN }, bore }
}

fn from_table(
    inner: &mut Reader<'_>,
    ledger: &mut Ledger,
    path: &str,
    raw: &Raw<'_>,
    role: Role,
    fuel: &Fuel,
) -> ReadJet {
    let tested = ["volume", "time"].into_iter().find(|k| inner.has(k));
    let shapes: Vec<&str> =
        ["bore", "bore_number", "flow"].into_iter().filter(|k| inner.has(k)).chain(tested).collect();
    if shapes.len() != 1 {
        let said = if shapes.is_empty() { "no size".to_string() } else { format!("{} at once", shapes.join(" and ")) };
        ledger.note(
            Problem::error(format!("`{path}` needs exactly one of `bore`, `bore_number`, `flow` and a test"))
                .at(Some(raw.place.clone()), said)
                .help(SHAPES),
        );
    }
    if tested.is_some() && shapes.len() == 1 {
        let length = inner.optional(ledger, "length", &LENGTH);
        let bore = flow_test::read(inner, ledger, role, length.as_ref());
        return with_length(ledger, path, bore, role, length);
    }
    if shapes.len() != 1 {
        // Said once: which of them belong to the jet's shape cannot be judged.
        for key in flow_test::KEYS {
            inner.raw(ledger, key);
        }
    }
    let bore = inner.optional(ledger, "bore", &role.bore);
    let numbered = from_number(inner, ledger, role);
    let flowing = inner.optional(ledger, "flow", &FLOW);
    let head = match (&flowing, inner.has("head")) {
        (Some(_), _) => {
            let rule = "360 mm of petrol, at which a hole of 1 mm passes about 100 cc/min";
            Some(inner.estimated(
                ledger,
                "head",
                &HEAD,
                Estimate::fixed(&HEAD, USUAL_HEAD, (250.0, 500.0), rule, COMMON),
            ))
        }
        (None, true) => inner.optional(ledger, "head", &HEAD),
        (None, false) => None,
    };
    let length = inner.optional(ledger, "length", &LENGTH);
    let by_flow = match (flowing, head) {
        (Some(flow), Some(head)) => Some(from_flow(ledger, &flow, &head, length.as_ref(), role, fuel)),
        _ => None,
    };
    match bore.or(numbered).or(by_flow) {
        Some(bore) => with_length(ledger, path, bore, role, length),
        None => unknown(path, Some(raw.place.clone()), role),
    }
}

/// Bore from the number stamped on a jet of the bore family: hundredths of a millimetre.
fn from_number(inner: &mut Reader<'_>, ledger: &mut Ledger, role: Role) -> Option<Figure> {
    let (number, raw) = inner.number(ledger, "bore_number")?;
    let kept = number * 1e-5;
    let path = inner.path("bore_number");
    let figure = |kept| Figure { kept, place: Some(raw.place.clone()), key: path.clone(), spec: role.bore };
    if kept.is_finite() && !role.bore.accepts(kept) {
        let meant = role.bore.accepts(number * 1e-3).then(|| format!("did you mean the size \"{number} mm\"?"));
        let problem = Problem::error(format!("`{path}` is out of range"))
            .at(Some(raw.place.clone()), format!("{} of bore", role.bore.show(kept)))
            .allowed(format!("{} to {}", role.bore.allowed.0 * 100.0, role.bore.allowed.1 * 100.0));
        ledger.note(match meant {
            Some(help) => problem.help(help),
            None => problem.help("the number is the bore in hundredths of a millimetre: 150 is 1.50 mm"),
        });
        return Some(figure(f64::NAN));
    }
    if kept.is_finite() && !role.bore.likely(kept) {
        ledger.note(
            Problem::warning(format!("`{path}` is unusual"))
                .at(Some(raw.place.clone()), format!("{} of bore", role.bore.show(kept)))
                .help(format!("usual: {}", role.bore.show_range(role.bore.usual))),
        );
    }
    ledger.given(&path, format!("{number}, bore {}", role.bore.show(kept)), Some(kept), "m", &raw.place);
    Some(figure(kept))
}

/// Bore [m] of the jet that passes `flow` [m3/s] under `head` [m] of `fuel`; none if no bore up to 10 mm does.
///
/// `Q = Cd(Re_h, l/d) pi/4 d^2 sqrt(2 g h)`, `Re_h = d sqrt(2 g h) / nu`; a length of zero or less stands for
/// `slenderness` diameters. The flow grows with the bore, so the bracket holds one root.
#[must_use]
pub fn bore_for_flow(flow: f64, head: f64, slenderness: f64, length: Option<f64>, fuel: &Fuel) -> Option<f64> {
    let speed = (2.0 * G0 * head).sqrt();
    let passes = |d: f64| {
        let l = length.map_or(slenderness, |l| l / d);
        discharge(d * speed / fuel.viscosity, l) * 0.25 * PI * d * d * speed
    };
    root::find(|d| passes(d) - flow, 1.0e-5, 1.0e-2, 1.0e-10).ok().map(|r| r.x)
}

/// Flow [m3/s] of `jet` under `head` [m] of `fuel`: the inverse of [`bore_for_flow`].
#[must_use]
pub fn flow_of(jet: &Jet, head: f64, fuel: &Fuel) -> f64 {
    let speed = (2.0 * G0 * head).sqrt();
    discharge(jet.bore * speed / fuel.viscosity, jet.slenderness()) * jet.area() * speed
}

fn from_flow(
    ledger: &mut Ledger,
    flow: &Figure,
    head: &Figure,
    length: Option<&Figure>,
    role: Role,
    fuel: &Fuel,
) -> Figure {
    let figure = |kept| Figure { kept, place: flow.place.clone(), key: flow.key.clone(), spec: role.bore };
    if ![flow.kept, head.kept, fuel.density, fuel.viscosity].iter().all(|v| v.is_finite()) {
        return figure(f64::NAN);
    }
    let bore = bore_for_flow(flow.kept, head.kept, role.slenderness, length.map(|l| l.kept), fuel);
    match bore.filter(|b| role.bore.accepts(*b)) {
        Some(kept) => {
            if let Some(entry) = ledger.origins.iter_mut().rev().find(|o| o.key == flow.key) {
                entry.shown = format!("{}, bore {}", entry.shown, role.bore.show(kept));
            }
            figure(kept)
        }
        None => {
            ledger.note(
                Problem::error(format!("no jet of this kind passes `{}` at that head", flow.key))
                    .at(flow.place.clone(), format!("{} at {}", flow.label(), head.label()))
                    .allowed(format!("a bore of {}", role.bore.show_range(role.bore.allowed)))
                    .help("check the unit of the flow, and the head it was measured at"),
            );
            figure(f64::NAN)
        }
    }
}

fn with_length(ledger: &mut Ledger, path: &str, bore: Figure, role: Role, length: Option<Figure>) -> ReadJet {
    let length = length.unwrap_or_else(|| {
        let rule = format!("{} x its bore", role.slenderness);
        let estimate = Estimate::times(bore.kept, role.slenderness, role.slendernesses, &rule, COMMON);
        ledger.estimated(&format!("{path}.length"), &LENGTH, estimate)
    });
    ReadJet { jet: Jet { bore: bore.kept, length: length.kept }, bore }
}
