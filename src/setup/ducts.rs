//! Whether the air's ways fit a grid: no taper too steep for one dimension, no part too short for its cells.

use super::ledger::Ledger;
use super::mouth::PASSAGE;
use super::pipe;
use crate::diagnostics::{Place, Problem};
use crate::hardware::air_box::AirBox;
use crate::hardware::carburettor::Carburettor;
use crate::hardware::duct::{FEWEST_CELLS, FINEST, Piece, STEEPEST_TAPER, shortest_part};
use crate::hardware::engine::Engine;

/// Parts with ducts, as far as they could be read.
#[derive(Debug, Clone, Copy)]
pub struct Parts<'a> {
    /// The carburettor.
    pub carburettor: Option<&'a Carburettor>,
    /// The engine.
    pub engine: Option<&'a Engine>,
    /// Air box or pod filter.
    pub air_box: Option<&'a AirBox>,
}

/// A piece with the keys of the file that shape it.
#[derive(Debug, Clone)]
struct Shaped {
    piece: Piece,
    /// Keys of its length, the one that counts first.
    length: &'static [&'static str],
    /// Keys of the diameters of its ends.
    ends: (&'static str, &'static str),
    /// What the length is, when it is too short for its taper.
    help: &'static str,
}

/// Smallest cell that the command line accepts [mm]; nothing smaller is advised.
const SMALLEST_CELL: f64 = 1.0;
const BORE: &str = "carburettor.bore";
const STEP: &str =
    "measure along its middle; a sudden change is a step: two pieces with different diameters at their joint";

/// Notes tapers that are too steep and parts that are too short for cells of `cell_size` [m].
pub fn check(ledger: &mut Ledger, parts: &Parts<'_>, cell_size: f64) {
    let inlet = parts.air_box.map(box_inlet);
    let before = parts.carburettor.map(before_slide);
    let between = parts.carburettor.and_then(before_butterfly);
    // With one half of the way missing, whether its end is a step is not known.
    let spigot = parts.carburettor.map(spigot);
    let manifold = parts.engine.map(manifold);
    let behind = spigot.clone().zip(manifold.clone()).map(|(a, b)| [a, b].concat());
    for shaped in [&inlet, &before, &spigot, &manifold].into_iter().flatten().flatten() {
        if shaped.piece.too_steep() {
            let problem = too_steep(ledger, shaped);
            ledger.note(problem);
        }
    }
    for way in [inlet, before, between, behind].into_iter().flatten() {
        // the runs of pieces between steps
        let runs: Vec<&[Shaped]> = way.chunk_by(|a, b| !a.piece.steps_to(&b.piece)).collect();
        for (i, run) in runs.iter().enumerate() {
            if run.iter().map(|s| s.piece.length).sum::<f64>() < shortest_part(cell_size) {
                let problem = too_short(ledger, &runs, i, cell_size);
                ledger.note(problem);
            }
        }
    }
}

fn box_inlet(part: &AirBox) -> Vec<Shaped> {
    let ends = ("air_box.inlet.diameter", "air_box.inlet.diameter");
    let pieces = part.inlet.iter().map(|p| Shaped::new(p, &["air_box.inlet.length"], ends, STEP));
    let mut way: Vec<Shaped> = pieces.collect();
    let (outer, inner) = part.end_corrections;
    let added = |correction: f64, to: Option<&Shaped>, diameter: fn(&Piece) -> f64| {
        let to = to?;
        let piece = Piece::added_length(correction, diameter(&to.piece), to.piece.wall_temperature)?;
        Some(Shaped { piece, length: &[], ..to.clone() })
    };
    let first = added(outer, way.first(), |p| p.diameter_start);
    let last = added(inner, way.last(), |p| p.diameter_end);
    way.splice(0..0, first);
    way.extend(last);
    way
}

fn before_slide(part: &Carburettor) -> Vec<Shaped> {
    const WIDENS: &str = "`flare` is the length over which the mouth widens, measured along the middle of the bore";
    let open = part.mouth.first().and_then(|p| {
        let piece = Piece::added_length(part.end_correction, p.diameter_start, p.wall_temperature)?;
        Some(Shaped { piece, length: &[], ends: ("carburettor.mouth.diameter", BORE), help: STEP })
    });
    let pieces = part.mouth.iter().map(|p| {
        if p.name != PASSAGE {
            let length = &["carburettor.mouth.flare", "carburettor.mouth.length"];
            Shaped::new(p, length, ("carburettor.mouth.diameter", BORE), WIDENS)
        } else {
            Shaped::new(p, &["carburettor.mouth.length"], (BORE, BORE), STEP)
        }
    });
    open.into_iter().chain(pieces).collect()
}

fn before_butterfly(part: &Carburettor) -> Option<Vec<Shaped>> {
    const SHORT: &str = "`behind_piston` runs from the piston's engine-side edge to the butterfly's shaft";
    let piece = part.between()?;
    Some(vec![Shaped::new(&piece, &["carburettor.butterfly.behind_piston"], (BORE, BORE), SHORT)])
}

fn spigot(part: &Carburettor) -> Vec<Shaped> {
    let ends = (BORE, "carburettor.spigot.diameter");
    part.spigot.iter().map(|p| Shaped::new(p, &["carburettor.spigot.length"], ends, STEP)).collect()
}

fn manifold(part: &Engine) -> Vec<Shaped> {
    const KEYS: [(&[&str], (&str, &str)); 2] = [
        (&["engine.boot.length"], ("engine.boot.from", "engine.boot.to")),
        (&["engine.port.length"], ("engine.port.from", "engine.port.to")),
    ];
    part.inlet.iter().zip(KEYS).map(|(p, (length, ends))| Shaped::new(p, length, ends, STEP)).collect()
}

impl Shaped {
    fn new(
        piece: &Piece,
        length: &'static [&'static str],
        ends: (&'static str, &'static str),
        help: &'static str,
    ) -> Self {
        Self { piece: piece.clone(), length, ends, help }
    }

    /// Where its length is given.
    fn length_place<'l>(&self, ledger: &'l Ledger) -> Option<&'l Place> {
        self.length.iter().find_map(|key| ledger.places.get(*key))
    }
}

/// The problem at the first place that is given, and against the second.
fn placed<'l>(problem: Problem, places: impl IntoIterator<Item = (Option<&'l Place>, String)>) -> Problem {
    let mut given = places.into_iter().filter_map(|(place, label)| Some((place?.clone(), label)));
    let problem = match given.next() {
        Some((place, label)) => problem.at(Some(place), label),
        None => problem,
    };
    match given.next() {
        Some((place, label)) => problem.against(Some(place), label),
        None => problem,
    }
}

fn too_steep(ledger: &Ledger, shaped: &Shaped) -> Problem {
    let piece = &shaped.piece;
    let (from, to) = (pipe::DIAMETER.show(piece.diameter_start), pipe::DIAMETER.show(piece.diameter_end));
    let length = pipe::LENGTH.show(piece.length);
    let least = (piece.diameter_end - piece.diameter_start).abs() / STEEPEST_TAPER;
    let problem =
        Problem::error(format!("the {} is too short for its taper, {from} to {to} over {length}", piece.name))
            .allowed(format!(
                "at least {} long: at most {STEEPEST_TAPER} mm of diameter for each mm of length",
                pipe::LENGTH.show(least)
            ))
            .help(shaped.help);
    placed(
        problem,
        [
            (ledger.places.get(shaped.ends.0), format!("from {from}")),
            (ledger.places.get(shaped.ends.1), format!("to {to}")),
            (shaped.length_place(ledger), format!("{length} long")),
        ],
    )
}

/// The problem of the run number `at` among the `runs` of a way.
fn too_short(ledger: &Ledger, runs: &[&[Shaped]], at: usize, cell_size: f64) -> Problem {
    let run = runs[at];
    let names: Vec<&str> = run.iter().filter(|s| s.piece.walled).map(|s| s.piece.name.as_str()).collect();
    let length: f64 = run.iter().map(|s| s.piece.length).sum();
    let least = shortest_part(cell_size);
    // rounded down to a tenth of a millimetre
    let fits = (1e4 * cell_size * length / least).floor() / 10.0;
    let mut advice = Vec::new();
    if runs.len() > 1 {
        advice.push("give it and its neighbour one diameter at their joint".to_string());
    }
    if fits >= SMALLEST_CELL {
        advice.push(format!("ask for cells of at most {fits:.1} mm with `--cell-size`"));
    }
    if advice.is_empty() {
        advice.push("measure it again, end to end".to_string());
    }
    let problem = Problem::error(format!(
        "the {} is {} long between two steps or ends, too short for {FEWEST_CELLS} cells of {}",
        names.join(" with the "),
        pipe::LENGTH.show(length),
        pipe::LENGTH.show(cell_size)
    ))
    .allowed(format!("at least {}, as cells may become {FINEST} times as long there", pipe::LENGTH.show(least)))
    .help(advice.join(", or "));
    let lengths = run.iter().filter_map(|s| Some((Some(s.length_place(ledger)?), "its length".to_string())));
    let before = run.first().filter(|_| at > 0).map(|s| (s.ends.0, "a step in front of it"));
    let behind = run.last().filter(|_| at + 1 < runs.len()).map(|s| (s.ends.1, "a step behind it"));
    let steps = [behind, before].into_iter().flatten().map(|(key, said)| (ledger.places.get(key), said.to_string()));
    placed(problem, lengths.take(1).chain(steps))
}
