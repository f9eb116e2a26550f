//! The search: model, propose, run, go on from the better one.

use std::collections::BTreeSet;

use super::super::sweep::cost;
use super::choose::{Chooser, price};
use super::incurable::curable;
use super::misfit::{Mixture, Wanted, mean_loss};
use super::model::Model;
use super::runs::{Bench, Fitting, Side, neighbour};

/// Most times that the model is made anew.
const MOST_ROUNDS: usize = 8;
/// Places in a stock that one proposal may move a part at most; halved when the run does not bear it out, doubled again
/// when it does.
const REACH: usize = 4;
/// Part of the promised gain that a run has to keep, or a nearer proposal is run too [-]. A common choice for a trust
/// region (Nocedal & Wright, *Numerical Optimization*, chapter 4, from memory).
const KEPT: f64 = 0.25;
/// Proposals of single sizes that are run on one model before it is given up.
const POLISHES: usize = 4;

/// What is heard of a search that runs.
pub trait Listener: Sync {
    /// So many runs of the cost `cost` ([`super::super::sweep::cost`]) begin, for the purpose `what`.
    fn begin(&self, what: &str, runs: usize, cost: f64);
    /// A run at `rpm` has ended.
    fn run(&self, rpm: f64);
    /// The runs that were begun have ended with a mean loss [lambda squared], if they give one.
    fn end(&self, mean_loss: Option<f64>);
}

/// What a search found.
#[derive(Debug, Clone)]
pub struct Found {
    /// The parts as fitted.
    pub before: Fitting,
    /// The best parts.
    pub after: Fitting,
    /// What is wanted at each point that jets can cure, and of the others that they get no leaner: the parts are chosen
    /// by these.
    pub counted: Vec<Wanted>,
    /// One size both ways of each of the best parts, and the model from it; none if it was interrupted before.
    pub around: Option<(Model, Vec<[Side; 2]>)>,
    /// Whether no neighbour is better; else it was interrupted or its rounds ran out.
    pub settled: bool,
    /// Whether it was interrupted.
    pub interrupted: bool,
    /// Rounds.
    pub rounds: usize,
    /// Operating points run.
    pub runs: usize,
}

/// Looks for the sizes of the stocks of `bench` that bring the map nearest to `wanted`; the same bits on any number of
/// threads. None if it was stopped before the map as fitted was done.
#[must_use]
pub fn run(bench: &Bench<'_>, wanted: &[Wanted], listener: &dyn Listener) -> Option<Found> {
    let one_map = bench.grid.throttles.len() as f64 * bench.grid.speeds.iter().map(|r| cost(*r)).sum::<f64>();
    let points = bench.points();
    listener.begin("the map as fitted", points, one_map);
    let before = bench.first();
    let counted = before.as_ref().map(|f| curable(bench.machine, bench.grid, &f.points, wanted)).unwrap_or_default();
    let wanted = counted.as_slice();
    let loss = |f: &[super::super::point::PointResult]| mean_loss(f.iter().map(Mixture::of), wanted);
    listener.end(before.as_ref().map(|f| loss(&f.points)));
    let before = before?;
    let fitted = before.places.clone();
    let value = |f: &Fitting| price(loss(&f.points), &f.places, &fitted);

    let mut found = Found {
        after: before.clone(),
        counted: counted.clone(),
        before,
        around: None,
        settled: false,
        interrupted: false,
        rounds: 0,
        runs: points,
    };
    let mut known = BTreeSet::from([fitted.clone()]);
    // runs other parts from the best so far; none if they do not go together or it was stopped
    let try_out = |found: &mut Found, known: &mut BTreeSet<Vec<usize>>, places: &[usize]| -> Option<Fitting> {
        known.insert(places.to_vec());
        bench.fitted(places).ok()?;
        listener.begin("a choice of parts", points, one_map);
        let moved = bench.moved(&found.after, places);
        listener.end(moved.as_ref().map(|f| loss(&f.points)));
        match &moved {
            Some(_) => found.runs += points,
            None => found.interrupted = true,
        }
        moved
    };

    let mut first_reach = REACH;
    while found.rounds < MOST_ROUNDS {
        let count = (0..bench.stocks.len()).flat_map(|p| [(p, true), (p, false)]);
        let count = count.filter(|(p, up)| neighbour(bench.stocks, &found.after.places, *p, *up).is_some()).count();
        listener.begin("one size of each part both ways", count * points, count as f64 * one_map);
        let sides = bench.sides(&found.after);
        listener.end(None);
        let Some(sides) = sides else {
            found.interrupted = true;
            return Some(found);
        };
        found.rounds += 1;
        found.runs += sides.iter().flatten().flatten().map(Vec::len).sum::<usize>();
        let model = Model::of(bench.stocks, &found.after, &sides);
        let own = value(&found.after);

        let chooser = Chooser::new(&model, wanted, &fitted);
        let mut better: Option<Fitting> = None;
        let mut reach = first_reach;
        let mut polished = 0;
        while reach > 0 {
            let Some(places) = chooser.best(reach, &known) else {
                reach /= 2;
                continue;
            };
            let Some(moved) = try_out(&mut found, &mut known, &places) else {
                if found.interrupted {
                    break;
                }
                // what does not go together says nothing about the reach
                continue;
            };
            // what the run gained of what the model promised
            let kept = (own - value(&moved)) / (own - chooser.price(&places));
            let best = better.as_ref().map_or(own, &value);
            let improved = value(&moved) < best;
            if improved {
                better = Some(moved);
            }
            if kept >= KEPT {
                first_reach = (2 * reach).min(REACH);
                break;
            }
            // beyond the model's bounds: nearer by, and there as often as costs little beside a new model
            if reach > 1 {
                if better.is_some() && !improved {
                    break;
                }
                reach /= 2;
                first_reach = reach.max(2);
                continue;
            }
            polished += 1;
            if better.is_some() || polished >= POLISHES {
                break;
            }
        }
        if better.is_none() && !found.interrupted {
            // the sides were run: the best of them, if it is better
            let cheapest = sides_by_price(bench, &found.after, &sides, wanted, &fitted);
            if let Some(places) = cheapest.filter(|(p, places)| *p < own && !known.contains(places)).map(|c| c.1) {
                better = try_out(&mut found, &mut known, &places).filter(|moved| value(moved) < own);
            }
        }
        found.around = Some((model, sides));
        match better {
            Some(moved) => {
                found.after = moved;
                found.around = None;
            }
            None => {
                found.settled = !found.interrupted;
                return Some(found);
            }
        }
    }
    Some(found)
}

/// The cheapest of the sides that were run, with its places.
fn sides_by_price(
    bench: &Bench<'_>,
    from: &Fitting,
    sides: &[[Side; 2]],
    wanted: &[Wanted],
    fitted: &[usize],
) -> Option<(f64, Vec<usize>)> {
    let mut best: Option<(f64, Vec<usize>)> = None;
    for (part, pair) in sides.iter().enumerate() {
        for (side, richer) in pair.iter().zip([true, false]) {
            let Some(points) = side else { continue };
            let Some(places) = neighbour(bench.stocks, &from.places, part, richer) else { continue };
            let price = price(mean_loss(points.iter().map(Mixture::of), wanted), &places, fitted);
            if best.as_ref().is_none_or(|b| price < b.0) {
                best = Some((price, places));
            }
        }
    }
    best
}
