//! Parts on hand or on sale, as the file lists them under `[parts]`.

use toml::de::DeValue;

use super::jet::{self, bore_for_flow};
use super::ledger::Ledger;
use super::limits::MOST_ROWS;
use super::quantity::{read_number, read_quantity};
use super::reader::{Raw, Reader, kind};
use super::spec::Spec;
use crate::diagnostics::Problem;
use crate::hardware::carburettor::Carburettor;
use crate::hardware::jet::Jet;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::hardware::stock::Stock;
use crate::media::fuel::Fuel;
use crate::units::Dimension::{Angle, Length, Number, Turns};

const SHAPE: &str = "write a list of sizes, or { from = ..., to = ..., step = ... }";

/// The sizes of one part that the file lists.
#[derive(Debug, Clone)]
pub struct Listed {
    part: Part,
    /// Value as in [`Part::size`], and the label if it is not as read off.
    sizes: Vec<(f64, Option<String>)>,
}

/// What the number on a jet means: as the fitted jet of the same kind is written.
enum Stamp {
    /// Hundredths of a millimetre.
    Bore,
    /// A flow in cc/min of petrol under a head [m].
    Flow { head: f64 },
    /// The fitted jet is written as a size or was tested, so that a number alone says nothing.
    Unknown,
}

/// Reads the table `parts`; `petrol` measures flow numbers.
pub fn read(
    mut reader: Reader<'_>,
    ledger: &mut Ledger,
    carburettor: Option<&Carburettor>,
    petrol: &Fuel,
) -> Vec<Listed> {
    let mut all = Vec::new();
    for part in Part::all() {
        let Some(raw) = reader.raw(ledger, part.key()) else { continue };
        let Some(c) = carburettor else { continue };
        let path = reader.path(part.key());
        let entry = Entry { part, carburettor: c, petrol };
        let sizes = match raw.value {
            DeValue::Array(list) => {
                if list.len() < 2 || list.len() > MOST_ROWS {
                    ledger.note(wrong_count(&path, &raw, list.len()));
                    continue;
                }
                ledger.given(&path, format!("{} sizes", list.len()), None, "", &raw.place);
                let read = |(i, item)| entry.read(ledger, &format!("{path}[{i}]"), &reader.placed(item));
                list.iter().enumerate().map(read).collect()
            }
            DeValue::Table(table) => {
                ledger.given(&path, "a range".into(), None, "", &raw.place);
                let mut inner = reader.inside(table, &path, raw.place.clone());
                let sizes = range(&mut inner, ledger, &entry, &path, &raw);
                inner.close(ledger);
                sizes
            }
            other => {
                ledger.note(
                    Problem::error(format!("`{path}` has to be a list or a range"))
                        .at(Some(raw.place), kind(other))
                        .help(SHAPE),
                );
                continue;
            }
        };
        let sizes: Vec<_> = sizes.into_iter().filter(|s| s.0.is_finite()).collect();
        all.push(Listed { part, sizes });
    }
    reader.close(ledger);
    all
}

fn wrong_count(path: &str, raw: &Raw<'_>, count: usize) -> Problem {
    let place = Some(raw.place.clone());
    match count {
        0 => Problem::error(format!("`{path}` is an empty list")).at(place, "no size here").help(SHAPE),
        1 => Problem::error(format!("`{path}` lists one size: nothing to choose"))
            .at(place, "one size")
            .help("list at least two sizes, or leave the line out for what is usually on sale"),
        _ => Problem::error(format!("`{path}` has too many sizes"))
            .at(place, format!("{count} sizes"))
            .allowed(format!("at most {MOST_ROWS} sizes")),
    }
}

/// How one entry is read.
struct Entry<'a> {
    part: Part,
    carburettor: &'a Carburettor,
    petrol: &'a Fuel,
}

impl Entry<'_> {
    /// Unit and range of the part's size.
    fn spec(&self) -> Spec {
        match self.part {
            Part::PilotJet | Part::MainJet | Part::PilotAirJet | Part::MainAirJet => jet::BORE,
            Part::MixtureScrew => Spec::new(Turns, "turns", (0.0, 6.0), (0.25, 4.0)),
            Part::Cutaway => Spec::new(Length, "mm", (0.0, 15.0), (1.0, 5.0)),
            Part::NeedleDiameter => Spec::new(Length, "mm", (0.5, 8.0), (1.8, 3.5)),
            Part::NeedleJet => Spec::new(Length, "mm", (0.8, 10.0), (2.0, 3.6)),
            Part::Clip => {
                let grooves = f64::from(self.carburettor.main.needle.grooves);
                Spec::new(Number, "", (1.0, grooves), (1.0, grooves))
            }
            Part::Washer => Spec::new(Length, "mm", (0.0, 5.0), (0.0, 2.0)),
            Part::NeedleTaper => Spec::new(Angle, "deg", (0.05, 15.0), (0.5, 4.5)),
            Part::FloatLevel => Spec::new(Length, "mm", (-10.0, 60.0), (4.0, 25.0)),
        }
    }

    fn is_jet(&self) -> bool {
        matches!(self.part, Part::PilotJet | Part::MainJet | Part::PilotAirJet | Part::MainAirJet)
    }

    /// What a number alone means here.
    fn stamp(&self, ledger: &Ledger) -> Stamp {
        let value = |key: &str| {
            let path = format!("carburettor.{}.{key}", self.part.key());
            ledger.origins.iter().find(|o| o.key == path)
        };
        if value("bore_number").is_some() {
            return Stamp::Bore;
        }
        match (value("flow"), value("head").and_then(|h| h.value)) {
            (Some(_), Some(head)) => Stamp::Flow { head },
            _ => Stamp::Unknown,
        }
    }

    /// The size of an entry, NaN after a problem, and its label if it is not as read off.
    fn read(&self, ledger: &mut Ledger, path: &str, raw: &Raw<'_>) -> (f64, Option<String>) {
        let bare = match raw.value {
            DeValue::Integer(_) | DeValue::Float(_) => true,
            DeValue::String(text) => text.trim().parse::<f64>().is_ok(),
            _ => false,
        };
        if !self.is_jet() || !bare {
            return (read_quantity(ledger, path, raw, &self.spec()).kept, None);
        }
        let number = read_number(ledger, path, raw);
        if !number.is_finite() {
            return (f64::NAN, None);
        }
        let spec = self.spec();
        let (bore, label) = match self.stamp(ledger) {
            Stamp::Bore => (Some(number * 1e-5), None),
            Stamp::Flow { head } => {
                let length = self.fitted().map(|j| j.length);
                (bore_for_flow(number * 1e-6 / 60.0, head, 1.0, length, self.petrol), Some(format!("{number} cc/min")))
            }
            Stamp::Unknown => {
                ledger.note(
                    Problem::error(format!("`{path}` does not say which family its number belongs to"))
                        .at(Some(raw.place.clone()), "a number without a unit")
                        .help(format!(
                            "write the bore (\"{:.2} mm\"), or give the fitted jet as {{ bore_number = ... }} or \
                             {{ flow = ..., head = ... }}: the numbers then belong to its family",
                            number * 1e-2
                        )),
                );
                return (f64::NAN, None);
            }
        };
        match bore.filter(|b| spec.accepts(*b)) {
            Some(bore) => {
                ledger.given(path, format!("{number}, bore {}", spec.show(bore)), Some(bore), "m", &raw.place);
                (bore, label)
            }
            None => {
                ledger.note(
                    Problem::error(format!("`{path}` is out of range"))
                        .at(Some(raw.place.clone()), format!("number {number}"))
                        .allowed(format!("a bore of {}", spec.show_range(spec.allowed))),
                );
                (f64::NAN, None)
            }
        }
    }

    /// The jet fitted now.
    fn fitted(&self) -> Option<Jet> {
        let c = self.carburettor;
        match self.part {
            Part::PilotJet => Some(c.pilot.jet),
            Part::MainJet => Some(c.main.main_jet),
            Part::PilotAirJet => c.pilot.air_jet,
            Part::MainAirJet => c.main.air_jet,
            _ => None,
        }
    }
}

/// Sizes from `from` to `to` by `step`, counted in the unit that they are written in.
fn range(
    inner: &mut Reader<'_>,
    ledger: &mut Ledger,
    entry: &Entry<'_>,
    path: &str,
    raw: &Raw<'_>,
) -> Vec<(f64, Option<String>)> {
    let keys = ["from", "to", "step"];
    let found = keys.map(|key| inner.raw(ledger, key));
    let [Some(from), Some(to), Some(step)] = &found else {
        for (key, raw) in keys.iter().zip(&found) {
            if raw.is_none() {
                ledger.note(inner.missing(key, SHAPE));
            }
        }
        return Vec::new();
    };
    let written = |ledger: &mut Ledger, key: &str, raw: &Raw<'_>| {
        let path = format!("{path}.{key}");
        let spec = entry.spec();
        // a step may be smaller than the smallest part
        let wide = Spec { allowed: (f64::MIN, f64::MAX), usual: (f64::MIN, f64::MAX), ..spec };
        let bare = matches!(raw.value, DeValue::Integer(_) | DeValue::Float(_))
            || matches!(raw.value, DeValue::String(t) if t.trim().parse::<f64>().is_ok());
        if bare && entry.is_jet() {
            (read_number(ledger, &path, raw), true)
        } else {
            (read_quantity(ledger, &path, raw, &wide).kept, false)
        }
    };
    let (low, a) = written(ledger, "from", from);
    let (high, b) = written(ledger, "to", to);
    let (by, c) = written(ledger, "step", step);
    if ![low, high, by].iter().all(|v| v.is_finite()) {
        return Vec::new();
    }
    let count = ((high - low) / by + 1e-6).floor();
    let wrong = if a != b || b != c {
        Some("its ends and its step are written in different ways")
    } else if by <= 0.0 {
        Some("its step has to be above zero")
    } else if low >= high {
        Some("`from` has to be below `to`")
    } else if count < 1.0 {
        Some("it holds one size: nothing to choose")
    } else if count >= MOST_ROWS as f64 {
        Some("it holds too many sizes")
    } else {
        None
    };
    if let Some(wrong) = wrong {
        ledger.note(Problem::error(format!("`{path}`: {wrong}")).at(Some(raw.place.clone()), "this range").help(SHAPE));
        return Vec::new();
    }
    let values = (0..=count as usize).map(|k| low + k as f64 * by);
    if !a {
        let spec = entry.spec();
        let sizes: Vec<f64> = values.collect();
        if let Some(bad) = sizes.iter().find(|v| !spec.accepts(**v)) {
            ledger.note(
                Problem::error(format!("`{path}` is out of range"))
                    .at(Some(raw.place.clone()), spec.show(*bad))
                    .allowed(spec.show_range(spec.allowed)),
            );
            return Vec::new();
        }
        return sizes.into_iter().map(|v| (v, None)).collect();
    }
    let numbers: Vec<f64> = values.map(|v| (v * 1e6).round() / 1e6).collect();
    let mut sizes = Vec::with_capacity(numbers.len());
    for number in numbers {
        let text = DeValue::String(number.to_string().into());
        let size = entry.read(ledger, path, &Raw { value: &text, place: raw.place.clone() });
        if !size.0.is_finite() {
            return Vec::new();
        }
        sizes.push(size);
    }
    sizes
}

/// The stock of each listed part in `machine`, and a warning for a part that it does not have or a size that does not fit.
pub fn stocks(listed: Vec<Listed>, machine: &Machine) -> (Vec<Stock>, Vec<Problem>) {
    let (mut stocks, mut problems) = (Vec::new(), Vec::new());
    for Listed { part, sizes } in listed {
        let asked = sizes.len();
        match Stock::of(part, machine, sizes) {
            Ok(stock) => {
                if stock.sizes.len() < asked {
                    let text = format!("of `parts.{}` some sizes do not go into this carburettor", part.key());
                    problems.push(Problem::warning(text).help("they are left out, and so are sizes listed twice"));
                }
                stocks.push(stock);
            }
            Err(why) => problems.push(Problem::warning(format!("`parts.{}` is left out: {why}", part.key()))),
        }
    }
    (stocks, problems)
}
