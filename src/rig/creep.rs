//! Slow states on their way to the periodic cycle: the temperature in a silencer, a vacuum piston's lift and the gas above it, the
//! fuel in a well, in a chamber, in a column that hardly anything sucks at; the accounts of energy of the ducts' cells ([`super::accounts`]).
//!
//! Such a state changes by a nearly constant factor from one cycle to the next, with a factor near one: tens of cycles for a factor e.
//! Between two cycles it is set where the geometric series of its last values points (Aitken). Where it ends up is not changed by
//! that, and no cycle's books see it.

use std::collections::VecDeque;

use super::accounts::Accounts;
use super::machine_state::Rig;
use super::record::CycleRecord;
use super::silencing::Silencing;
use crate::metering::column::Column;

/// Cycles between two guesses, so that what a guess stirs up has died down.
const SETTLING: usize = 4;
/// Most guesses of one state in a run: a series that six have not brought to its end is none, and they would only stir.
const MOST_GUESSES: u32 = 6;
/// Cycles after which the accounts of energy are set at most: what still changes by then swings, and would only be stirred.
const MOST_SETTLED: u32 = 10;
/// Cycles over which a drift is measured: a swing of two, three or six cycles cancels.
const SPAN: usize = 6;
/// Largest ratio of successive changes that a guess is built on [-].
const SLOWEST: f64 = 0.97;
/// Smallest guess worth its while, over the state: what is next to nothing would only stir up the rest [-].
const LEAST: f64 = 1e-3;
/// How much the end that the series points to may have moved in the last cycle, over the way to it [-]: where a creep ends stays where it
/// is, where a swing seems to end does not.
const MOVED: f64 = 0.5;
/// Largest guess, over the range of the state [-].
const BOLDEST: f64 = 0.25;

/// How far beyond the last of `values`, one a cycle since the last guess, the series ends: `d r/(1 - r)`, at most a quarter of `range`. None
/// while it is too short, turns, swings, or has as good as ended.
#[must_use]
pub(super) fn ahead(values: &[f64], range: f64) -> Option<f64> {
    if values.len() < SETTLING {
        return None;
    }
    let [a, b, c, d] = values.last_chunk::<4>()?;
    let before = ratio(b - a, c - b)?;
    let r = ratio(c - b, d - c)?;
    let left = |change: f64, r: f64| change * r / (1.0 - r);
    let moved = d - c + left(d - c, r) - left(c - b, before);
    if moved.abs() > MOVED * left(d - c, r).abs() {
        return None;
    }
    let most = BOLDEST * range;
    let further = left(d - c, r.min(SLOWEST));
    (further.abs() > LEAST * d.abs()).then(|| further.clamp(-most, most))
}

/// Ratio of two successive changes, or none of a series that grows or turns, which has no end to be seen: what is left of a swing, not a
/// creep.
fn ratio(first: f64, next: f64) -> Option<f64> {
    let r = next / first;
    (r > 0.0 && r < 1.0).then_some(r)
}

/// Slow states at the ends of the cycles since each was last helped.
#[derive(Debug, Default)]
pub(super) struct Creeping {
    lifts: Series,
    vapour_above: Series,
    heat_above: Series,
    surfaces: Series,
    held: Series,
    pilot: Series,
    voids: [Series; 2],
    silencer: Silencing,
    accounts: Accounts,
    settled: u32,
    /// Whether it has fired yet.
    fired: bool,
    /// Lift and surface of the last cycles, the newest last, help or none.
    recent: VecDeque<[f64; 2]>,
}

impl Creeping {
    /// Before the first cycle of `rig`.
    pub(super) fn before(rig: &Rig) -> Self {
        let mut creeping = Self::default();
        creeping.silencer.before(rig.exhaust_side.silencer.as_ref().map(|s| s.temperature), rig.trapped.is_some());
        creeping.accounts.note(rig);
        creeping
    }

    /// Change per cycle of the piston's mean lift or the well's surface over the last cycles, over the state [-]: a state that swings to
    /// and fro, as a piston does on its spring, does not drift. Infinite until there are enough cycles to tell, 0 without such states.
    pub(super) fn drift(&self) -> f64 {
        let (Some(first), Some(last)) = (self.recent.front(), self.recent.back()) else { return 0.0 };
        if self.recent.len() <= SPAN {
            return f64::INFINITY;
        }
        let over = |a: f64, b: f64| {
            let scale = a.abs().max(b.abs());
            if scale > 0.0 { (b - a).abs() / (SPAN as f64 * scale) } else { 0.0 }
        };
        over(first[0], last[0]).max(over(first[1], last[1]))
    }

    /// Notes a finished cycle of the `rig`.
    pub(super) fn note(&mut self, record: &CycleRecord, rig: &Rig) {
        self.pilot.values.push(rig.pilot.chamber.liquid);
        self.voids[0].values.push(rig.main.column.void);
        self.voids[1].values.push(rig.pilot.column.void);
        if record.piston_lift.is_some() || record.well_surface.is_some() {
            self.recent.push_back([record.piston_lift.unwrap_or(0.0), record.well_surface.unwrap_or(0.0)]);
            if self.recent.len() > SPAN + 1 {
                self.recent.pop_front();
            }
        }
        self.lifts.values.extend(record.piston_lift);
        if let Some((vapour, temperature)) = rig.above_piston() {
            self.vapour_above.values.push(vapour);
            self.heat_above.values.push(temperature);
        }
        if record.trapped.fired && !self.fired {
            // What was guessed before that was about another series.
            self.fired = true;
            for series in [&mut self.lifts, &mut self.vapour_above, &mut self.heat_above] {
                series.guesses = 0;
            }
        }
        self.surfaces.values.extend(record.well_surface);
        self.held.values.extend(record.in_holder);
    }

    /// Helps each state that is seen to creep, after the cycle of `record`.
    pub(super) fn help(&mut self, rig: &mut Rig, record: &CycleRecord) {
        self.vapour_above.guess(|shares| rig.help_vapour_above_piston(shares));
        self.heat_above.guess(|temperatures| rig.help_heat_above_piston(temperatures));
        let lifted = self.lifts.guess(|lifts| rig.help_piston(lifts));
        let sunk = self.surfaces.guess(|surfaces| rig.help_well(surfaces));
        if lifted || sunk {
            // A drift across a guess would be the guess's.
            self.recent.clear();
        }
        self.held.guess(|held| rig.help_holder(held));
        self.pilot.guess(|liquid| rig.help_pilot(liquid));
        for (column, voids) in [&mut rig.main.column, &mut rig.pilot.column].into_iter().zip(&mut self.voids) {
            voids.guess(|values| help_column(column, values));
        }
        rig.help_silencer(&mut self.silencer, record);
        if self.settled < MOST_SETTLED {
            self.settled += 1;
            self.accounts.settle(rig, record.time);
        }
    }

    /// Notes where the `rig` stands before its next cycle.
    pub(super) fn go_on(&mut self, rig: &Rig) {
        self.silencer.begun = rig.exhaust_side.silencer.as_ref().map(|s| s.temperature);
        if self.settled < MOST_SETTLED {
            self.accounts.note(rig);
        }
    }
}

/// One state at the ends of the cycles since it was last helped.
#[derive(Debug, Default)]
struct Series {
    values: Vec<f64>,
    guesses: u32,
}

impl Series {
    /// Has `help` make a guess from the values, if there may be one more; it says whether it did.
    fn guess(&mut self, help: impl FnOnce(&[f64]) -> bool) -> bool {
        let guessed = self.guesses < MOST_GUESSES && help(&self.values);
        if guessed {
            self.values.clear();
            self.guesses += 1;
        }
        guessed
    }
}

/// Helps a column on its way, from its `voids` [m3] at the ends of cycles: where next to nothing is drawn it sinks or rises for tens of
/// cycles.
fn help_column(column: &mut Column, voids: &[f64]) -> bool {
    let Some(more) = ahead(voids, column.passage_volume) else { return false };
    column.void = (column.void + more).clamp(0.0, column.passage_volume);
    true
}

impl Rig {
    /// Helps the fuel in a well on its way, from its `surfaces` [m] at the ends of cycles ([`ahead`]); returns whether it did. Through
    /// a few tenths of a square millimetre of side hole it takes a hundred cycles to sink by some millimetres.
    fn help_well(&mut self, surfaces: &[f64]) -> bool {
        let Some(well) = &mut self.main.well else { return false };
        let Some(deeper) = ahead(surfaces, well.range()) else { return false };
        well.sink(deeper);
        true
    }

    /// Helps the gas in the silencer on its way, after the cycle of `record` ([`Silencing`]).
    fn help_silencer(&mut self, silencing: &mut Silencing, record: &CycleRecord) {
        let passed = record.inlet_air + record.main_out + record.pilot_out + record.starter_out;
        let Some(silencer) = &mut self.exhaust_side.silencer else { return };
        if let Some(warmer) = silencing.warmer(self.cycles, silencer.temperature, passed / silencer.gas) {
            silencer.heat_at_constant_pressure(&self.gas, warmer);
        }
    }

    /// Helps the fuel in the pilot's chamber on its way, from its `masses` [kg]: where its holes hardly suck it fills in tens of cycles.
    fn help_pilot(&mut self, masses: &[f64]) -> bool {
        let chamber = &mut self.pilot.chamber;
        let most = chamber.volume * chamber.fuel_density;
        let Some(more) = ahead(masses, most) else { return false };
        chamber.liquid = (chamber.liquid + more).clamp(0.0, most);
        true
    }

    /// The same for the fuel in the holder of a bleed nozzle, from its `masses` [kg]: beside covered holes it fills as slowly.
    fn help_holder(&mut self, masses: &[f64]) -> bool {
        let most = self.main.most_in_holder();
        let Some(more) = ahead(masses, most) else { return false };
        let liquid = &mut self.main.chamber.liquid;
        *liquid = (*liquid + more).clamp(0.0, most);
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_state_that_swings_does_not_drift_and_one_that_creeps_does() {
        let of = |lift: &dyn Fn(f64) -> f64| {
            let recent = (0..=SPAN).map(|k| [lift(k as f64), 0.0]).collect();
            Creeping { recent, ..Creeping::default() }.drift()
        };
        let third = 2.0 * std::f64::consts::PI / 3.0;
        assert!(of(&|k| 1.0 + 1e-3 * libm::sin(third * k)) < 1e-12);
        let creep = of(&|k| 1.0 + 1e-3 * k);
        assert!((creep / 1e-3 - 1.0).abs() < 0.01, "{creep}");
        assert!(Creeping { recent: VecDeque::from([[1.0, 0.0]]), ..Creeping::default() }.drift().is_infinite());
        assert!(Creeping::default().drift() < 1e-300);
    }

    // Exact: the sum of a geometric series.
    #[test]
    fn a_geometric_series_is_seen_to_its_end() {
        let values: Vec<f64> = (0..5).map(|k| 1.0 - libm::pow(0.9, f64::from(k))).collect();
        let further = ahead(&values, 10.0).unwrap_or(f64::NAN);
        assert!((values[4] + further - 1.0).abs() < 1e-12, "{further}");
        assert_eq!(ahead(&values[..3], 10.0), None);
        assert_eq!(ahead(&[0.0, 1.0, 0.5, 0.8], 10.0), None);
        assert_eq!(ahead(&[0.0, 1.0, 2.1, 3.3], 10.0), None);
        // A swing of twelve cycles that dies down, anywhere on its way.
        let swing: Vec<f64> = (0..36)
            .map(|k| libm::pow(0.95, f64::from(k)) * libm::sin(std::f64::consts::FRAC_PI_6 * f64::from(k)))
            .collect();
        assert!(swing.windows(4).all(|four| ahead(four, 10.0).is_none()));
        assert_eq!(ahead(&values, 0.4), Some(0.1));
    }
}
