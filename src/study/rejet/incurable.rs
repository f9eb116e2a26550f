//! What no choice of jets can cure, and why.

use super::super::map::Grid;
use super::super::point::PointResult;
use super::misfit::{LOAD_FROM, Mixture, Wanted, has_band, loss, no_leaner};
use super::model::Model;
use super::result::Cause;
use crate::hardware::machine::Machine;
use crate::media::atmosphere::G0;

/// Largest change of `ln fuel` that a free factor may make [-].
const MOST_CHANGE: f64 = 0.5;
/// Places tried over that range before the best is refined.
const TRIED: i32 = 100;
/// Halvings of the bracket around the best.
const HALVINGS: usize = 20;
/// Passes over the parts when their sizes are free.
const PASSES: usize = 30;
/// Misfit of a range worth a word [lambda]: a quarter of an AFR on petrol is 0.017.
const WORTH: f64 = 0.015;
/// Share of the depression at the nozzle that lifting the fuel takes from which the signal is weak [-]: there the lift
/// takes `1 - sqrt(1 - 0.1)`, 5 %, of the fuel, more than half of a usual band's width.
const WEAK: f64 = 0.1;

/// The `x` between the ends with the least `f`: the best of an even row, then a narrowing bracket around it.
fn least(low: f64, high: f64, f: &dyn Fn(f64) -> f64) -> (f64, f64) {
    let step = (high - low) / f64::from(TRIED);
    let mut best = (low, f(low));
    for k in 1..=TRIED {
        let x = low + f64::from(k) * step;
        let y = f(x);
        if y < best.1 {
            best = (x, y);
        }
    }
    let mut reach = 0.5 * step;
    for _ in 0..HALVINGS {
        for x in [(best.0 - reach).max(low), (best.0 + reach).min(high)] {
            let y = f(x);
            if y < best.1 {
                best = (x, y);
            }
        }
        reach *= 0.5;
    }
    best
}

/// Loss of each point of `points` when the fuel at each throttle is scaled by the one factor, for all speeds, that is
/// best there: what any needle and any jets leave, since they act at all speeds alike.
#[must_use]
pub fn with_any_needle(grid: &Grid, points: &[PointResult], wanted: &[Wanted]) -> Vec<Option<f64>> {
    let width = grid.speeds.len().max(1);
    let mut losses = Vec::with_capacity(points.len());
    for (row, bands) in points.chunks(width).zip(wanted.chunks(width)) {
        let at = |i: usize, change: f64| -> Option<f64> {
            let base = Mixture::of(&row[i]);
            let moved = Mixture { lambda: base.lambda.map(|l| l * libm::exp(change)), ..base };
            Some(loss(moved, bands[i]?))
        };
        let sum = |change: f64| (0..row.len()).filter_map(|i| at(i, change)).sum::<f64>();
        let (change, _) = least(-MOST_CHANGE, MOST_CHANGE, &sum);
        losses.extend((0..row.len()).map(|i| at(i, change).filter(|_| has_band(&bands[i]))));
    }
    losses
}

/// Mean of the losses there are, as a misfit [lambda].
#[must_use]
pub fn misfit_of(losses: &[Option<f64>]) -> f64 {
    let (sum, count) = losses.iter().flatten().fold((0.0, 0.0_f64), |(s, n), l| (s + l, n + 1.0));
    (sum / count.max(1.0)).sqrt()
}

/// Misfit by the model with each part at any size between the ends of its stock, one part after the other [lambda].
#[must_use]
pub fn with_any_size(model: &Model, wanted: &[Wanted]) -> f64 {
    let ends = |xs: &Vec<f64>| xs.iter().fold((0.0_f64, 0.0_f64), |(lo, hi), x| (lo.min(*x), hi.max(*x)));
    let ends: Vec<(f64, f64)> = model.steps.iter().map(ends).collect();
    let mut x = vec![0.0; ends.len()];
    let mut best = model.loss_at(&x, wanted);
    for _ in 0..PASSES {
        let before = best;
        for part in 0..x.len() {
            let at = |v: f64| {
                let mut moved = x.clone();
                moved[part] = v;
                model.loss_at(&moved, wanted)
            };
            let (value, found) = least(ends[part].0, ends[part].1, &at);
            if found < best {
                (x[part], best) = (value, found);
            }
        }
        if before - best <= 1e-6 * before {
            break;
        }
    }
    best.sqrt()
}

/// Whether lifting the fuel to the nozzle takes more than [`WEAK`] of its depression.
fn weak(machine: &Machine, point: &PointResult) -> bool {
    let c = &machine.carburettor;
    let lift = c.bowl.level_below_bore + c.main.nozzle.protrusion;
    point.nozzle_depression_pa.is_some_and(|d| machine.fuel.density * G0 * lift > WEAK * d.abs())
}

/// `wanted` without the bands that no jet can meet: under load, lean or without fire for lack of fuel, with a weak
/// signal, while at least half of the points of that throttle have a good one.
///
/// Jets act at all speeds of a throttle alike, so the richness that such a point lacks would be given to all of them. Nor
/// is it to be made worse lightly: what it gets leaner than it is counts.
#[must_use]
pub fn curable(machine: &Machine, grid: &Grid, points: &[PointResult], wanted: &[Wanted]) -> Vec<Wanted> {
    let width = grid.speeds.len().max(1);
    let mut counted = wanted.to_vec();
    for (row, bands) in points.chunks(width).zip(counted.chunks_mut(width)) {
        let lean = |p: &PointResult, band: &Wanted| {
            p.throttle >= LOAD_FROM - 1e-9 && band.is_some_and(|b| p.lambda.is_none_or(|l| l > b.1))
        };
        let out: Vec<bool> = row.iter().zip(&*bands).map(|(p, band)| lean(p, band) && weak(machine, p)).collect();
        if 2 * out.iter().filter(|o| **o).count() <= row.len() {
            for ((band, point), _) in bands.iter_mut().zip(row).zip(out).filter(|(_, out)| *out) {
                *band = Mixture::of(point).lambda.and_then(no_leaner);
            }
        }
    }
    counted
}

/// Why the points at `places` keep the misfit `left`; `any_needle` is what a free factor at each throttle leaves of it,
/// `any_size` whether sizes between those in stock would take a fifth of it.
#[must_use]
pub fn cause(
    machine: &Machine,
    points: &[&PointResult],
    wanted: &[Wanted],
    (left, any_needle): (f64, f64),
    any_size: bool,
) -> Option<Cause> {
    if left < WORTH {
        return None;
    }
    let lost = |(p, w): (&&PointResult, &Wanted)| w.map_or(0.0, |w| loss(Mixture::of(p), w));
    let losses: Vec<f64> = points.iter().zip(wanted).map(lost).collect();
    let all: f64 = losses.iter().sum();
    let unfired = || points.iter().zip(&losses).filter(|(p, _)| !p.fired);
    if unfired().map(|(_, l)| l).sum::<f64>() > 0.5 * all {
        let rpm = unfired().map(|(p, _)| p.rpm).fold(f64::INFINITY, f64::min);
        return Some(Cause::Unfired { points: unfired().count(), rpm });
    }
    let worst = (0..points.len()).max_by(|a, b| losses[*a].total_cmp(&losses[*b]))?;
    let (point, band) = (points[worst], wanted[worst]?);
    if let (Some(depression), Some(lambda)) = (point.nozzle_depression_pa, Mixture::of(point).lambda)
        && lambda > band.1
        && weak(machine, point)
    {
        return Some(Cause::WeakSignal { rpm: point.rpm, throttle: point.throttle, depression });
    }
    if any_needle > 0.6 * left
        && let Some(cause) = speeds_apart(points)
    {
        return Some(cause);
    }
    Some(if any_size { Cause::Sizes } else { Cause::Shape })
}

/// The throttle at which lambda differs most over speed.
fn speeds_apart(points: &[&PointResult]) -> Option<Cause> {
    let mut most: Option<(f64, Cause)> = None;
    for throttle in points.iter().map(|p| p.throttle) {
        let row = points.iter().filter(|p| p.throttle.to_bits() == throttle.to_bits());
        let row: Vec<(f64, f64)> = row.filter_map(|p| Some((p.rpm, Mixture::of(p).lambda?))).collect();
        let lean = row.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
        let rich = row.iter().min_by(|a, b| a.1.total_cmp(&b.1))?;
        let apart = lean.1 - rich.1;
        if most.as_ref().is_none_or(|m| apart > m.0) {
            most = Some((apart, Cause::Speed { throttle, lean: *lean, rich: *rich }));
        }
    }
    most.map(|m| m.1)
}
