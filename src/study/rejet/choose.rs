//! The best combination of sizes on the model.

use std::collections::BTreeSet;

use super::misfit::{Wanted, mean_loss};
use super::model::Model;

/// Most combinations that are tried one by one; of more, up to three parts are moved at a time.
const MOST: usize = 40_000;
/// Part of the loss that a part has to win to be changed from what is fitted [-].
const WORTH: f64 = 0.01;
/// Loss that each size of it has to win at least [lambda squared]: 0.001 of lambda everywhere.
const WORTH_LEAST: f64 = 1e-6;
/// Most moves when not all combinations are tried.
const MOVES: usize = 60;
/// Sizes that each of three parts is moved at most.
const NEAR: usize = 2;

/// Mean loss with what it costs to change parts, and to go far: so that no part is changed for next to nothing, and one
/// that says next to nothing does not wander.
#[must_use]
pub fn price(mean_loss: f64, places: &[usize], fitted: &[usize]) -> f64 {
    let changed = places.iter().zip(fitted).filter(|(a, b)| a != b).count() as f64;
    let sizes = places.iter().zip(fitted).map(|(a, b)| a.abs_diff(*b)).sum::<usize>() as f64;
    mean_loss * (1.0 + WORTH * changed) + WORTH_LEAST * sizes
}

/// Looks for combinations around the parts of a model.
pub struct Chooser<'a> {
    /// The model.
    pub model: &'a Model,
    /// Wanted mixture.
    pub wanted: &'a [Wanted],
    /// Places of what is fitted.
    pub fitted: &'a [usize],
    /// Change of `ln lambda` by each size of each part at each point.
    changes: Vec<Vec<Vec<f64>>>,
}

impl<'a> Chooser<'a> {
    /// On `model`, with the places of what is `fitted`.
    #[must_use]
    pub fn new(model: &'a Model, wanted: &'a [Wanted], fitted: &'a [usize]) -> Self {
        let of_size = |part: usize, x: f64| model.answers[part].iter().map(|a| a.at(x)).collect();
        let of_part = |(part, xs): (usize, &Vec<f64>)| xs.iter().map(|x| of_size(part, *x)).collect();
        let changes = model.steps.iter().enumerate().map(of_part).collect();
        Self { model, wanted, fitted, changes }
    }

    /// Price of `places` on the model.
    #[must_use]
    pub fn price(&self, places: &[usize]) -> f64 {
        let change = |i: usize| -> f64 { places.iter().zip(&self.changes).map(|(p, c)| c[*p][i]).sum() };
        let count = self.model.base.len();
        price(mean_loss((0..count).map(|i| self.model.shifted(i, change(i))), self.wanted), places, self.fitted)
    }

    /// The cheapest combination with each part at most `reach` places from the model's, those of `known` left out; none
    /// if the model's own is cheaper than all.
    #[must_use]
    pub fn best(&self, reach: usize, known: &BTreeSet<Vec<usize>>) -> Option<Vec<usize>> {
        let window = |(at, xs): (&usize, &Vec<f64>)| (at.saturating_sub(reach), (at + reach).min(xs.len() - 1));
        let windows: Vec<(usize, usize)> = self.model.places.iter().zip(&self.model.steps).map(window).collect();
        let count = windows.iter().fold(1_usize, |n, w| n.saturating_mul(w.1 - w.0 + 1));
        let own = self.price(&self.model.places);
        if count <= MOST { self.all(&windows, own, known) } else { self.descend(&windows, own, known) }
    }

    fn all(&self, windows: &[(usize, usize)], own: f64, known: &BTreeSet<Vec<usize>>) -> Option<Vec<usize>> {
        let (mut best, mut found) = (own, None);
        let mut places: Vec<usize> = windows.iter().map(|w| w.0).collect();
        loop {
            let price = self.price(&places);
            if price < best && !known.contains(&places) {
                (best, found) = (price, Some(places.clone()));
            }
            // the next combination, the last part turning fastest
            let mut part = places.len();
            loop {
                if part == 0 {
                    return found;
                }
                part -= 1;
                if places[part] < windows[part].1 {
                    places[part] += 1;
                    break;
                }
                places[part] = windows[part].0;
            }
        }
    }

    /// Makes the best move of one or two parts, again and again; where there is none that is cheaper, the best of three
    /// parts by one or two sizes each. The best and not the first, so that what says most is moved first.
    fn descend(&self, windows: &[(usize, usize)], own: f64, known: &BTreeSet<Vec<usize>>) -> Option<Vec<usize>> {
        let (mut here, mut best) = (self.model.places.clone(), own);
        for _ in 0..MOVES {
            let two = self.move_two(windows, &here, best, known);
            let Some(next) = two.or_else(|| self.move_three(windows, &here, best, known)) else { break };
            (here, best) = next;
        }
        (here != self.model.places).then_some(here)
    }

    /// The cheapest move of one or two parts to anywhere in their windows, if it is below `best`.
    fn move_two(
        &self,
        windows: &[(usize, usize)],
        here: &[usize],
        best: f64,
        known: &BTreeSet<Vec<usize>>,
    ) -> Option<(Vec<usize>, f64)> {
        let mut found = Cheapest { best, known, places: None };
        let mut places = here.to_vec();
        for a in 0..here.len() {
            for b in a + 1..here.len() {
                for at_a in windows[a].0..=windows[a].1 {
                    for at_b in windows[b].0..=windows[b].1 {
                        (places[a], places[b]) = (at_a, at_b);
                        found.see(self.price(&places), &places);
                    }
                }
                places.copy_from_slice(here);
            }
        }
        found.places.map(|p| (p, found.best))
    }

    /// The cheapest move of three parts by [`NEAR`] sizes at most each, if it is below `best`.
    fn move_three(
        &self,
        windows: &[(usize, usize)],
        here: &[usize],
        best: f64,
        known: &BTreeSet<Vec<usize>>,
    ) -> Option<(Vec<usize>, f64)> {
        let near = |part: usize| {
            let (low, high): (usize, usize) = windows[part];
            low.max(here[part].saturating_sub(NEAR))..=high.min(here[part] + NEAR)
        };
        let mut found = Cheapest { best, known, places: None };
        let mut places = here.to_vec();
        for a in 0..here.len() {
            for b in a + 1..here.len() {
                for c in b + 1..here.len() {
                    for at_a in near(a) {
                        for at_b in near(b) {
                            for at_c in near(c) {
                                (places[a], places[b], places[c]) = (at_a, at_b, at_c);
                                found.see(self.price(&places), &places);
                            }
                        }
                    }
                    places.copy_from_slice(here);
                }
            }
        }
        found.places.map(|p| (p, found.best))
    }
}

/// The cheapest combination seen that is not known.
struct Cheapest<'a> {
    best: f64,
    known: &'a BTreeSet<Vec<usize>>,
    places: Option<Vec<usize>>,
}

impl Cheapest<'_> {
    fn see(&mut self, price: f64, places: &[usize]) {
        if price < self.best && !self.known.contains(places) {
            (self.best, self.places) = (price, Some(places.to_vec()));
        }
    }
}
