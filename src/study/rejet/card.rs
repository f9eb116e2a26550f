//! Main jet, pilot jet and clip over height and temperature, so that the mixture stays what it is in the set-up's own
//! air.
//!
//! The machine is run with the parts left as they are at three heights by three temperatures. At each point of the grid
//! `ln lambda` is carried between these by a parabola in height and one in temperature, less its value at the set-up's
//! own air, where the change is therefore none. At each air the sizes are those that bring the changes nearest to zero
//! by the model of the search ([`super::model`]); two corners are then run with them.

use serde::{Deserialize, Serialize};

use super::super::map::Grid;
use super::super::point::PointResult;
use super::model::Model;
use super::runs::{Bench, Fitting};
use super::search::Listener;
use crate::hardware::machine::Machine;
use crate::hardware::part::Part;
use crate::hardware::part_size::fitted_with;
use crate::hardware::stock::Stock;
use crate::media::atmosphere::{FreeAir, standard_pressure};
use crate::numeric::root;
use crate::study::sweep::cost;

/// Heights of the card [m].
pub const ALTITUDES: [f64; 7] = [0.0, 500.0, 1000.0, 1500.0, 2000.0, 2500.0, 3000.0];
/// Temperatures of the card [degrees Celsius].
pub const TEMPERATURES: [f64; 6] = [-10.0, 0.0, 10.0, 20.0, 30.0, 40.0];
/// Places of the heights that are run.
const RUN_ALTITUDES: [usize; 3] = [0, 3, 6];
/// Places of the temperatures that are run.
const RUN_TEMPERATURES: [usize; 3] = [0, 3, 5];
/// What a part has to take of the root mean square of `ln lambda` to be changed [-]: one per cent of AFR is hardly felt.
const WORTH: f64 = 0.01;
/// Share of its largest mean effect from which the main jet governs a throttle [-].
const GOVERNS: f64 = 0.8;
/// Parts of the card.
const PARTS: [Part; 3] = [Part::MainJet, Part::PilotJet, Part::Clip];

/// The card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Card {
    /// Height of the standard atmosphere that has the set-up's own pressure [m].
    pub home_altitude_m: f64,
    /// The set-up's own temperature [K].
    pub home_temperature_k: f64,
    /// Dry density of its air [kg/m3].
    pub home_density: f64,
    /// The parts, main jet first, with what is fitted at home.
    pub parts: Vec<CardPart>,
    /// For each height of [`ALTITUDES`], each temperature of [`TEMPERATURES`].
    pub cells: Vec<CardCell>,
    /// AFR goes as dry density to this power over height where the main jet governs, parts left as they are [-].
    pub afr_exponent: Option<f64>,
    /// The main jet's bore has to go as dry density to this power over height [-].
    pub bore_exponent: Option<f64>,
    /// Change of `ln AFR` by one per cent of main jet bore over that of a jet alone [-].
    pub main_jet_say: Option<f64>,
    /// Corners that were run with the parts of the card.
    pub confirmed: Vec<Confirmed>,
}

/// A part of the card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CardPart {
    /// The part.
    pub part: Part,
    /// Label at home.
    pub home: String,
}

/// One air of the card.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct CardCell {
    /// Height [m].
    pub altitude_m: f64,
    /// Temperature [K].
    pub temperature_k: f64,
    /// Dry density over the home's [-].
    pub sigma: f64,
    /// Label of each part.
    pub labels: Vec<String>,
    /// Main jet that is exactly right where it governs, the others left as they are [m of bore].
    pub main_jet_exact: Option<f64>,
    /// Main jet by the density law `d sigma^0.25` [m of bore].
    pub main_jet_by_rule: f64,
    /// Both as numbers of the flow family [cc/min], for a jet that is given by its flow.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub main_jet_flows: Option<(Option<f64>, f64)>,
    /// Mean of `ln lambda` against home with the parts left as they are [-].
    pub drift: f64,
    /// Root mean square of `ln lambda` against home with the parts of the card, by the model [-].
    pub left: f64,
    #[serde(skip)]
    places: Vec<usize>,
}

/// A corner of the card that was run.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Confirmed {
    /// Height [m].
    pub altitude_m: f64,
    /// Temperature [K].
    pub temperature_k: f64,
    /// Root mean square of `ln lambda` against home by the model [-].
    pub by_model: f64,
    /// The same as run.
    pub run: f64,
    /// With the home's parts, as run.
    pub untouched: f64,
}

/// What a card is made from: the search's end and the machines of each air, as fitted in the set-up.
pub struct Asked<'a> {
    /// How the search was run.
    pub bench: &'a Bench<'a>,
    /// The best parts.
    pub home: &'a Fitting,
    /// The model around them.
    pub model: &'a Model,
    /// For each height, each temperature.
    pub airs: &'a [Machine],
}

impl Card {
    /// The card with the main jet's exact bores as numbers of the flow family too: `number` gives that of a bore [m].
    #[must_use]
    pub fn with_flow_numbers(mut self, number: &dyn Fn(f64) -> Option<f64>) -> Self {
        for cell in &mut self.cells {
            let exact = cell.main_jet_exact.and_then(number);
            cell.main_jet_flows = number(cell.main_jet_by_rule).map(|by_rule| (exact, by_rule));
        }
        self
    }
}

/// Height [m] at which the standard atmosphere has `pressure` [Pa].
#[must_use]
pub fn height_of(pressure: f64) -> f64 {
    root::find(|h| standard_pressure(h) - pressure, -2000.0, 11_000.0, 1e-6).map_or(0.0, |r| r.x)
}

/// Makes the card; none if it was stopped, or the main jet is not free.
#[must_use]
pub fn card(asked: &Asked<'_>, listener: &dyn Listener) -> Option<Card> {
    let (bench, model) = (asked.bench, asked.model);
    let stocks = bench.stocks;
    let places: Vec<usize> = PARTS.iter().filter_map(|p| stocks.iter().position(|s| s.part == *p)).collect();
    let main = *places.first().filter(|p| stocks[**p].part == Part::MainJet)?;
    let grid = bench.grid;
    let nodes: Vec<usize> =
        RUN_ALTITUDES.iter().flat_map(|a| RUN_TEMPERATURES.iter().map(move |t| a * TEMPERATURES.len() + t)).collect();
    let one_map = grid.throttles.len() as f64 * grid.speeds.iter().map(|r| cost(*r)).sum::<f64>();
    let sizes = |at: &[usize]| -> Vec<(Part, f64)> {
        stocks.iter().zip(at).map(|(s, p)| (s.part, s.sizes[*p].value)).collect()
    };
    let fitted = |air: usize, at: &[usize]| fitted_with(&asked.airs[air], &sizes(at)).ok();
    let run = |air: usize, at: &[usize]| -> Option<Vec<PointResult>> {
        let machine = fitted(air, at)?;
        let own = Bench { machine: &machine, stocks: &[], ..*bench };
        own.first().map(|f| f.points)
    };
    listener.begin("the parts chosen in nine airs", nodes.len() * bench.points(), nodes.len() as f64 * one_map);
    let runs: Option<Vec<Vec<PointResult>>> = nodes.iter().map(|air| run(*air, &asked.home.places)).collect();
    listener.end(None);
    let runs = runs?;

    // points that are good everywhere
    let good = |p: &PointResult| p.converged && p.fired && p.lambda.is_some_and(|l| l.is_finite() && l > 0.0);
    let counts: Vec<bool> =
        (0..bench.points()).map(|i| good(&asked.home.points[i]) && runs.iter().all(|r| good(&r[i]))).collect();
    let log = |p: &PointResult| p.lambda.map_or(0.0, libm::log);
    let at = |i: usize, altitude: f64, celsius: f64| -> f64 {
        let heights = RUN_ALTITUDES.map(|a| ALTITUDES[a]);
        let warmths = RUN_TEMPERATURES.map(|t| TEMPERATURES[t]);
        let (a, t) = (weights(heights, altitude), weights(warmths, celsius));
        let node = |k: usize| a[k / 3] * t[k % 3] * log(&runs[k][i]);
        (0..nodes.len()).map(node).sum()
    };
    let air = &bench.machine.air;
    let home_altitude = height_of(air.pressure);
    let home = (home_altitude, air.temperature - 273.15);
    let drift = |altitude: f64, celsius: f64| -> Vec<f64> {
        let one = |i: usize| if counts[i] { at(i, altitude, celsius) - at(i, home.0, home.1) } else { 0.0 };
        (0..counts.len()).map(one).collect()
    };

    let governed = governed(grid, model, main, &counts);
    let bore = stocks[main].sizes[asked.home.places[main]].value;
    let exact = |drift: &[f64]| exact_step(model, main, &governed, drift).map(|x| bore + x * Part::MainJet.size_step());
    let density = air.dry_density();
    let mut cells = Vec::with_capacity(asked.airs.len());
    for (k, machine) in asked.airs.iter().enumerate() {
        let (altitude, celsius) = (ALTITUDES[k / TEMPERATURES.len()], TEMPERATURES[k % TEMPERATURES.len()]);
        let drift = drift(altitude, celsius);
        let (at, left) = choose(model, &places, &asked.home.places, &drift, &counts);
        let sigma = machine.air.dry_density() / density;
        let counted = counts.iter().filter(|c| **c).count().max(1) as f64;
        cells.push(CardCell {
            altitude_m: altitude,
            temperature_k: machine.air.temperature,
            sigma,
            labels: places.iter().map(|p| stocks[*p].sizes[at[*p]].label.clone()).collect(),
            main_jet_exact: exact(&drift),
            main_jet_by_rule: bore * sigma.sqrt().sqrt(),
            main_jet_flows: None,
            drift: drift.iter().sum::<f64>() / counted,
            left,
            places: at,
        });
    }

    let corners =
        [TEMPERATURES.len() - 1, 0].map(|t| (if t == 0 { 0 } else { ALTITUDES.len() - 1 }) * TEMPERATURES.len() + t);
    listener.begin("two corners with the parts of the card", 2 * bench.points(), 2.0 * one_map);
    let rms = |points: &[PointResult]| -> f64 {
        let (mut sum, mut n) = (0.0, 0.0_f64);
        for (i, p) in points.iter().enumerate().filter(|(i, p)| counts[*i] && good(p)) {
            let off = log(p) - log(&asked.home.points[i]);
            (sum, n) = (sum + off * off, n + 1.0);
        }
        (sum / n.max(1.0)).sqrt()
    };
    let confirm = |k: &usize| -> Option<Confirmed> {
        let cell = &cells[*k];
        let node = nodes.iter().position(|n| n == k)?;
        Some(Confirmed {
            altitude_m: cell.altitude_m,
            temperature_k: cell.temperature_k,
            by_model: cell.left,
            run: rms(&run(*k, &cell.places)?),
            untouched: rms(&runs[node]),
        })
    };
    let confirmed: Option<Vec<Confirmed>> = corners.iter().map(confirm).collect();
    listener.end(None);
    let (afr_exponent, bore_exponent) = exponents(asked, &governed, bore, density, &drift, &exact);
    Some(Card {
        home_altitude_m: home_altitude,
        home_temperature_k: air.temperature,
        home_density: density,
        parts: places.iter().map(|p| card_part(&stocks[*p], asked.home.places[*p])).collect(),
        cells,
        afr_exponent,
        bore_exponent,
        main_jet_say: say(model, main, &governed, bore),
        confirmed: confirmed?,
    })
}

fn card_part(stock: &Stock, place: usize) -> CardPart {
    CardPart { part: stock.part, home: stock.sizes[place].label.clone() }
}

/// Weights of the values at three places for the parabola through them, at `x`.
fn weights(at: [f64; 3], x: f64) -> [f64; 3] {
    let one = |i: usize| {
        let (j, k) = ((i + 1) % 3, (i + 2) % 3);
        (x - at[j]) * (x - at[k]) / ((at[i] - at[j]) * (at[i] - at[k]))
    };
    [one(0), one(1), one(2)]
}

/// Points that count where the main jet has nearly its largest mean say: it is chosen by them.
fn governed(grid: &Grid, model: &Model, main: usize, counts: &[bool]) -> Vec<usize> {
    let width = grid.speeds.len().max(1);
    let answers = &model.answers[main];
    let mean = |row: usize| answers[row * width..(row + 1) * width].iter().map(|a| a.slope.abs()).sum::<f64>();
    let means: Vec<f64> = (0..grid.throttles.len()).map(mean).collect();
    let most = means.iter().copied().fold(0.0, f64::max);
    (0..counts.len()).filter(|i| counts[*i] && means[i / width] >= GOVERNS * most).collect()
}

/// Steps of the main jet that bring the drift of the points it governs nearest to zero: Newton's method on the sum of
/// squares of `drift + a x + b x^2`.
fn exact_step(model: &Model, main: usize, governed: &[usize], drift: &[f64]) -> Option<f64> {
    let mut x = 0.0;
    for _ in 0..20 {
        let (mut top, mut bottom) = (0.0, 0.0);
        for i in governed {
            let answer = model.answers[main][*i];
            let slope = answer.slope_at(x);
            top += (drift[*i] + answer.at(x)) * slope;
            bottom += slope * slope;
        }
        if bottom <= 0.0 {
            return None;
        }
        let step = top / bottom;
        x -= step;
        if step.abs() < 1e-9 {
            break;
        }
    }
    x.is_finite().then_some(x)
}

/// The sizes of the parts at `free` that bring `drift` nearest to zero, and the root mean square that is left.
fn choose(model: &Model, free: &[usize], home: &[usize], drift: &[f64], counts: &[bool]) -> (Vec<usize>, f64) {
    let counted = counts.iter().filter(|c| **c).count().max(1) as f64;
    let left = |at: &[usize]| -> f64 {
        let off =
            |i: usize| drift[i] + free.iter().map(|p| model.answers[*p][i].at(model.steps[*p][at[*p]])).sum::<f64>();
        (0..drift.len()).filter(|i| counts[*i]).map(|i| off(i) * off(i)).sum::<f64>() / counted
    };
    let price = |at: &[usize]| {
        let changed = at.iter().zip(home).filter(|(a, b)| a != b).count() as f64;
        left(at) + changed * WORTH * WORTH
    };
    let mut best = home.to_vec();
    let mut least = price(&best);
    let mut at = home.to_vec();
    for part in free {
        at[*part] = 0;
    }
    loop {
        let own = price(&at);
        if own < least {
            (least, best) = (own, at.clone());
        }
        let Some(part) = free.iter().rev().find(|p| at[**p] + 1 < model.steps[**p].len()).copied() else { break };
        at[part] += 1;
        for later in free.iter().skip_while(|p| **p != part).skip(1) {
            at[*later] = 0;
        }
    }
    let left = left(&best).sqrt();
    (best, left)
}

/// Powers of dry density over the heights of the card at the home's temperature: of AFR with the parts left as they are,
/// and of the main jet's bore; each a least-squares line through home.
fn exponents(
    asked: &Asked<'_>,
    governed: &[usize],
    bore: f64,
    density: f64,
    drift: &dyn Fn(f64, f64) -> Vec<f64>,
    exact: &dyn Fn(&[f64]) -> Option<f64>,
) -> (Option<f64>, Option<f64>) {
    let air = asked.bench.machine.air;
    let (mut afr, mut jet, mut all) = (0.0, 0.0, 0.0);
    for altitude in ALTITUDES {
        let pressure = standard_pressure(altitude);
        let sigma = libm::log(FreeAir { pressure, ..air }.dry_density() / density);
        let drift = drift(altitude, air.temperature - 273.15);
        let mean = governed.iter().map(|i| drift[*i]).sum::<f64>() / governed.len() as f64;
        let Some(exact) = exact(&drift).filter(|b| *b > 0.0) else { return (None, None) };
        afr += sigma * mean;
        jet += sigma * libm::log(exact / bore);
        all += sigma * sigma;
    }
    let finite = |x: f64| x.is_finite().then_some(x);
    (finite(afr / all), finite(jet / all))
}

/// The main jet's say where it governs: its effect on `ln lambda` over that of a jet alone, whose flow goes as the square
/// of its bore.
fn say(model: &Model, main: usize, governed: &[usize], bore: f64) -> Option<f64> {
    let mean = governed.iter().map(|i| model.answers[main][*i].slope).sum::<f64>() / governed.len() as f64;
    let say = -mean * bore / (2.0 * Part::MainJet.size_step());
    say.is_finite().then_some(say)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_parabola_is_carried_exactly() {
        let at = [-10.0, 20.0, 40.0];
        let f = |x: f64| 3.0 - 0.2 * x + 0.01 * x * x;
        for x in [-10.0, 0.0, 21.0, 45.0] {
            let sum: f64 = weights(at, x).iter().zip(at).map(|(w, a)| w * f(a)).sum();
            assert!((sum - f(x)).abs() < 1e-9, "{x}");
        }
    }
}
