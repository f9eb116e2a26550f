//! What a search says to its reader: ranges before and after, what each size gives, which parts are alike.

use super::super::map::Grid;
use super::super::point::PointResult;
use super::incurable::{cause, misfit_of, with_any_needle, with_any_size};
use super::misfit::{Wanted, misfit};
use super::model::{Answer, Model};
use super::result::{Alike, At, Misfits, OneSize, PartChoice, RangeReport, RangeState};
use super::search::Found;
use crate::hardware::machine::Machine;
use crate::hardware::stock::Stock;
use crate::setup::targets::TargetBand;

/// A part governs the throttles where its mean effect is at least this share of its largest [-].
const GOVERNS: f64 = 0.5;
/// Effect of one step on `ln lambda` below which a part says next to nothing [-].
const NOTHING: f64 = 0.002;
/// Cosine from which two parts cannot be told apart [-]: what one does the other does but for a third of it.
const ALIKE: f64 = 0.95;

/// Misfits over the whole grid.
#[must_use]
pub fn misfits(grid: &Grid, found: &Found, wanted: &[Wanted]) -> Misfits {
    let after = misfit(&found.after.points, wanted);
    let any_size = found.around.as_ref().map(|(model, _)| with_any_size(model, wanted).min(after));
    let any_needle = misfit_of(&with_any_needle(grid, &found.after.points, wanted)).min(after);
    Misfits { before: misfit(&found.before.points, wanted), after, any_size, any_needle }
}

/// Before and after in each band that has points of the grid; `machine` has the parts chosen.
#[must_use]
pub fn ranges(
    machine: &Machine,
    grid: &Grid,
    (bands, wanted): (&[TargetBand], &[Wanted]),
    found: &Found,
    all: &Misfits,
) -> Vec<RangeReport> {
    let losses = with_any_needle(grid, &found.after.points, wanted);
    let any_size = all.any_size.is_some_and(|any| any < 0.8 * all.after);
    let mut taken = vec![false; found.after.points.len()];
    let mut ranges = Vec::new();
    for band in bands {
        let inside = |t: f64| t >= band.throttle_from - 1e-9 && t <= band.throttle_to + 1e-9;
        let places: Vec<usize> =
            (0..taken.len()).filter(|i| !taken[*i] && inside(found.after.points[*i].throttle)).collect();
        let (Some(first), Some(last)) = (places.first(), places.last()) else { continue };
        for place in &places {
            taken[*place] = true;
        }
        let throttles = (found.after.points[*first].throttle, found.after.points[*last].throttle);
        let here: Vec<Wanted> = places.iter().map(|i| wanted[*i]).collect();
        let of = |points: &[PointResult]| -> Vec<PointResult> { places.iter().map(|i| points[*i].clone()).collect() };
        let (before, after) = (of(&found.before.points), of(&found.after.points));
        let own: Vec<Option<f64>> = places.iter().map(|i| losses[*i]).collect();
        let after_state = state(&after, &here);
        let any_needle = misfit_of(&own).min(after_state.misfit);
        let refs: Vec<&PointResult> = after.iter().collect();
        let cause = cause(machine, &refs, &here, (after_state.misfit, any_needle), any_size);
        ranges.push(RangeReport {
            band: *band,
            throttles,
            before: state(&before, &here),
            after: after_state,
            any_needle,
            cause,
        });
    }
    ranges
}

fn state(points: &[PointResult], wanted: &[Wanted]) -> RangeState {
    let at = |p: &PointResult| {
        p.lambda.filter(|l| p.converged && l.is_finite()).map(|lambda| At { throttle: p.throttle, rpm: p.rpm, lambda })
    };
    let all = || points.iter().filter_map(at);
    RangeState {
        misfit: misfit(points, wanted),
        leanest: all().max_by(|a, b| a.lambda.total_cmp(&b.lambda)),
        richest: all().min_by(|a, b| a.lambda.total_cmp(&b.lambda)),
        unfired: points.iter().filter(|p| !p.fired).count(),
    }
}

/// Each free part with its choice and what one size each side gives.
#[must_use]
pub fn parts(grid: &Grid, stocks: &[Stock], found: &Found) -> Vec<PartChoice> {
    let one = |(i, stock): (usize, &Stock)| {
        let chosen = found.after.places[i];
        let around = found.around.as_ref();
        let governed = around.map(|(model, _)| governed(grid, &model.answers[i])).unwrap_or_default();
        let ends = governed.iter().copied().fold(None, |ends: Option<(f64, f64)>, t| {
            Some(ends.map_or((t, t), |(low, high)| (low.min(t), high.max(t))))
        });
        let side = |which: usize, place: Option<usize>| -> Option<OneSize> {
            let label = stock.sizes.get(place?)?.label.clone();
            let moved = around.and_then(|(_, sides)| sides[i][which].as_ref());
            Some(OneSize { label, afr: moved.and_then(|m| change(&found.after.points, m, &governed)) })
        };
        PartChoice {
            stock: stock.clone(),
            name: stock.part.name().to_owned(),
            chosen,
            governs: ends,
            leaner: side(1, chosen.checked_sub(1)),
            richer: side(0, Some(chosen + 1)),
        }
    };
    stocks.iter().enumerate().map(one).collect()
}

/// Throttles that a part governs.
fn governed(grid: &Grid, answers: &[Answer]) -> Vec<f64> {
    let mean = |row: &[Answer]| row.iter().map(|a| a.slope.abs()).sum::<f64>() / row.len().max(1) as f64;
    let means: Vec<f64> = answers.chunks(grid.speeds.len().max(1)).map(mean).collect();
    let most = means.iter().copied().fold(0.0, f64::max);
    let strong = |m: &f64| most >= NOTHING && *m >= GOVERNS * most;
    grid.throttles.iter().zip(&means).filter(|(_, m)| strong(m)).map(|(t, _)| *t).collect()
}

/// Mean change of AFR at the `throttles`.
fn change(base: &[PointResult], moved: &[PointResult], throttles: &[f64]) -> Option<f64> {
    let here = |p: &PointResult| throttles.iter().any(|t| t.to_bits() == p.throttle.to_bits());
    let changes: Vec<f64> = base
        .iter()
        .zip(moved)
        .filter(|(b, m)| here(b) && b.converged && m.converged)
        .filter_map(|(b, m)| Some(m.afr? - b.afr?))
        .collect();
    let mean = changes.iter().sum::<f64>() / changes.len() as f64;
    mean.is_finite().then_some(mean)
}

/// Pairs of parts whose effects have nearly the same shape.
#[must_use]
pub fn alike(stocks: &[Stock], model: &Model) -> Vec<Alike> {
    let slopes: Vec<Vec<f64>> = model.answers.iter().map(|a| a.iter().map(|a| a.slope).collect()).collect();
    let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
    let mut pairs = Vec::new();
    for i in 0..slopes.len() {
        for j in i + 1..slopes.len() {
            let (own, other, both) =
                (dot(&slopes[i], &slopes[i]), dot(&slopes[j], &slopes[j]), dot(&slopes[i], &slopes[j]));
            let cosine = both / (own * other).sqrt();
            if cosine.abs() >= ALIKE {
                pairs.push(Alike { one: stocks[i].part, other: stocks[j].part, cosine, steps: both / other });
            }
        }
    }
    pairs
}
