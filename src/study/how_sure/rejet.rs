//! Whether the parts to fit stay the same at the ends of the estimates that say most about the mixture.
//!
//! At each end the machine is run over the grid with the parts chosen, on cells twice as long, and so it is as
//! estimated; the change of `ln lambda` at each point moves the model of the search, and the parts are chosen on it
//! anew.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::screen::{Asked, Rows, screened};
use super::{Doubtful, ENDS, MOST, candidates, change, coarser, moved, next};
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::hardware::part_size::fitted_with;
use crate::rig::settings::Settings;
use crate::setup::{End, Setup};
use crate::study::point::{self, PointResult};
use crate::study::rejet::choose::Chooser;
use crate::study::rejet::misfit::{Wanted, has_band, no_leaner};
use crate::study::rejet::model::Model;
use crate::study::rejet::runs::Bench;
use crate::study::rejet::search::{Found, Listener};
use crate::study::selection::nearest;
use crate::study::sweep::cost;
use crate::study::tasks;

/// Sizes that a part may be moved at an end: as far as the model holds.
const REACH: usize = 8;
/// Throttles at which the estimates are ranked, at the middle speed [-].
const RANKED_AT: [f64; 4] = [0.0625, 0.25, 0.5, 1.0];

/// Another size of a part.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Instead {
    /// The part.
    pub part: Part,
    /// As it was chosen.
    pub chosen: String,
    /// As it would be chosen there.
    pub there: String,
    /// Sizes between them, above zero the richer way.
    pub sizes: i64,
}

/// The parts to fit at one end of one estimate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AtEnd {
    /// The estimate.
    pub estimate: Doubtful,
    /// The end.
    pub end: End,
    /// Mean change of AFR over the grid with the parts chosen [%].
    pub afr_percent: f64,
    /// Parts of which another size would be chosen.
    pub instead: Vec<Instead>,
}

/// How sure the parts to fit are.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HowSure {
    /// Estimates that were looked at.
    pub looked_at: usize,
    /// Cells of the runs at the ends [m].
    pub cell_size: f64,
    /// The ends, by estimate, low before high.
    pub ends: Vec<AtEnd>,
    /// Parts of which the same size is chosen at all ends.
    pub firm: Vec<Part>,
    /// What to measure next.
    pub next: Option<Doubtful>,
}

/// The answer for what a search found around its best parts; none if it was stopped or the search did not settle.
#[must_use]
pub fn answer(
    setup: &Setup,
    bench: &Bench<'_>,
    found: &Found,
    wanted: &[Wanted],
    listener: &dyn Listener,
) -> Option<HowSure> {
    let (model, _) = found.around.as_ref()?;
    let size = |(stock, place): (&crate::hardware::stock::Stock, &usize)| (stock.part, stock.sizes[*place].value);
    let sizes: Vec<(Part, f64)> = bench.stocks.iter().zip(&found.after.places).map(size).collect();
    let fit = |machine: Machine| fitted_with(&machine, &sizes).ok();
    let grid = bench.grid;
    let middle = grid.speeds[grid.speeds.len() / 2];
    let mut throttles: Vec<f64> =
        RANKED_AT.iter().filter_map(|t| nearest(&grid.throttles, *t)).map(|i| grid.throttles[i]).collect();
    throttles.dedup_by(|a, b| a.to_bits() == b.to_bits());
    let points: Vec<(f64, f64)> = throttles.into_iter().map(|t| (t, middle)).collect();
    let machines = [bench.machine];
    let with = (bench.threads, bench.stop);
    let coarse = coarser(bench.settings, 4.0, &machines);
    let asked = Asked { setups: &[setup], fitted: &fit, points: &points, settings: &coarse, with, heard: bench.heard };
    listener.begin("every estimate moved once", asked.runs(), asked.runs() as f64 * cost(middle));
    let screened = screened(&asked);
    listener.end(None);
    let ranked = screened?.ranked(&apart);

    let settings = coarser(bench.settings, 2.0, &machines);
    let one_map = grid.throttles.len() as f64 * grid.speeds.iter().map(|r| cost(*r)).sum::<f64>();
    let maps = 1 + MOST * ENDS.len();
    listener.begin("five estimates at both ends", maps * bench.points(), maps as f64 * one_map);
    let ends = at_ends(setup, bench, &fit, &settings, &ranked, with);
    listener.end(None);
    let (base, ends) = ends?;
    let fitted: Vec<usize> = bench.stocks.iter().map(|s| s.fitted).collect();
    let ends: Vec<AtEnd> = ends
        .into_iter()
        .map(|(estimate, end, points)| {
            let changes: Vec<Option<f64>> = base.iter().zip(&points).map(|(a, b)| change(a, b)).collect();
            let there = shifted(model, &changes);
            let wanted = as_shifted(wanted, &changes);
            let places = Chooser::new(&there, &wanted, &fitted).best(REACH, &std::collections::BTreeSet::new());
            let places = places.unwrap_or_else(|| found.after.places.clone());
            let instead = bench.stocks.iter().zip(found.after.places.iter().zip(&places));
            let instead = instead.filter(|(_, (a, b))| a != b).map(|(stock, (a, b))| Instead {
                part: stock.part,
                chosen: stock.sizes[*a].label.clone(),
                there: stock.sizes[*b].label.clone(),
                sizes: *b as i64 - *a as i64,
            });
            let known: Vec<f64> = changes.into_iter().flatten().collect();
            let mean = known.iter().sum::<f64>() / known.len().max(1) as f64;
            AtEnd { estimate, end, afr_percent: 100.0 * (libm::exp(mean) - 1.0), instead: instead.collect() }
        })
        .collect();
    let firm = |part: &Part| ends.iter().all(|e| e.instead.iter().all(|i| i.part != *part));
    let moves = |e: &&AtEnd| e.instead.iter().map(|i| i.sizes.unsigned_abs()).sum::<u64>();
    let mut by_moves: Vec<&AtEnd> = ends.iter().collect();
    by_moves.sort_by_key(|e| std::cmp::Reverse(moves(e)));
    Some(HowSure {
        looked_at: candidates(&[setup]).len(),
        cell_size: settings.cell_size,
        firm: bench.stocks.iter().map(|s| s.part).filter(firm).collect(),
        next: next(by_moves.iter().map(|e| &e.estimate)),
        ends,
    })
}

/// A map at one end of an estimate.
type EndMap = (Doubtful, End, Vec<PointResult>);

/// The map as estimated and those at the ends; ends at which the machine does not fit together are left out.
fn at_ends(
    setup: &Setup,
    bench: &Bench<'_>,
    fit: &(dyn Fn(Machine) -> Option<Machine> + Sync),
    settings: &Settings,
    ranked: &[super::Candidate],
    (threads, stop): (NonZeroUsize, &AtomicBool),
) -> Option<(Vec<PointResult>, Vec<EndMap>)> {
    let mut machines = vec![fit(setup.machine.clone())?];
    let mut names = Vec::new();
    for candidate in ranked {
        for end in ENDS {
            let Some(machine) = moved(setup, &candidate.doubtful.key, end).and_then(fit) else { continue };
            machines.push(machine);
            names.push((candidate.doubtful.clone(), end));
        }
    }
    let count = bench.points();
    let speeds = bench.grid.speeds.len();
    let solved = tasks::in_order(machines.len() * count, threads, stop, &|task| {
        let (throttle, rpm) = (bench.grid.throttles[task % count / speeds], bench.grid.speeds[task % count % speeds]);
        let point = point::solve(&machines[task / count], throttle, rpm, None, settings).0;
        (bench.heard)(rpm);
        point
    });
    let lost = |place: usize, bug: &str| {
        let at = place % count;
        let (throttle, rpm) = (bench.grid.throttles[at / speeds], bench.grid.speeds[at % speeds]);
        PointResult::failed(throttle, rpm, 0, format!("a bug in bellmouth: {bug}"))
    };
    let solved: Vec<PointResult> = solved
        .into_iter()
        .enumerate()
        .map(|(i, r)| r.map(|r| r.unwrap_or_else(|bug| lost(i, &bug))))
        .collect::<Option<_>>()?;
    let mut maps = solved.chunks(count.max(1)).map(<[PointResult]>::to_vec);
    let base = maps.next()?;
    Some((base, names.into_iter().zip(maps).map(|((d, e), m)| (d, e, m)).collect()))
}

/// The model with each point's mixture moved; where nothing is known it stays.
fn shifted(model: &Model, changes: &[Option<f64>]) -> Model {
    let base = changes.iter().enumerate().map(|(i, c)| model.shifted(i, c.unwrap_or(0.0))).collect();
    Model { base, ..model.clone() }
}

/// What is wanted there: a point that is only to get no leaner than as fitted is as fitted there.
fn as_shifted(wanted: &[Wanted], changes: &[Option<f64>]) -> Vec<Wanted> {
    let shifted = |(band, change): (&Wanted, &Option<f64>)| match (band, change) {
        (Some((_, lambda)), Some(change)) if !has_band(band) => no_leaner(lambda * libm::exp(*change)),
        _ => *band,
    };
    wanted.iter().zip(changes).map(shifted).collect()
}

/// Root mean square of the change of `ln lambda`.
fn apart(base: &Rows, with: &Rows) -> Option<f64> {
    let changes: Vec<f64> =
        base.iter().flatten().zip(with.iter().flatten()).filter_map(|(a, b)| change(a, b)).collect();
    let mean = changes.iter().map(|c| c * c).sum::<f64>() / changes.len() as f64;
    mean.is_finite().then(|| mean.sqrt())
}
