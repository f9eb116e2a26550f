//! A search put together as one result.

use super::advice::{alike, misfits, parts, ranges};
use super::card::Card;
use super::misfit::{Wanted, has_band};
use super::result::{LeftOut, RejetResult};
use super::runs::Bench;
use super::search::Found;
use crate::setup::Setup;

/// Version of the layout; additions do not change it.
const SCHEMA: u32 = 1;

/// The result of a search on the machine of `setup`.
#[must_use]
pub fn answer(setup: &Setup, bench: &Bench<'_>, found: &Found, wanted: &[Wanted], card: Option<Card>) -> RejetResult {
    let misfit = misfits(bench.grid, found, &found.counted);
    let machine = bench.fitted(&found.after.places).unwrap_or_else(|_| bench.machine.clone());
    RejetResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION").to_owned(),
        name: setup.name.clone(),
        stoichiometric: bench.machine.fuel.stoichiometric,
        cell_size: bench.settings.cell_size,
        grid: bench.grid.clone(),
        targets: setup.targets.clone(),
        misfit,
        parts: parts(bench.grid, bench.stocks, found),
        ranges: ranges(&machine, bench.grid, (&setup.targets, wanted), found, &misfit),
        alike: found.around.as_ref().map(|(model, _)| alike(bench.stocks, model)).unwrap_or_default(),
        before: found.before.points.clone(),
        after: found.after.points.clone(),
        rounds: found.rounds,
        runs: found.runs,
        settled: found.settled,
        interrupted: found.interrupted,
        card,
        how_sure: None,
        left_out: left_out(found, wanted),
        setup: setup.to_json(),
    }
}

/// Points that did not count in the choice.
fn left_out(found: &Found, wanted: &[Wanted]) -> Vec<LeftOut> {
    let lists = found.before.points.iter().zip(wanted).zip(&found.counted);
    let out = lists.filter(|((_, wanted), counted)| wanted.is_some() && !has_band(counted));
    out.map(|((p, _), _)| LeftOut { throttle: p.throttle, rpm: p.rpm }).collect()
}
