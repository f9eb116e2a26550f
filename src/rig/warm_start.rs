//! Where a run at another lift starts from: the states that up to three neighbours on the same speed became periodic in, drawn on.
//!
//! Every state of gas, charge and fuel is taken as a polynomial in the root of the lift through the neighbours' (Lagrange), cell by cell:
//! at one speed the waves of all of them stand at the same crank angle. The root, because most changes with small lifts; where all is
//! smooth a parabola through three starts some six times nearer than the nearest of them (`tests/machine/warm_start.rs`). Pressures
//! and densities stay within a factor of the nearest neighbour's, amounts and shares what they can be. A start moves no periodic state;
//! the first cycle's books begin behind it.
//!
//! Left as in the nearest neighbour: the burn and the cylinder's references, which the first charge trapped sets anew; what waits in the free air.
//! Not drawn on at all: a machine with a vacuum piston, which swings, and a machine whose neighbours did not all fire.

use std::cell::Cell;

use super::machine_state::{OperatingPoint, Rig};
use crate::gas::duct_cells::DuctCells;
use crate::gas::plenum::Plenum;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;
use crate::metering::chamber::Chamber;
use crate::metering::column::Column;

/// Most neighbours that are drawn on.
pub const MOST_PARENTS: usize = 3;
/// Largest factor between a pressure, density or temperature and the nearest neighbour's [-].
const BOLDEST: f64 = 2.0;
/// Largest sum of the weights without sign [-]: by so much what the neighbours are off by may grow. Evenly spaced, three have 7; behind two
/// that lie half as far apart, 17.
const MOST_WEIGHT: f64 = 20.0;
/// Least difference of two roots of the lift, over the larger [-].
const APART: f64 = 1e-3;

/// Weights of Lagrange's polynomial through the places `at`, for the place `to`; their sum is one.
fn weights(at: &[f64], to: f64) -> Vec<f64> {
    let one = |k: usize| (0..at.len()).filter(|j| *j != k).map(|j| (to - at[j]) / (at[k] - at[j])).product();
    (0..at.len()).map(one).collect()
}

/// `drawn` within [`BOLDEST`] of the `nearest` neighbour's.
fn bounded(drawn: f64, nearest: f64) -> f64 {
    drawn.max(nearest / BOLDEST).min(nearest * BOLDEST)
}

/// States and their weights, the nearest first.
struct Drawn<'a> {
    rigs: Vec<&'a Rig>,
    weights: Vec<f64>,
}

impl<'a> Drawn<'a> {
    /// As many of `parents` as can be drawn on for `point`, the nearest first.
    fn new(parents: &'a [Rig], point: OperatingPoint) -> Option<Self> {
        let nearest = parents.first()?;
        let place = |r: &Rig| r.point.lift.max(0.0).sqrt();
        let usable = |r: &&Rig| {
            r.vacuum.is_none()
                && r.cylinder.burn.fired == nearest.cylinder.burn.fired
                && (r.point.rpm - point.rpm).abs() < 1e-9 * point.rpm
                && r.ducts().map(DuctCells::cells).eq(nearest.ducts().map(DuctCells::cells))
        };
        let mut rigs: Vec<&Rig> = parents.iter().take(MOST_PARENTS).take_while(usable).collect();
        while rigs.len() > 1 {
            let at: Vec<f64> = rigs.iter().map(|r| place(r)).collect();
            let apart = |(k, a): (usize, &f64)| at[..k].iter().all(|b| (a - b).abs() > APART * a.max(*b));
            let weights = weights(&at, point.lift.max(0.0).sqrt());
            if at.iter().enumerate().all(apart) && weights.iter().map(|w| w.abs()).sum::<f64>() <= MOST_WEIGHT {
                return Some(Self { rigs, weights });
            }
            rigs.pop();
        }
        None
    }

    /// A state of any sign.
    fn any(&self, of: impl Fn(&Rig) -> f64) -> f64 {
        self.rigs.iter().zip(&self.weights).map(|(r, w)| w * of(r)).sum()
    }

    /// A state above nothing, within [`BOLDEST`] of the nearest neighbour's.
    fn positive(&self, of: impl Fn(&Rig) -> f64) -> f64 {
        let nearest = of(self.rigs[0]);
        bounded(self.any(of), nearest)
    }

    /// An amount, not less than nothing.
    fn amount(&self, of: impl Fn(&Rig) -> f64) -> f64 {
        self.any(of).max(0.0)
    }

    /// A mass fraction.
    fn share(&self, of: impl Fn(&Rig) -> f64) -> f64 {
        self.any(of).clamp(0.0, 1.0)
    }

    fn composition(&self, of: impl Fn(&Rig) -> Composition) -> Composition {
        Composition {
            burnt: self.share(|r| of(r).burnt),
            vapour: self.share(|r| of(r).vapour),
            liquid: self.amount(|r| of(r).liquid),
        }
    }

    /// The duct number `k` of all.
    fn duct(&self, gas: &GasModel, duct: &mut DuctCells, k: usize) {
        let Some(ducts) = self.rigs.iter().map(|r| r.ducts().nth(k)).collect::<Option<Vec<_>>>() else { return };
        let owed: Vec<Vec<f64>> = ducts.iter().map(|d| d.owed_per_volume(gas)).collect();
        let drawn = |of: &dyn Fn(usize) -> f64| (0..ducts.len()).map(|r| self.weights[r] * of(r)).sum::<f64>();
        let positive = |of: &dyn Fn(usize) -> f64| bounded(drawn(of), of(0));
        let share = |of: &dyn Fn(usize) -> f64| drawn(of).clamp(0.0, 1.0);
        let state = |i: usize| {
            let y = Composition {
                burnt: share(&|r| ducts[r].composition(i).burnt),
                vapour: share(&|r| ducts[r].composition(i).vapour),
                liquid: drawn(&|r| ducts[r].composition(i).liquid).max(0.0),
            };
            (positive(&|r| ducts[r].cell(i).0), drawn(&|r| ducts[r].cell(i).1), positive(&|r| ducts[r].cell(i).2), y)
        };
        let accounts: Vec<f64> = (0..duct.cells()).map(|i| drawn(&|r| owed[r][i])).collect();
        // the cells are filled in their order
        let next = Cell::new(0);
        duct.fill(gas, |_| state(next.replace(next.get() + 1)));
        duct.owe(&accounts);
    }

    fn plenum(&self, gas: &GasModel, plenum: &mut Plenum, of: impl Fn(&Rig) -> Option<&Plenum>) {
        if self.rigs.iter().any(|r| of(r).is_none()) {
            return;
        }
        let get = |r: &Rig, what: fn(&Plenum) -> f64| of(r).map_or(0.0, what);
        let y = self.composition(|r| of(r).map_or(Composition::default(), Plenum::composition));
        let p = self.positive(|r| get(r, |p| p.pressure));
        let t = self.positive(|r| get(r, |p| p.temperature));
        *plenum = Plenum::new(gas, plenum.volume, p, t, y);
    }

    /// A column: its flow, and where its front stands if it has one in all of them.
    fn column(&self, column: &mut Column, of: impl Fn(&Rig) -> Option<&Column>) {
        if self.rigs.iter().any(|r| of(r).is_none()) {
            return;
        }
        let get = |r: &Rig, what: fn(&Column) -> f64| of(r).map_or(0.0, what);
        column.flow = self.any(|r| get(r, |c| c.flow));
        if self.rigs.iter().all(|r| get(r, |c| c.void) > 0.0) {
            column.void = self.amount(|r| get(r, |c| c.void)).min(column.passage_volume);
        }
    }

    fn chamber(&self, chamber: &mut Chamber, of: impl Fn(&Rig) -> Option<&Chamber>) {
        if self.rigs.iter().any(|r| of(r).is_none()) {
            return;
        }
        let get = |r: &Rig, what: fn(&Chamber) -> f64| of(r).map_or(0.0, what);
        chamber.liquid = self.amount(|r| get(r, |c| c.liquid)).min(chamber.volume * chamber.fuel_density);
        chamber.pressure = self.positive(|r| get(r, |c| c.pressure));
    }
}

impl Rig {
    /// A warm start at `point` from `parents`, periodic states of the same machine, the nearest first: what they point at, or, where that
    /// cannot be told, the nearest one as it is. None without parents.
    #[must_use]
    pub fn warm(parents: &[Self], point: OperatingPoint) -> Option<Self> {
        let mut rig = parents.first()?.clone();
        if let Some(drawn) = Drawn::new(parents, point) {
            rig.draw_on(&drawn);
        }
        rig.set_point(point);
        Some(rig)
    }

    /// Sets this state, a copy of the nearest one's, to the one that is drawn.
    fn draw_on(&mut self, drawn: &Drawn) {
        let gas = self.gas;
        self.ducts_mut().enumerate().for_each(|(k, duct)| drawn.duct(&gas, duct, k));
        if let Some(silencer) = &mut self.exhaust_side.silencer {
            drawn.plenum(&gas, silencer, |r| r.exhaust_side.silencer.as_ref());
        }
        self.exhaust_side.mean_temperature = drawn.positive(|r| r.exhaust_side.mean_temperature);
        if let Some(b) = &mut self.air_side.air_box {
            drawn.plenum(&gas, &mut b.plenum, |r| r.air_side.air_box.as_ref().map(|b| &b.plenum));
        }
        let charge = &mut self.cylinder.charge;
        charge.air = drawn.positive(|r| r.cylinder.charge.air);
        charge.burnt = drawn.amount(|r| r.cylinder.charge.burnt);
        charge.vapour = drawn.amount(|r| r.cylinder.charge.vapour);
        charge.liquid = drawn.amount(|r| r.cylinder.charge.liquid);
        charge.fresh_air = drawn.any(|r| r.cylinder.charge.fresh_air);
        charge.fresh_fuel = drawn.any(|r| r.cylinder.charge.fresh_fuel);
        charge.energy = drawn.any(|r| r.cylinder.charge.energy);
        charge.temperature = drawn.positive(|r| r.cylinder.charge.temperature);
        charge.pressure = drawn.positive(|r| r.cylinder.charge.pressure);
        drawn.column(&mut self.main.column, |r| Some(&r.main.column));
        drawn.chamber(&mut self.main.chamber, |r| Some(&r.main.chamber));
        drawn.column(&mut self.pilot.column, |r| Some(&r.pilot.column));
        drawn.chamber(&mut self.pilot.chamber, |r| Some(&r.pilot.chamber));
        if let Some(starter) = &mut self.starter {
            drawn.column(&mut starter.column, |r| r.starter.as_ref().map(|s| &s.column));
            drawn.chamber(&mut starter.chamber, |r| r.starter.as_ref().map(|s| &s.chamber));
        }
        if let Some(well) = &mut self.main.well {
            let surface = drawn.any(|r| r.main.well.as_ref().map_or(0.0, |w| w.surface));
            well.sink(surface - well.surface);
        }
        self.owed_before = self.owed_energy();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Exact: a polynomial of the second degree through three places is itself.
    #[test]
    fn three_places_carry_a_parabola_on() {
        let f = |x: f64| 2.0 - 3.0 * x + 0.7 * x * x;
        let at = [1.0, 0.9, 0.7];
        let there: f64 = weights(&at, 0.4).iter().zip(at).map(|(w, x)| w * f(x)).sum();
        assert!((there - f(0.4)).abs() < 1e-12, "{there}");
        assert!((weights(&at, 0.4).iter().sum::<f64>() - 1.0).abs() < 1e-12);
    }
}
