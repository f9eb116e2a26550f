//! Every estimate moved once, at a few points on coarse cells.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use super::{Candidate, MOST, candidates, moved};
use crate::hardware::machine::Machine;
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::point::{self, PointResult};
use crate::study::tasks;

/// Points of each set-up, in the order asked for.
pub type Rows = Vec<Vec<PointResult>>;

/// What is run, and how.
pub struct Asked<'a> {
    /// The set-ups.
    pub setups: &'a [&'a Setup],
    /// What is done to a machine of them before it is run, such as fitting the parts chosen.
    pub fitted: &'a (dyn Fn(Machine) -> Option<Machine> + Sync),
    /// Throttle and speed [rpm] of each point.
    pub points: &'a [(f64, f64)],
    /// How finely.
    pub settings: &'a Settings,
    /// Threads, and what becomes true when it is to stop.
    pub with: (NonZeroUsize, &'a AtomicBool),
    /// Hears the speed of each run that ends.
    pub heard: &'a (dyn Fn(f64) + Sync),
}

impl Asked<'_> {
    /// Runs that [`screened`] takes.
    #[must_use]
    pub fn runs(&self) -> usize {
        let machines = self.setups.len() + candidates(self.setups).iter().map(|c| c.owners.len()).sum::<usize>();
        machines * self.points.len()
    }
}

/// What came out of the runs.
pub struct Screened {
    /// As estimated; empty if a machine could not be run.
    pub base: Rows,
    /// With each estimate moved to the end that is further away.
    pub moved: Vec<(Candidate, Rows)>,
}

/// Moves each estimate once. None if it was stopped.
#[must_use]
pub fn screened(asked: &Asked<'_>) -> Option<Screened> {
    let all = candidates(asked.setups);
    let mut machines: Vec<Option<Machine>> = asked.setups.iter().map(|s| (asked.fitted)(s.machine.clone())).collect();
    for candidate in &all {
        let key = &candidate.doubtful.key;
        let one = |owner: &usize| moved(asked.setups[*owner], key, candidate.far).and_then(asked.fitted);
        machines.extend(candidate.owners.iter().map(one));
    }
    let width = asked.points.len();
    let solved = tasks::in_order(machines.len() * width, asked.with.0, asked.with.1, &|task| {
        let (throttle, rpm) = asked.points[task % width];
        let machine = machines[task / width].as_ref();
        let point = machine.map(|m| point::solve(m, throttle, rpm, None, asked.settings).0);
        (asked.heard)(rpm);
        point
    });
    let solved: Vec<Option<PointResult>> =
        solved.into_iter().map(|r| r.map(|r| r.ok().flatten())).collect::<Option<_>>()?;
    let mut rows = solved.chunks(width.max(1)).map(|row| row.iter().cloned().collect::<Option<Vec<PointResult>>>());
    let base: Option<Rows> = rows.by_ref().take(asked.setups.len()).collect();
    let base = base.unwrap_or_default();
    let mut moved = Vec::with_capacity(all.len());
    for candidate in all {
        let own: Vec<Option<Vec<PointResult>>> = rows.by_ref().take(candidate.owners.len()).collect();
        let Some(own) = own.into_iter().collect::<Option<Rows>>().filter(|_| !base.is_empty()) else { continue };
        let mut with = base.clone();
        for (owner, row) in candidate.owners.iter().zip(own) {
            with[*owner] = row;
        }
        moved.push((candidate, with));
    }
    Some(Screened { base, moved })
}

impl Screened {
    /// The estimates by their influence, most first, at most [`MOST`]; `distance` is between the rows as estimated and
    /// those with the estimate moved. Those without influence are left out.
    #[must_use]
    pub fn ranked(&self, distance: &dyn Fn(&Rows, &Rows) -> Option<f64>) -> Vec<Candidate> {
        let far = |(candidate, rows): &(Candidate, Rows)| {
            let by = distance(&self.base, rows).filter(|d| d.is_finite() && *d > 0.0)?;
            Some((candidate.clone(), by))
        };
        let mut ranked: Vec<(Candidate, f64)> = self.moved.iter().filter_map(far).collect();
        // a stable sort: equal ones stay in the order of reading
        ranked.sort_by(|a, b| b.1.total_cmp(&a.1));
        ranked.truncate(MOST);
        ranked.into_iter().map(|r| r.0).collect()
    }
}
