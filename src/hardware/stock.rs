//! What there is to choose from of one part: sizes on hand or on sale.

use serde::{Deserialize, Serialize};

use super::machine::Machine;
use super::mixture_screw::ScrewKind;
use super::part::{Part, WASHER};
use super::part_size::fitted_with;
use super::part_step::NoStep;

/// One size of a part.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Size {
    /// As in [`Part::size`].
    pub value: f64,
    /// As it is read off or ordered.
    pub label: String,
}

/// The sizes of one part, from the leanest to the richest; what is fitted is always among them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Stock {
    /// The part.
    pub part: Part,
    /// Its sizes.
    pub sizes: Vec<Size>,
    /// Which of them is fitted.
    pub fitted: usize,
}

/// Sizes each side of the fitted one that are on sale: two or three are usual, a set-up found wrong needs more. Common
/// practice, no source.
const REACH: i32 = 8;
/// The same for the main jet, which is changed for height and season too.
const REACH_MAIN: i32 = 16;
/// Turns between which a mixture screw is set; beyond them the pilot jet is the wrong one. Common practice.
const SCREW_TURNS: [(f64, f64); 2] = [(1.0, 3.0), (0.5, 2.0)];
/// Most washers under a clip. Common practice.
const WASHERS: i32 = 2;
/// Part of a step within which two sizes are one [-].
const SAME: f64 = 1e-3;

impl Stock {
    /// The sizes of `values` that go into `machine`, with the one fitted. A label that is not given is as read off.
    ///
    /// # Errors
    /// The machine has no such part.
    pub fn of(part: Part, machine: &Machine, values: Vec<(f64, Option<String>)>) -> Result<Self, NoStep> {
        let own = part.size(machine).ok_or(match part {
            Part::NeedleTaper => NoStep::NoTaper,
            _ => NoStep::Plugged(part.name()),
        })?;
        let same = |a: f64, b: f64| (a - b).abs() <= SAME * part.size_step();
        let own_label = values.iter().find(|v| same(v.0, own)).and_then(|v| v.1.clone());
        let mut all: Vec<Size> = Vec::with_capacity(values.len() + 1);
        all.push(Size { value: own, label: own_label.unwrap_or_else(|| part.setting(machine)) });
        for (value, label) in values {
            if all.iter().any(|s| same(s.value, value)) {
                continue;
            }
            if let Ok(fitted) = fitted_with(machine, &[(part, value)]) {
                all.push(Size { value, label: label.unwrap_or_else(|| part.setting(&fitted)) });
            }
        }
        all.sort_by(|a, b| a.value.total_cmp(&b.value));
        if !part.larger_is_richer(machine) {
            all.reverse();
        }
        let fitted = all.iter().position(|s| s.value.to_bits() == own.to_bits()).unwrap_or(0);
        Ok(Self { part, sizes: all, fitted })
    }

    /// What is on sale or can be set: the steps of the part around what is fitted, at whole multiples of a step.
    ///
    /// # Errors
    /// The machine has no such part.
    pub fn on_sale(part: Part, machine: &Machine) -> Result<Self, NoStep> {
        let step = part.size_step();
        let own = part.size(machine).unwrap_or(0.0);
        let about = |reach: i32| -> Vec<f64> {
            let middle = (own / step).round();
            (-reach..=reach).map(|k| (middle + f64::from(k)) * step).collect()
        };
        let values = match part {
            Part::MainJet => about(REACH_MAIN),
            Part::Clip => (1..=machine.carburettor.main.needle.grooves).map(f64::from).collect(),
            Part::Washer => (0..=WASHERS).map(|n| f64::from(n) * WASHER).collect(),
            Part::MixtureScrew => {
                let (low, high) = match machine.carburettor.pilot.screw.kind {
                    ScrewKind::Fuel => SCREW_TURNS[0],
                    ScrewKind::Air => SCREW_TURNS[1],
                };
                let count = ((high - low) / step).round() as i32;
                (0..=count).map(|k| low + f64::from(k) * step).collect()
            }
            _ => about(REACH),
        };
        Self::of(part, machine, values.into_iter().map(|v| (v, None)).collect())
    }

    /// Whether there is more than one size.
    #[must_use]
    pub fn has_choice(&self) -> bool {
        self.sizes.len() > 1
    }
}
