//! From texts to a set-up: every table read, every problem noted, then the machine or the report.

use std::sync::Arc;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::describe::ASSUMED_FILLING;
use super::ledger::{Ledger, Stray};
use super::limits::LONGEST_NAME;
use super::load::{Texts, parse};
use super::provenance::{End, Origin, Provenance};
use super::reader::{Reader, kind, nearest};
use super::setup::Setup;
use super::spec::{COMMON, Estimate, Spec};
use super::vent::Vent;
use super::{
    air, air_box, bands, carburettor, ducts, engine, fuel, instead, on_hand, road, snap, supply, vacuum_piston,
};
use crate::diagnostics::clean::{clean_line, hides};
use crate::diagnostics::{Place, Problem, Report, Severity, Source, Warned};
use crate::hardware::machine::Machine;
use crate::media::fuel::Fuel;
use crate::units::Dimension::{Length, Share};

const LEAK: Spec = Spec::new(Length, "mm", (0.0, 10.0), (0.0, 3.0));
const LOSS: Spec = Spec::new(Share, "%", (0.0, 100.0), (0.0, 60.0));

/// Reads all texts into a set-up; `moved` is an estimate to put at one end of its range.
///
/// # Errors
/// Every problem of every text.
pub fn assemble(texts: &Texts, moved: Option<(String, End)>) -> Result<Warned<Setup>, Report> {
    let main = parse(&texts.main)?;
    let said = texts.instead.as_ref().map(parse).transpose()?;
    let mut ledger = Ledger { moved, ..Ledger::default() };
    let engine_tables = included(texts, "engine", &mut ledger);
    let carburettor_tables = included(texts, "carburettor", &mut ledger);
    let l = &mut ledger;

    let mut file = Reader::new(Some(main.get_ref()), &texts.main.source, "", Some(start(&texts.main.source)));
    let name = read_name(&mut file, l, &texts.stem);
    let table = instead_of(file.table(l, "air"), texts, said.as_ref());
    let air = air::read(table, l);
    let table = instead_of(file.table(l, "fuel"), texts, said.as_ref());
    let (fuel, evaporated_fraction) = fuel::read(table, l, &air);
    // A jet's flow number counts in petrol, whatever the bowl holds.
    let petrol = if fuel.blend.is_petrol() { fuel.clone() } else { Fuel::petrol(745.0, fuel.temperature) };
    let mut carburettor_table = part(&mut file, l, texts, "carburettor", carburettor_tables.as_ref());
    let mut engine_table = part(&mut file, l, texts, "engine", engine_tables.as_ref());
    let bore = carburettor_table.as_mut().map_or(f64::NAN, carburettor::bore_of);
    let carburettor = carburettor_table.map(|t| carburettor::read(t, l, &petrol, air.temperature));
    let engine = engine_table.take().map(|t| engine::read(t, l, bore, air.temperature));
    let swept = engine.as_ref().map_or(f64::NAN, |e| e.engine.crank.swept_volume());
    let vent = carburettor.as_ref().map_or_else(Vent::default, |c| c.vent.clone());
    let highest = engine.as_ref().map_or(f64::NAN, |e| e.engine.highest_rpm);
    let beside = air_box::Beside { swept, bore, full_flow: ASSUMED_FILLING * swept * highest / 120.0, air };
    let air_box = air_box::read(&mut file, l, beside, &vent);
    let loss = Estimate::fixed(&LOSS, 0.0, (0.0, 50.0), "all fuel blown out of the mouth comes back", COMMON);
    let loss = file.estimated(l, "standoff_loss", &LOSS, loss);
    let leak = Estimate::fixed(&LEAK, 0.0, (0.0, 1.0), "a tight joint", COMMON);
    let leak = file.estimated(l, "air_leak", &LEAK, leak);
    let targets = bands::read(&mut file, l, fuel.stoichiometric);
    let parts_table = file.table(l, "parts");
    let listed = on_hand::read(parts_table, l, carburettor.as_ref().map(|c| &c.carburettor), &petrol);
    let own_road = road::read(&mut file, l);
    let supply = supply::read(&mut file, l);
    let asks = file.has("snap") || said.as_ref().is_some_and(|s| s.get_ref().contains_key("snap"));
    let snap_table = instead_of(file.table(l, "snap"), texts, said.as_ref());
    file.close(l);
    let (engine, engine_road) = engine.map_or((None, None), |e| (Some(e.engine), e.road));
    let road = road::one_of(l, own_road, engine_road);
    if let Some(road) = &road {
        road::check(l, road, highest);
    }
    let snap = asks.then(|| snap::read(snap_table, l, engine.as_ref(), road.as_ref().map(|r| &r.vehicle)));
    let parts = ducts::Parts {
        carburettor: carburettor.as_ref().map(|c| &c.carburettor),
        engine: engine.as_ref(),
        air_box: air_box.as_ref(),
    };
    ducts::check(l, &parts, texts.cell_size);
    if let (Some(carburettor), Some(engine)) = (parts.carburettor, parts.engine) {
        vacuum_piston::check_rise(l, carburettor, engine, &air);
    }
    note_strays(l);
    sort(&mut l.problems, &texts.main.source);

    let failed = l.problems.iter().any(|p| p.severity == Severity::Error);
    match (engine, carburettor) {
        (Some(engine), Some(carburettor)) if !failed => {
            let machine = Machine {
                engine,
                carburettor: carburettor.carburettor,
                air_box,
                air,
                fuel,
                evaporated_fraction,
                standoff_loss: loss.kept,
                air_leak: leak.kept,
            };
            finite(&ledger.origins)?;
            ledger.problems.extend(step(&machine));
            let (on_hand, problems) = on_hand::stocks(listed, &machine);
            ledger.problems.extend(problems);
            let (provenance, flow_tests) = (ledger.origins, ledger.flow_tests);
            let road = road.map(|r| r.vehicle);
            let texts = texts.clone();
            let value = Setup { name, machine, targets, provenance, flow_tests, on_hand, road, snap, supply, texts };
            Ok(Warned { value, warnings: ledger.problems })
        }
        _ => Err(Report { problems: ledger.problems }),
    }
}

/// `table` with what is said in place of the file's values, if anything.
fn instead_of<'a>(table: Reader<'a>, texts: &'a Texts, said: Option<&'a Spanned<DeTable<'a>>>) -> Reader<'a> {
    let (Some(file), Some(said)) = (&texts.instead, said) else { return table };
    match said.get_ref().get(table.prefix.as_str()).map(Spanned::get_ref) {
        Some(DeValue::Table(said)) => {
            let hidden = instead::hidden(&table.prefix, said);
            table.behind(said, &file.source, hidden)
        }
        _ => table,
    }
}

/// The tables of a named file; its mistakes of syntax are noted.
fn included<'t>(texts: &'t Texts, key: &str, ledger: &mut Ledger) -> Option<Spanned<DeTable<'t>>> {
    match texts.named.get(key)? {
        Ok(file) => match parse(file) {
            Ok(table) => Some(table),
            Err(report) => {
                ledger.problems.extend(report.problems);
                None
            }
        },
        Err(report) => {
            ledger.problems.extend(report.problems.iter().cloned());
            None
        }
    }
}

/// The reader over an engine or a carburettor, wherever it stands; none if it cannot be had, which is then noted.
fn part<'a>(
    file: &mut Reader<'a>,
    ledger: &mut Ledger,
    texts: &'a Texts,
    key: &'static str,
    named: Option<&'a Spanned<DeTable<'a>>>,
) -> Option<Reader<'a>> {
    let raw = file.raw(ledger, key);
    match raw.as_ref().map(|r| r.value) {
        Some(DeValue::String(path)) => {
            let place = raw.as_ref().map(|r| r.place.clone());
            if let Some(place) = &place {
                ledger.given(key, clean_line(path, 80), None, "", place);
            }
            let tables = named?.get_ref();
            let source = &texts.named.get(key)?.as_ref().ok()?.source;
            if let Some(problem) = misplaced(tables, source, key) {
                ledger.note(problem);
                return None;
            }
            Some(Reader::new(Some(tables), source, key, Some(start(source))))
        }
        Some(DeValue::Table(_)) => Some(file.table(ledger, key)),
        Some(other) => {
            ledger.note(
                Problem::error(format!("`{key}` has to be a table or the path of a file"))
                    .at(raw.as_ref().map(|r| r.place.clone()), kind(other))
                    .help(format!("write a heading [{key}], or {key} = \"path/of/file.toml\"")),
            );
            None
        }
        None => {
            let help = match file.near(key) {
                Some(near) => format!("is `{near}` meant to be [{key}]?"),
                None => format!("write a heading [{key}], or {key} = \"path/of/file.toml\""),
            };
            ledger.note(file.missing(key, &help));
            None
        }
    }
}

/// A named file that holds a heading or a whole set-up instead of one part's values.
fn misplaced(tables: &DeTable<'_>, source: &Arc<Source>, key: &str) -> Option<Problem> {
    let (found, value) = ["engine", "carburettor"].iter().find_map(|k| tables.get_key_value(*k))?;
    let place = Some(Place { source: Arc::clone(source), span: found.span() });
    let name = clean_line(found.get_ref(), 40);
    Some(if matches!(value.get_ref(), DeValue::String(_)) {
        Problem::error("a named file may not name another one")
            .at(place, format!("`{name}` names a file"))
            .help(format!("a file named by `{key}` holds the values of one {key} and nothing else"))
    } else {
        Problem::error(format!("a file named by `{key}` holds the values of one {key} and nothing else"))
            .at(place, format!("`{name}` does not belong here"))
            .help(format!("leave out the heading [{key}], and write [{key}.port] as [port]"))
    })
}

/// The first character of a file that can be seen: where a missing value of the file itself is shown.
fn start(source: &Arc<Source>) -> Place {
    let first = source.shown.find(|c: char| !c.is_whitespace()).unwrap_or(0);
    Place { source: Arc::clone(source), span: first..first + 1 }
}

fn read_name(file: &mut Reader<'_>, ledger: &mut Ledger, stem: &str) -> String {
    let Some(raw) = file.raw(ledger, "name") else { return plain_name(stem) };
    let DeValue::String(text) = raw.value else {
        ledger.note(Problem::error("`name` has to be a text").at(Some(raw.place), kind(raw.value)));
        return String::new();
    };
    let text = text.trim();
    let bad = if text.is_empty() {
        Some("the name is empty".to_string())
    } else if text.chars().count() > LONGEST_NAME {
        Some(format!("more than {LONGEST_NAME} characters"))
    } else {
        text.chars().find(|c| hides(*c) || "/\\:*?\"<>|".contains(*c)).map(|c| format!("holds {}", c.escape_default()))
    };
    let bad = bad.or_else(|| text.starts_with('.').then(|| "starts with a point".into()));
    if let Some(bad) = bad {
        ledger.note(
            Problem::error("`name` cannot be used, as it also names the folder of the results")
                .at(Some(raw.place), bad)
                .allowed(format!(
                    "1 to {LONGEST_NAME} characters, none of / \\ : * ? \" < > |, not starting with a point"
                )),
        );
        return String::new();
    }
    text.to_string()
}

fn plain_name(stem: &str) -> String {
    let text: String = stem.chars().filter(|c| !hides(*c) && !"/\\:*?\"<>|".contains(*c)).take(LONGEST_NAME).collect();
    let text = text.trim_start_matches('.').trim();
    if text.is_empty() { "set-up".into() } else { text.into() }
}

/// Notes each key that no table asked for, with the nearest key of its table or the table where it belongs.
fn note_strays(ledger: &mut Ledger) {
    let strays = std::mem::take(&mut ledger.strays);
    for stray in strays {
        let problem = stray_problem(&stray, ledger);
        ledger.note(problem);
    }
}

fn stray_problem(stray: &Stray, ledger: &Ledger) -> Problem {
    let key = clean_line(&stray.key, 60);
    let here = if stray.table.is_empty() { "at the top of the file".into() } else { format!("in [{}]", stray.table) };
    let problem = Problem::error(format!("unknown key `{key}` {here}")).at(Some(stray.place.clone()), "not known here");
    if let Some(near) = nearest(&stray.key, stray.known.iter().map(String::as_str)) {
        return problem.help(format!("did you mean `{near}`?"));
    }
    let elsewhere = ledger.asked.iter().find(|(table, k)| *k == stray.key && !table.contains('['));
    if let Some((table, _)) = elsewhere {
        let there = if table.is_empty() { "at the top of the file".into() } else { format!("in [{table}]") };
        return problem.help(format!("`{key}` belongs {there}"));
    }
    let known: Vec<&str> = stray.known.iter().map(String::as_str).collect();
    problem.help(format!("known here: {}", known.join(", ")))
}

/// Puts problems in the order of the files: the set-up file first, each file from top to bottom.
fn sort(problems: &mut [Problem], main: &Arc<Source>) {
    problems.sort_by_key(|p| {
        let place = p.place.as_ref();
        let other = place.map_or("", |p| if p.source == *main { "" } else { p.source.name.as_str() });
        (other.to_string(), place.map_or(0, |p| p.span.start))
    });
}

/// Ratio of diameters at the joint of spigot and boot above which a step is unlikely: a boot is chosen to fit.
const LARGEST_STEP: f64 = 1.25;

/// A warning when spigot and boot hardly belong together.
fn step(machine: &Machine) -> Option<Problem> {
    let spigot = machine.carburettor.spigot.last()?.diameter_end;
    let boot = machine.engine.inlet.first()?.diameter_start;
    let ratio = spigot.max(boot) / spigot.min(boot);
    let said = |d: f64| format!("{:.1} mm", d * 1e3);
    (ratio > LARGEST_STEP).then(|| {
        Problem::warning(format!("the spigot ends {} wide and the boot starts {} wide", said(spigot), said(boot)))
            .help("compare `carburettor.spigot.diameter` and `engine.boot.from`, both measured inside")
    })
}

/// A last look: every value of a set-up without problems is a finite number.
fn finite(origins: &[Provenance]) -> Result<(), Report> {
    let bad = origins.iter().find(|o| {
        let range = match &o.origin {
            Origin::Estimated(note) => note.low.is_finite() && note.high.is_finite(),
            Origin::Given { .. } => true,
        };
        !range || o.value.is_some_and(|v| !v.is_finite())
    });
    match bad {
        None => Ok(()),
        Some(o) => Err(Report::one(Problem::error(format!("`{}` has no finite value", o.key)))),
    }
}
