//! Whether the verdict of a comparison holds at the ends of the estimates that say most about it.
//!
//! What counts in the ranking is the ratio of the best torque, `torque / (1 - lost)`, of each carburettor to that of
//! the first: the mixture, which jets bring right, is left out. For the ends each carburettor is brought to the same
//! mixture anew and run at full throttle at a few speeds, on cells twice as long; so is the comparison as estimated,
//! so that like stands beside like.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use serde::{Deserialize, Serialize};

use super::screen::{Asked, Rows, screened};
use super::{Candidate, Doubtful, ENDS, coarser, moved, next};
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;
use crate::setup::{End, Setup};
use crate::study::compare_verdict::LEAST;
use crate::study::point::{self, PointResult};
use crate::study::same_mixture;
use crate::study::selection::spread;
use crate::study::tasks;

/// Speeds at which the estimates are ranked.
const RANKED_AT: usize = 3;
/// Speeds at which the ends are run.
const RUN_AT: usize = 5;
/// Speeds at which the mixture is brought to the same.
const BROUGHT_AT: usize = 2;
/// Difference of torque that has to be there before its loss counts as a fading [-].
const CLEAR: f64 = 0.01;

/// What became of a verdict.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Standing {
    /// The one with more torque keeps more at each speed.
    Holds,
    /// A difference of one per cent or more is gone at some speed.
    Fades,
    /// The other one has more at some speed.
    Turns,
}

/// The comparison at one end of one estimate.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct AtEnd {
    /// The estimate.
    pub estimate: Doubtful,
    /// The end.
    pub end: End,
    /// Torque of each later carburettor against the first at each speed [%]; none where one does not fire.
    pub torque_percent: Vec<Vec<Option<f64>>>,
    /// What became of the verdict.
    pub standing: Standing,
    /// Speeds at which it turns or fades [rpm].
    pub at_rpm: Vec<f64>,
    /// Largest change of the difference of torque [percentage points].
    pub shift: f64,
}

/// How sure a comparison is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HowSure {
    /// Estimates that were looked at.
    pub looked_at: usize,
    /// Cells of these runs [m].
    pub cell_size: f64,
    /// Speeds [rpm].
    pub speeds: Vec<f64>,
    /// As estimated: torque of each later carburettor against the first at each speed [%].
    pub torque_percent: Vec<Vec<Option<f64>>>,
    /// The ends, by estimate, low before high; an end at which the machine does not fit together is left out.
    pub ends: Vec<AtEnd>,
    /// The worst of what became of it.
    pub standing: Standing,
    /// What to measure next.
    pub next: Option<Doubtful>,
}

/// What is compared, and how it is run.
pub struct Question<'a> {
    /// The set-ups, the first one the measure.
    pub setups: &'a [&'a Setup],
    /// Speeds of the comparison [rpm]; those where all fire serve.
    pub speeds: &'a [f64],
    /// Speeds where the engine pulls [rpm].
    pub pulling: &'a [f64],
    /// Whether each is brought to the same mixture.
    pub same: bool,
    /// Settings of the comparison.
    pub settings: &'a Settings,
    /// Threads, and what becomes true when it is to stop.
    pub with: (NonZeroUsize, &'a AtomicBool),
    /// Hears the speed of each run that ends.
    pub heard: &'a (dyn Fn(f64) + Sync),
}

impl Question<'_> {
    fn chosen(list: &[f64], most: usize) -> Vec<f64> {
        spread(list.len(), most).into_iter().map(|i| list[i]).collect()
    }

    fn coarse(&self, times: f64) -> Settings {
        let machines: Vec<&Machine> = self.setups.iter().map(|s| &s.machine).collect();
        coarser(self.settings, times, &machines)
    }

    /// Runs of the ranking, and at most so many of the ends.
    #[must_use]
    pub fn runs(&self) -> (usize, usize) {
        let ranking = self.setups.len() + super::candidates(self.setups).iter().map(|c| c.owners.len()).sum::<usize>();
        let brought = if self.same { same_mixture::runs(self.pulling.len().min(BROUGHT_AT)) } else { 0 };
        let each = brought + self.speeds.len().min(RUN_AT);
        let machines = self.setups.len() * (1 + super::MOST * ENDS.len());
        (ranking * self.speeds.len().min(RANKED_AT), machines * each)
    }

    /// The answer; none if it was stopped.
    #[must_use]
    pub fn answer(&self) -> Option<HowSure> {
        let points: Vec<(f64, f64)> = Self::chosen(self.speeds, RANKED_AT).into_iter().map(|rpm| (1.0, rpm)).collect();
        let coarse = self.coarse(4.0);
        let asked = Asked {
            setups: self.setups,
            fitted: &Some,
            points: &points,
            settings: &coarse,
            with: self.with,
            heard: self.heard,
        };
        let ranked = screened(&asked)?.ranked(&apart);
        let settings = self.coarse(2.0);
        let speeds = Self::chosen(self.speeds, RUN_AT);
        let own: Vec<Option<Machine>> = self.setups.iter().map(|s| Some(s.machine.clone())).collect();
        let torques = own.iter().map(|m| self.torques(m.as_ref(), &speeds, &settings));
        let torques: Vec<Torques> = torques.collect::<Option<_>>()?;
        let base = against_first(&torques);
        let mut ends = Vec::new();
        for candidate in &ranked {
            for end in ENDS {
                ends.extend(self.at_end(candidate, end, &torques, &base, &speeds, &settings)?);
            }
        }
        let mut by_shift: Vec<&AtEnd> = ends.iter().collect();
        // what turns the verdict first, then what moves it most
        by_shift.sort_by(|a, b| b.standing.cmp(&a.standing).then(b.shift.total_cmp(&a.shift)));
        Some(HowSure {
            looked_at: super::candidates(self.setups).len(),
            cell_size: settings.cell_size,
            next: next(by_shift.iter().map(|e| &e.estimate)),
            standing: ends.iter().map(|e| e.standing).max().unwrap_or(Standing::Holds),
            speeds,
            torque_percent: base,
            ends,
        })
    }

    /// One end; nothing inside if a machine does not fit together there, none if it was stopped.
    fn at_end(
        &self,
        candidate: &Candidate,
        end: End,
        own: &[Torques],
        base: &[Vec<Option<f64>>],
        speeds: &[f64],
        settings: &Settings,
    ) -> Option<Option<AtEnd>> {
        let mut torques = own.to_vec();
        for owner in &candidate.owners {
            let Some(machine) = moved(self.setups[*owner], &candidate.doubtful.key, end) else { return Some(None) };
            torques[*owner] = self.torques(Some(&machine), speeds, settings)?;
        }
        let percent = against_first(&torques);
        let mut standing = Standing::Holds;
        let (mut at_rpm, mut shift) = (Vec::new(), 0.0_f64);
        for (before, after) in base.iter().zip(&percent) {
            for ((before, after), rpm) in before.iter().zip(after).zip(speeds) {
                let (Some(before), Some(after)) = (before, after) else { continue };
                shift = shift.max((after - before).abs());
                let became = standing_of(0.01 * before, 0.01 * after);
                if became != Standing::Holds && !at_rpm.contains(rpm) {
                    at_rpm.push(*rpm);
                }
                standing = standing.max(became);
            }
        }
        Some(Some(AtEnd {
            estimate: candidate.doubtful.clone(),
            end,
            torque_percent: percent,
            standing,
            at_rpm,
            shift,
        }))
    }

    /// Torque at full throttle at each speed, brought to the mixture if asked for; none if it was stopped.
    fn torques(&self, machine: Option<&Machine>, speeds: &[f64], settings: &Settings) -> Option<Torques> {
        let machine = machine?;
        let brought = if self.same {
            let at = Self::chosen(self.pulling, BROUGHT_AT);
            same_mixture::brought(machine, &self.setups[0].targets, &at, settings, self.with, self.heard)?.machine
        } else {
            machine.clone()
        };
        let solved = tasks::in_order(speeds.len(), self.with.0, self.with.1, &|i| {
            let point = point::solve(&brought, 1.0, speeds[i], None, settings).0;
            (self.heard)(speeds[i]);
            torque(&point)
        });
        solved.into_iter().map(|r| r.map(|r| r.ok().flatten())).collect()
    }
}

/// Torque at each speed [N m]; none where it does not pull.
type Torques = Vec<Option<f64>>;

fn torque(p: &PointResult) -> Option<f64> {
    p.torque_nm.filter(|t| p.converged && p.fired && *t > 0.0)
}

/// Each later one against the first [%].
fn against_first(torques: &[Torques]) -> Vec<Vec<Option<f64>>> {
    let Some((first, later)) = torques.split_first() else { return Vec::new() };
    let percent = |other: &Torques| {
        first.iter().zip(other).map(|(a, b)| Some(100.0 * ((*b)? / (*a)? - 1.0)).filter(|p| p.is_finite())).collect()
    };
    later.iter().map(percent).collect()
}

/// What became of a difference of torque [-].
fn standing_of(before: f64, after: f64) -> Standing {
    if before.abs() >= LEAST && after.abs() >= LEAST && before * after < 0.0 {
        Standing::Turns
    } else if before.abs() >= CLEAR && after.abs() < LEAST {
        Standing::Fades
    } else {
        Standing::Holds
    }
}

/// Root mean square of the change of `ln` of the ratio of best torques.
fn apart(base: &Rows, with: &Rows) -> Option<f64> {
    let best = |p: &PointResult| {
        let lost = p.torque_lost.filter(|l| *l < 0.9)?;
        torque(p).map(|t| libm::log(t / (1.0 - lost)))
    };
    let (mut sum, mut count) = (0.0, 0.0_f64);
    for other in 1..base.len() {
        for i in 0..base[0].len() {
            let ratio = |rows: &Rows| Some(best(&rows[other][i])? - best(&rows[0][i])?);
            if let (Some(a), Some(b)) = (ratio(base), ratio(with)) {
                (sum, count) = (sum + (b - a) * (b - a), count + 1.0);
            }
        }
    }
    (count > 0.0).then(|| (sum / count).sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_difference_turns_when_the_other_has_more_and_fades_when_it_is_gone() {
        assert_eq!(standing_of(0.02, 0.03), Standing::Holds);
        assert_eq!(standing_of(0.02, 0.003), Standing::Fades);
        assert_eq!(standing_of(0.006, 0.001), Standing::Holds);
        assert_eq!(standing_of(0.02, -0.01), Standing::Turns);
        assert_eq!(standing_of(0.001, -0.05), Standing::Holds);
    }
}
