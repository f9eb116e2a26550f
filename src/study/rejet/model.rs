//! How `ln lambda` answers to the size of each free part at each point, near the parts of one run.
//!
//! In each part `x` steps away, richer positive, `ln lambda` changes by `(a + k) x + b x^2`, with `k` of each side, from
//! one size up and one down; parts add up. `b` is held so small that the answer keeps its sign over a dozen steps; what
//! it does not take of the bend is in the kinks `k`, so that the model is exact at the sizes that were run however
//! strongly a part bends (half a millimetre of cutaway at 1/16 of lift: -0.26 one way, +0.09 the other). At a point that
//! could not be run on one side the change is linear, on neither it is none.

use super::misfit::{Mixture, Wanted, mean_loss};
use super::runs::{Fitting, Side};
use crate::cylinder::burn::IGNITABLE;
use crate::hardware::stock::Stock;

/// Steps over which a part's answer keeps its sign.
const HOLDS: f64 = 12.0;

/// Answer of one point to one part.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Answer {
    /// Change of `ln lambda` per step.
    pub slope: f64,
    /// Change per step squared.
    pub curve: f64,
    /// What the slope has more on the richer side, and on the leaner.
    pub kinks: [f64; 2],
}

impl Answer {
    /// From changes on two sides, each with its place in steps.
    #[must_use]
    pub fn through(up: Option<(f64, f64)>, down: Option<(f64, f64)>) -> Self {
        match (up, down) {
            (Some((xu, yu)), Some((xd, yd))) => {
                let slope = (yu * xd * xd - yd * xu * xu) / (xu * xd * xd - xd * xu * xu);
                let curve = (yu - slope * xu) / (xu * xu);
                // the flatter side turns first
                let most = 0.5 * (yu / xu).abs().min((yd / xd).abs()) / HOLDS;
                let held = curve.clamp(-most, most);
                Self { slope, curve: held, kinks: [(curve - held) * xu, (curve - held) * xd] }
            }
            (Some((x, y)), None) | (None, Some((x, y))) => Self { slope: y / x, ..Self::default() },
            (None, None) => Self::default(),
        }
    }

    /// Change per step at `x` steps; in the middle the mean of both sides.
    #[must_use]
    pub fn slope_at(self, x: f64) -> f64 {
        let kink = match x {
            x if x > 0.0 => self.kinks[0],
            x if x < 0.0 => self.kinks[1],
            _ => 0.0,
        };
        self.slope + kink + 2.0 * self.curve * x
    }

    /// Change of `ln lambda` at `x` steps.
    #[must_use]
    pub fn at(self, x: f64) -> f64 {
        let kink = if x > 0.0 { self.kinks[0] } else { self.kinks[1] };
        (self.slope + kink) * x + self.curve * x * x
    }
}

/// The model around one fitting.
#[derive(Debug, Clone)]
pub struct Model {
    /// Places in the stocks that it is around.
    pub places: Vec<usize>,
    /// Mixture there.
    pub base: Vec<Mixture>,
    /// For each part, each of its sizes in steps from there, richer positive.
    pub steps: Vec<Vec<f64>>,
    /// For each part, its answer at each point.
    pub answers: Vec<Vec<Answer>>,
}

impl Model {
    /// From the parts of `from` and one size of each part both ways.
    #[must_use]
    pub fn of(stocks: &[Stock], from: &Fitting, sides: &[[Side; 2]]) -> Self {
        let steps: Vec<Vec<f64>> = stocks.iter().zip(&from.places).map(|(s, at)| in_steps(s, *at)).collect();
        let change = |side: &Side, i: usize| -> Option<f64> {
            let (base, moved) = (&from.points[i], side.as_ref()?.get(i)?);
            let good = base.converged && moved.converged;
            let (a, b) = (Mixture::of(base).lambda?, Mixture::of(moved).lambda?);
            good.then(|| libm::log(b / a))
        };
        let answers = sides.iter().enumerate().map(|(part, [up, down])| {
            let here = from.places[part];
            let x = |place: Option<usize>| place.and_then(|p| steps[part].get(p)).copied();
            let (xu, xd) = (x(Some(here + 1)), x(here.checked_sub(1)));
            let answer = |i: usize| Answer::through(xu.zip(change(up, i)), xd.zip(change(down, i)));
            (0..from.points.len()).map(answer).collect()
        });
        let answers = answers.collect();
        let base = from.points.iter().map(Mixture::of).collect();
        Self { places: from.places.clone(), base, steps, answers }
    }

    /// Mixture of point `i` after `ln lambda` has changed by `change`.
    #[must_use]
    pub fn shifted(&self, i: usize, change: f64) -> Mixture {
        let base = self.base[i];
        let lambda = base.lambda.map(|l| l * libm::exp(change));
        let burns = lambda.is_some_and(|l| l > IGNITABLE.0 && l < IGNITABLE.1);
        // a mixture that was not moved fires as it did
        let fired = if change.abs() > 0.0 { burns } else { base.fired };
        Mixture { lambda, fired, ..base }
    }

    /// Mean loss with each part at so many steps.
    #[must_use]
    pub fn loss_at(&self, x: &[f64], wanted: &[Wanted]) -> f64 {
        let change = |i: usize| self.answers.iter().zip(x).map(|(a, x)| a[i].at(*x)).sum::<f64>();
        mean_loss((0..self.base.len()).map(|i| self.shifted(i, change(i))), wanted)
    }
}

/// Each size of a stock in steps from the one at `here`, richer positive.
fn in_steps(stock: &Stock, here: usize) -> Vec<f64> {
    let step = stock.part.size_step();
    let way = match (stock.sizes.first(), stock.sizes.last()) {
        (Some(first), Some(last)) if first.value > last.value => -1.0,
        _ => 1.0,
    };
    stock.sizes.iter().map(|s| way * (s.value - stock.sizes[here].value) / step).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_is_met_and_a_side_alone_gives_a_line() {
        let y = |x: f64| -0.03 * x + 0.001 * x * x;
        let both = Answer::through(Some((1.0, y(1.0))), Some((-2.0, y(-2.0))));
        assert!((both.slope + 0.03).abs() < 1e-12 && (both.curve - 0.001).abs() < 1e-12);
        let one = Answer::through(None, Some((-2.0, 0.06)));
        assert!((one.slope + 0.03).abs() < 1e-12 && one.curve.abs() < 1e-15);
        assert_eq!(Answer::through(None, None), Answer::default());
    }

    #[test]
    fn a_strong_bend_is_met_at_the_sizes_that_were_run() {
        for (up, down) in [((1.0, -0.26), (-1.0, 0.09)), ((2.0, -0.001), (-1.0, 0.04)), ((1.0, -0.3), (-3.0, 0.2))] {
            let bent = Answer::through(Some(up), Some(down));
            assert!((bent.at(up.0) - up.1).abs() < 1e-12 && (bent.at(down.0) - down.1).abs() < 1e-12, "{bent:?}");
        }
    }

    #[test]
    fn the_answer_keeps_its_sign_over_the_steps_that_it_is_used_for() {
        let bent = Answer::through(Some((1.0, -0.001)), Some((-1.0, 0.04)));
        for x in 1..=12 {
            assert!(bent.at(f64::from(x)) < 1e-12 && bent.at(-f64::from(x)) > 0.0, "{x}");
        }
    }
}
