//! The lean hole: how deep, how long; and how far the mixture is off altogether.

use serde::Serialize;

use super::result::SnapCycle;

/// Lambda over the wanted one above which a cycle is in the hole [-]. Common practice, no source: one step of the
/// mixture screw or of a clip, what a rider feels.
pub const FELT: f64 = 1.05;
/// Weight of too rich against too lean [-]. About the ratio of the torque that lambda 0.75 and lambda 1.1 give away on
/// the curve of best power; a moment too rich costs less than one too lean.
pub const RICH_WEIGHT: f64 = 0.5;
/// Lambda over the wanted one at which an error is cut off [-]: there is no fuel to speak of.
const NOTHING: f64 = 2.0;

/// The lean hole after the throttle begins to open.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Hole {
    /// Cycles leaner than the limit.
    pub cycles: usize,
    /// Time they take [s].
    pub lasts_s: f64,
    /// Beginning of the first one after the throttle began to open [s].
    pub begins_s: Option<f64>,
    /// Leanest lambda over the wanted one [-].
    pub deepest: Option<f64>,
    /// Leanest lambda [-].
    pub leanest_lambda: Option<f64>,
    /// Leanest air-fuel ratio [-].
    pub leanest_afr: Option<f64>,
    /// Cycles in it that did not burn.
    pub unfired: usize,
    /// Least torque in it [N m].
    pub least_torque_nm: Option<f64>,
    /// Whether the last cycle of the run is out of it.
    pub ends: bool,
}

/// Lambda over the wanted one below which a cycle is too rich [-]. Common practice, no source.
pub const HEAVY: f64 = 0.9;

/// The rich spell after the throttle begins to open.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct RichSpell {
    /// Time that cycles richer than the limit take [s].
    pub lasts_s: f64,
    /// Richest air-fuel ratio [-].
    pub richest_afr: Option<f64>,
    /// Cycles in it that did not burn.
    pub unfired: usize,
}

/// The rich spell of a run.
#[must_use]
pub fn rich_spell(cycles: &[SnapCycle]) -> RichSpell {
    let rich = |c: &&SnapCycle| c.time_s >= 0.0 && c.needed_mg < HEAVY * c.fuel_mg;
    let spell: Vec<&SnapCycle> = cycles.iter().filter(rich).collect();
    RichSpell {
        lasts_s: spell.iter().fold(0.0, |sum, c| sum + c.lasts_s),
        richest_afr: spell.iter().filter_map(|c| c.afr).reduce(f64::min),
        unfired: spell.iter().filter(|c| !c.fired).count(),
    }
}

/// Integrals of the relative error of lambda from the beginning of the opening to the end of the run [s].
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Misfit {
    /// Of the lean error.
    pub lean_s: f64,
    /// Of the rich error.
    pub rich_s: f64,
}

impl Misfit {
    /// What the search makes small: the lean error, and the rich one at half weight [s].
    #[must_use]
    pub fn score(&self) -> f64 {
        self.lean_s + RICH_WEIGHT * self.rich_s
    }

    /// Adds `lasts` [s] of a mixture of `air` over `fuel`, in masses, at `stoichiometric` and a wanted lambda.
    pub fn add(&mut self, lasts: f64, air: f64, fuel: f64, wanted_afr: f64) {
        let most = NOTHING * wanted_afr;
        let afr = if air <= 0.0 {
            return;
        } else if fuel > air / most {
            air / fuel
        } else {
            most
        };
        let error = afr / wanted_afr - 1.0;
        self.lean_s += lasts * error.max(0.0);
        self.rich_s += lasts * (-error).max(0.0);
    }
}

/// Of cycles after the opening began.
#[must_use]
pub fn misfit(cycles: &[SnapCycle]) -> Misfit {
    let mut m = Misfit { lean_s: 0.0, rich_s: 0.0 };
    for c in cycles.iter().filter(|c| c.time_s >= 0.0 && c.needed_mg > 0.0) {
        m.add(c.lasts_s, c.air_mg, c.fuel_mg, c.air_mg / c.needed_mg);
    }
    m
}

/// Whether a cycle lies in the hole.
#[must_use]
pub fn inside(c: &SnapCycle) -> bool {
    c.time_s >= 0.0 && c.needed_mg > 0.0 && c.needed_mg > FELT * c.fuel_mg
}

/// The hole of a run.
#[must_use]
pub fn hole(cycles: &[SnapCycle]) -> Hole {
    let lean: Vec<&SnapCycle> = cycles.iter().filter(|c| inside(c)).collect();
    let most = |f: fn(&SnapCycle) -> Option<f64>| lean.iter().filter_map(|c| f(c)).reduce(f64::max);
    Hole {
        cycles: lean.len(),
        lasts_s: lean.iter().fold(0.0, |sum, c| sum + c.lasts_s),
        begins_s: lean.first().map(|c| c.time_s),
        deepest: most(|c| c.lambda.map(|l| l / c.lambda_wanted)),
        leanest_lambda: most(|c| c.lambda),
        leanest_afr: most(|c| c.afr),
        unfired: lean.iter().filter(|c| !c.fired).count(),
        least_torque_nm: lean.iter().map(|c| c.torque_nm).reduce(f64::min),
        ends: !cycles.last().is_some_and(inside),
    }
}
