//! A search put together as one result.

use super::advice::{alike, misfits, parts, ranges};
use super::card::Card;
use super::misfit::Wanted;
use super::result::RejetResult;
use super::runs::Bench;
use super::search::Found;
use crate::setup::Setup;

/// Version of the layout; additions do not change it.
const SCHEMA: u32 = 1;

/// The result of a search on the machine of `setup`.
#[must_use]
pub fn answer(setup: &Setup, bench: &Bench<'_>, found: &Found, wanted: &[Wanted], card: Option<Card>) -> RejetResult {
    let misfit = misfits(bench.grid, found, wanted);
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
        setup: setup.to_json(),
    }
}
