//! What a choice of parts is, as tables and JSON see it.

use serde::{Deserialize, Serialize};

use super::super::map::Grid;
use super::super::point::PointResult;
use super::card::Card;
use crate::hardware::part::Part;
use crate::hardware::stock::Stock;
use crate::setup::targets::TargetBand;
use crate::study::how_sure;

/// The whole result.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RejetResult {
    /// Version of this layout; additions do not change it.
    pub schema: u32,
    /// Version of the program.
    pub version: String,
    /// Name of the set-up.
    pub name: String,
    /// Stoichiometric ratio of the fuel [-].
    pub stoichiometric: f64,
    /// Length of the cells wanted [m].
    pub cell_size: f64,
    /// Grid that the parts were chosen on.
    pub grid: Grid,
    /// Wanted mixture.
    pub targets: Vec<TargetBand>,
    /// Misfit as fitted, with the parts chosen, and what would be left of it.
    pub misfit: Misfits,
    /// The free parts.
    pub parts: Vec<PartChoice>,
    /// Before and after by range of throttle.
    pub ranges: Vec<RangeReport>,
    /// Parts whose effects cannot be told apart on this grid.
    pub alike: Vec<Alike>,
    /// Points as fitted, in the order of the grid.
    pub before: Vec<PointResult>,
    /// Points with the parts chosen.
    pub after: Vec<PointResult>,
    /// Rounds of the search.
    pub rounds: usize,
    /// Operating points run.
    pub runs: usize,
    /// Whether no neighbouring choice is better.
    pub settled: bool,
    /// Whether it was interrupted; the best so far is given.
    pub interrupted: bool,
    /// Main jet, pilot jet and clip over height and temperature, if that was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub card: Option<Card>,
    /// Whether the same parts are chosen where the estimates are off.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub how_sure: Option<how_sure::rejet::HowSure>,
    /// Points that did not count in the choice, since no jet can cure them.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub left_out: Vec<LeftOut>,
    /// The resolved set-up, with the source of each value.
    pub setup: serde_json::Value,
}

/// A point that did not count in the choice.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct LeftOut {
    /// Throttle [-].
    pub throttle: f64,
    /// Speed [rpm].
    pub rpm: f64,
}

/// Misfits [lambda], each over the whole grid.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Misfits {
    /// As fitted.
    pub before: f64,
    /// With the parts chosen.
    pub after: f64,
    /// With any size between those in stock of the same parts, by the model; none if it was interrupted.
    pub any_size: Option<f64>,
    /// With the fuel at each throttle scaled as is best there, the same at all speeds: what a needle and jets of any
    /// shape leave.
    pub any_needle: f64,
}

/// One free part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PartChoice {
    /// What there is to choose from.
    pub stock: Stock,
    /// In plain words.
    pub name: String,
    /// Place of the size chosen.
    pub chosen: usize,
    /// Throttles that it governs, smallest and largest [-]; none if it says next to nothing, or is not known.
    pub governs: Option<(f64, f64)>,
    /// One size leaner than the one chosen, if there is one and it was run.
    pub leaner: Option<OneSize>,
    /// One size richer.
    pub richer: Option<OneSize>,
}

impl PartChoice {
    /// The part.
    #[must_use]
    pub fn part(&self) -> Part {
        self.stock.part
    }

    /// Label of a size.
    #[must_use]
    pub fn label(&self, place: usize) -> &str {
        self.stock.sizes.get(place).map_or("-", |s| s.label.as_str())
    }

    /// Whether another size than the fitted one was chosen.
    #[must_use]
    pub fn changed(&self) -> bool {
        self.chosen != self.stock.fitted
    }
}

/// What the next size of a part gives beside the one chosen.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OneSize {
    /// Its label.
    pub label: String,
    /// Mean change of AFR in the range that the part governs [-].
    pub afr: Option<f64>,
}

/// A mixture at a place of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct At {
    /// Throttle [-].
    pub throttle: f64,
    /// Speed [rpm].
    pub rpm: f64,
    /// Lambda [-].
    pub lambda: f64,
}

/// One of before and after in a range.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RangeState {
    /// Misfit [lambda].
    pub misfit: f64,
    /// Where it is leanest.
    pub leanest: Option<At>,
    /// Where it is richest.
    pub richest: Option<At>,
    /// Points that did not fire.
    pub unfired: usize,
}

/// Before and after in a range of throttle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct RangeReport {
    /// The band.
    pub band: TargetBand,
    /// Smallest and largest throttle of the grid in it [-].
    pub throttles: (f64, f64),
    /// As fitted.
    pub before: RangeState,
    /// With the parts chosen.
    pub after: RangeState,
    /// What the best factor on the fuel at each throttle would leave [lambda].
    pub any_needle: f64,
    /// Why something is left, if it is worth a word.
    pub cause: Option<Cause>,
}

/// Why a range keeps a misfit.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// Points do not fire.
    Unfired {
        /// How many.
        points: usize,
        /// The lowest speed among them [rpm].
        rpm: f64,
    },
    /// Lean where the depression at the nozzle hardly lifts the fuel.
    WeakSignal {
        /// Speed [rpm].
        rpm: f64,
        /// Throttle [-].
        throttle: f64,
        /// Depression at the nozzle [Pa].
        depression: f64,
    },
    /// The mixture changes with speed at the same throttle, and a jet acts at all speeds.
    Speed {
        /// Throttle where it changes most [-].
        throttle: f64,
        /// Leanest there: speed [rpm] and lambda.
        lean: (f64, f64),
        /// Richest there.
        rich: (f64, f64),
    },
    /// A size between those in stock would do better.
    Sizes,
    /// The curve over throttle does not fit, and the free parts do not bend it there.
    Shape,
}

/// Two parts whose effects have nearly the same shape over the grid.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Alike {
    /// One.
    pub one: Part,
    /// The other.
    pub other: Part,
    /// Cosine between their effects [-].
    pub cosine: f64,
    /// Steps of `other` that do what one of `one` does.
    pub steps: f64,
}
