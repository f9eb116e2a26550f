//! What stands in front of the carburettor's mouth: an air box, a pod filter, or nothing.

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::pipe;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use super::vent::Vent;
use crate::diagnostics::Problem;
use crate::diagnostics::clean::clean_line;
use crate::hardware::air_box::{AirBox, Filter};
use crate::hardware::duct::Piece;
use crate::laws::loss::{FLUSH_PIPE, PLAIN_PIPE};
use crate::media::atmosphere::FreeAir;
use crate::units::Dimension::{Area, Number, Pressure, Volume};

const VOLUME: Spec = Spec::new(Volume, "L", (0.2, 100.0), (1.0, 20.0));
const POD_VOLUME: Spec = Spec::new(Volume, "L", (0.05, 20.0), (0.15, 2.5));
const LOSS: Spec = Spec::new(Number, "", (0.0, 5.0), (0.02, 1.5));
const END: Spec = Spec::new(Number, "", (0.0, 1.0), (0.5, 0.85));
const AREA: Spec = Spec::new(Area, "cm2", (10.0, 10_000.0), (60.0, 1500.0));
const DROP: Spec = Spec::new(Pressure, "Pa", (0.0, 5000.0), (30.0, 1500.0));

/// Pressure drop of a filter at the highest speed above which a warning is given [Pa].
const MOST_DROP: f64 = 4000.0;
const LEVINE: &str = "Levine & Schwinger 1948 (from memory)";
/// A pipe's end without and with a wide flange [-].
const ENDS: (f64, f64) = (0.6133, 0.8217);

/// Kinds of parts that can stand in front of the mouth.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Front {
    /// A box with an inlet duct.
    AirBox,
    /// A filter on the mouth itself.
    PodFilter,
}

impl Front {
    /// The word of the file.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::AirBox => "air box",
            Self::PodFilter => "pod filter",
        }
    }

    /// The word with its article.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::AirBox => "an air box",
            Self::PodFilter => "a pod filter",
        }
    }
}

/// Sizes of other parts that the estimates rest on, SI; NaN if unknown.
#[derive(Debug, Clone, Copy)]
pub struct Beside {
    /// Displacement [m3].
    pub swept: f64,
    /// The carburettor's bore [m].
    pub bore: f64,
    /// Volume flow at the highest speed [m3/s].
    pub full_flow: f64,
    /// The free air.
    pub air: FreeAir,
}

/// Reads `air_box` or `pod_filter` of the file, and where the bowl's `vent` ends.
pub fn read(file: &mut Reader<'_>, ledger: &mut Ledger, beside: Beside, vent: &Vent) -> Option<AirBox> {
    let (boxed, podded) = (file.key_place("air_box"), file.key_place("pod_filter"));
    let (box_table, pod_table) = (file.table(ledger, "air_box"), file.table(ledger, "pod_filter"));
    let (front, part) = match (&boxed, &podded) {
        (None, None) => (None, None),
        (Some(_), _) => (Some(Front::AirBox), Some(read_box(box_table, ledger, beside))),
        (None, Some(_)) => (Some(Front::PodFilter), Some(read_pod(pod_table, ledger, beside))),
    };
    if let (Some(a), Some(b)) = (boxed, podded) {
        ledger.note(
            Problem::error("the set-up has both an air box and a pod filter")
                .at(Some(b), "the pod filter")
                .against(Some(a), "the air box")
                .help("a filter inside an air box is written under [air_box.filter]; keep the one that is there"),
        );
        return part;
    }
    let inside = vent.ends_in(ledger, front);
    part.map(|part| AirBox { bowl_vented_inside: inside, ..part })
}

fn read_box(mut reader: Reader<'_>, ledger: &mut Ledger, beside: Beside) -> AirBox {
    let r = &mut reader;
    let volume = Estimate::times(beside.swept, 6.0, (4.0, 10.0), "6 x displacement", COMMON);
    let volume = r.estimated(ledger, "volume", &VOLUME, volume);
    let mut t = r.table(ledger, "inlet");
    let rule = "60 mm, a short snorkel; measure along its middle";
    let length = Estimate::fixed(&pipe::LENGTH, 60.0, (30.0, 150.0), rule, COMMON);
    let length = t.estimated(ledger, "length", &pipe::LENGTH, length);
    let diameter = Estimate::times(beside.bore, 1.0, (0.9, 1.2), "as wide as the carburettor's bore", COMMON);
    let diameter = t.estimated(ledger, "diameter", &pipe::DIAMETER, diameter);
    let loss = Estimate {
        value: FLUSH_PIPE,
        low: 0.1,
        high: PLAIN_PIPE,
        rule: "0.5, a sharp edge in a wall; 0.1 with a rounded lip, 1 for the end of a thin pipe".into(),
        source: "handbook values, Fried & Idelchik 1989 and Borda",
    };
    let loss = t.estimated(ledger, "loss", &LOSS, loss);
    let outer = Estimate {
        value: ENDS.0,
        low: ENDS.0,
        high: ENDS.1,
        rule: "0.6133 of its radius, a pipe without flange; 0.8217 with a wide flange".into(),
        source: LEVINE,
    };
    let inner =
        Estimate { value: ENDS.1, rule: "0.8217 of its radius, an opening in the box's wall".into(), ..outer.clone() };
    let outer = t.estimated(ledger, "outer_correction", &END, outer);
    let inner = t.estimated(ledger, "inner_correction", &END, inner);
    let wall = pipe::wall(&mut t, ledger, 0.0, (0.0, 20.0), beside.air.temperature);
    t.close(ledger);
    let filter = read_filter(r, ledger, beside.swept);
    reader.close(ledger);
    if let Some(filter) = &filter {
        check_drop(ledger, filter, beside);
    }
    AirBox {
        volume: volume.kept,
        inlet: vec![Piece::plain("air box inlet", length.kept, diameter.kept, diameter.kept, wall.kept)],
        inlet_loss: loss.kept,
        end_corrections: (outer.kept, inner.kept),
        filter: filter.map(|f| f.part()),
        bowl_vented_inside: false,
    }
}

/// The figures of a filter.
#[derive(Debug)]
struct ReadFilter {
    area: Figure,
    drop: Figure,
}

impl ReadFilter {
    fn part(&self) -> Filter {
        Filter { area: self.area.kept, drop: self.drop.kept }
    }

    /// The problem at the filter's values that are given.
    fn placed(&self, problem: Problem) -> Problem {
        let (area, drop) = (format!("area {}", self.area.label()), format!("drop {}", self.drop.label()));
        match (&self.area.place, &self.drop.place) {
            (Some(_), _) => problem.at(self.area.place.clone(), area).against(self.drop.place.clone(), drop),
            (None, _) => problem.at(self.drop.place.clone(), drop),
        }
    }
}

/// A warning when the filter takes more than one that is clogged. Common practice, no source: box and filter take 0.5 to 1.5 kPa
/// at full flow, a clogged filter 2.5 kPa more.
fn check_drop(ledger: &mut Ledger, filter: &ReadFilter, beside: Beside) {
    let taken = filter.part().resistance() * beside.full_flow;
    if taken > MOST_DROP {
        let problem = Problem::warning(format!("the filter takes {:.1} kPa at the highest speed", 1e-3 * taken))
            .help("a clean filter takes 0.1 to 1 kPa; `area` is its face, `drop` belongs to a face velocity of 1 m/s");
        ledger.note(filter.placed(problem));
    }
}

/// `filter` of the box: a table, or the word "none".
fn read_filter(reader: &mut Reader<'_>, ledger: &mut Ledger, swept: f64) -> Option<ReadFilter> {
    let path = reader.path("filter");
    let raw = reader.raw(ledger, "filter");
    if let Some(raw) = raw
        && let DeValue::String(text) = raw.value
    {
        if text.trim() == "none" {
            ledger.given(&path, "none".into(), None, "", &raw.place);
            return None;
        }
        ledger.note(
            Problem::error(format!("`{path}` has to be a table or the word \"none\""))
                .at(Some(raw.place), format!("\"{}\"", clean_line(text, 40)))
                .help(format!("write filter = \"none\" if there is none, or a line [{path}] and the values below it")),
        );
        return None;
    }
    let mut t = reader.table(ledger, "filter");
    let rule = "0.5 cm2 of face for each cc of displacement";
    // cm2 per cc is 1e-4 m2 over 1e-6 m3
    let area = Estimate::times(1e2 * swept, 0.5, (0.25, 1.0), rule, COMMON);
    let from = ledger.problems.len();
    let area = t.estimated(ledger, "area", &AREA, area);
    for problem in ledger.problems.iter_mut().skip(from).filter(|p| p.help.is_none()) {
        problem.help =
            Some("the face that the air passes, all sides of it; without a filter write filter = \"none\"".into());
    }
    let filter = ReadFilter { area, drop: read_drop(&mut t, ledger) };
    t.close(ledger);
    Some(filter)
}

fn read_drop(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Figure {
    let rule = "200 Pa at a face velocity of 1 m/s, oiled foam or pleated paper, clean";
    let drop = Estimate::fixed(&DROP, 200.0, (80.0, 500.0), rule, COMMON);
    reader.estimated(ledger, "drop", &DROP, drop)
}

fn read_pod(mut reader: Reader<'_>, ledger: &mut Ledger, beside: Beside) -> AirBox {
    let r = &mut reader;
    let rule = "0.5 L inside, a cone or drum somewhat longer than it is wide";
    let volume = Estimate::fixed(&POD_VOLUME, 0.5, (0.25, 1.0), rule, COMMON);
    let volume = r.estimated(ledger, "volume", &POD_VOLUME, volume);
    let area = Estimate::fixed(&AREA, 200.0, (100.0, 350.0), "200 cm2 of face", COMMON);
    let area = r.estimated(ledger, "area", &AREA, area);
    let filter = ReadFilter { area, drop: read_drop(r, ledger) };
    reader.close(ledger);
    check_drop(ledger, &filter, beside);
    AirBox {
        volume: volume.kept,
        inlet: Vec::new(),
        inlet_loss: 0.0,
        end_corrections: (0.0, 0.0),
        filter: Some(filter.part()),
        bowl_vented_inside: false,
    }
}
