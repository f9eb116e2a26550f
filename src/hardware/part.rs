//! The parts that are changed to bring the mixture right, and one step of each as it is sold or set.

use serde::{Deserialize, Serialize};

use super::machine::Machine;
use super::mixture_screw::ScrewKind;
use super::needle::Needle;

/// One step of a fuel jet's bore [m]: 2.5 in the bore family of numbers. Common practice. A jet that was given by its
/// flow is stepped in its bore too: the machine keeps no family.
pub const JET_STEP: f64 = 2.5e-5;
/// One step of an air jet's bore [m]. Common practice.
pub const AIR_JET_STEP: f64 = 1e-4;
/// Thickness of the usual washer under the clip [m], about half a groove. Common practice.
pub const WASHER: f64 = 5e-4;
/// One step of the needle's straight diameter or the needle jet's bore [m]. Common practice.
pub const DIAMETER_STEP: f64 = 1e-5;
/// One step of the needle's included angle [rad], a quarter of a degree. Common practice.
pub const TAPER_STEP: f64 = 0.25 * std::f64::consts::PI / 180.0;
/// One step of the cutaway [m]. Common practice.
pub const CUTAWAY_STEP: f64 = 5e-4;
/// One step of the mixture screw [turns]. Common practice.
pub const SCREW_STEP: f64 = 0.25;
/// One step of the float level [m]. Common practice.
pub const LEVEL_STEP: f64 = 1e-3;

/// A part that is changed to bring the mixture right. One step up is the one that makes the mixture richer where the
/// part is in charge.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Pilot jet: larger is richer.
    PilotJet,
    /// Mixture screw: a fuel screw further out, an air screw further in is richer.
    MixtureScrew,
    /// Pilot air jet: smaller is richer.
    PilotAirJet,
    /// Cutaway of the slide: lower is richer.
    Cutaway,
    /// Diameter of the needle, all along it: thinner is richer.
    NeedleDiameter,
    /// Bore of the needle jet: wider is richer.
    NeedleJet,
    /// Groove of the clip: further down the needle raises the needle, richer.
    Clip,
    /// Washer under the clip: raises the needle, richer.
    Washer,
    /// Included angle of the needle's taper, its start kept: more is richer.
    NeedleTaper,
    /// Main jet: larger is richer.
    MainJet,
    /// Main air jet: smaller is richer.
    MainAirJet,
    /// Level in the float bowl: higher is richer.
    FloatLevel,
}

/// Parts of like effect, which are told apart by where on the throttle they act.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Group {
    /// Pilot jet, its air jet and screw.
    Pilot,
    /// The slide's cutaway.
    Cutaway,
    /// The ring between needle jet and needle as a whole.
    Ring,
    /// Height and taper of the needle.
    Height,
    /// Main jet and main air jet.
    Main,
    /// The fuel's level.
    Level,
}

impl Group {
    /// All groups, from the shut throttle to the open one.
    #[must_use]
    pub const fn all() -> [Self; 6] {
        [Self::Pilot, Self::Cutaway, Self::Ring, Self::Height, Self::Main, Self::Level]
    }

    /// In plain words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Pilot => "pilot circuit",
            Self::Cutaway => "cutaway",
            Self::Ring => "needle diameter, needle jet",
            Self::Height => "clip",
            Self::Main => "main jet, main air",
            Self::Level => "float level",
        }
    }
}

impl Part {
    /// All parts, those of a shut throttle first.
    #[must_use]
    pub const fn all() -> [Self; 12] {
        [
            Self::PilotJet,
            Self::MixtureScrew,
            Self::PilotAirJet,
            Self::Cutaway,
            Self::NeedleDiameter,
            Self::NeedleJet,
            Self::Clip,
            Self::Washer,
            Self::NeedleTaper,
            Self::MainJet,
            Self::MainAirJet,
            Self::FloatLevel,
        ]
    }

    /// The parts that answer who is in charge: all but the washer, which is a part of a groove's step.
    pub fn in_charge() -> impl Iterator<Item = Self> {
        Self::all().into_iter().filter(|part| *part != Self::Washer)
    }

    /// Key in files.
    #[must_use]
    pub fn key(self) -> &'static str {
        match self {
            Self::PilotJet => "pilot_jet",
            Self::MixtureScrew => "mixture_screw",
            Self::PilotAirJet => "pilot_air_jet",
            Self::Cutaway => "cutaway",
            Self::NeedleDiameter => "needle_diameter",
            Self::NeedleJet => "needle_jet",
            Self::Clip => "clip",
            Self::Washer => "washer",
            Self::NeedleTaper => "needle_taper",
            Self::MainJet => "main_jet",
            Self::MainAirJet => "main_air_jet",
            Self::FloatLevel => "float_level",
        }
    }

    /// In plain words.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::PilotJet => "pilot jet",
            Self::MixtureScrew => "mixture screw",
            Self::PilotAirJet => "pilot air jet",
            Self::Cutaway => "cutaway",
            Self::NeedleDiameter => "needle diameter",
            Self::NeedleJet => "needle jet",
            Self::Clip => "clip",
            Self::Washer => "washer",
            Self::NeedleTaper => "needle taper",
            Self::MainJet => "main jet",
            Self::MainAirJet => "main air jet",
            Self::FloatLevel => "float level",
        }
    }

    /// Its group.
    #[must_use]
    pub fn group(self) -> Group {
        match self {
            Self::PilotJet | Self::MixtureScrew | Self::PilotAirJet => Group::Pilot,
            Self::Cutaway => Group::Cutaway,
            Self::NeedleDiameter | Self::NeedleJet => Group::Ring,
            Self::Clip | Self::Washer | Self::NeedleTaper => Group::Height,
            Self::MainJet | Self::MainAirJet => Group::Main,
            Self::FloatLevel => Group::Level,
        }
    }

    /// One step up, the richer way, in the words and the unit it is sold or set in.
    #[must_use]
    pub fn step_label(self, machine: &Machine) -> String {
        let carburettor = &machine.carburettor;
        match self {
            Self::PilotJet | Self::MainJet => format!("bore +{:.3} mm (+2.5)", 1e3 * JET_STEP),
            Self::MixtureScrew => match carburettor.pilot.screw.kind {
                ScrewKind::Fuel => "1/4 turn out".to_owned(),
                ScrewKind::Air => "1/4 turn in".to_owned(),
            },
            Self::PilotAirJet | Self::MainAirJet => format!("bore -{:.1} mm", 1e3 * AIR_JET_STEP),
            Self::Cutaway => format!("-{:.1} mm", 1e3 * CUTAWAY_STEP),
            Self::NeedleDiameter => format!("-{:.2} mm", 1e3 * DIAMETER_STEP),
            Self::NeedleJet => format!("bore +{:.2} mm", 1e3 * DIAMETER_STEP),
            Self::Clip => format!("a groove down, {:.2} mm", 1e3 * carburettor.main.needle.groove_pitch),
            Self::Washer => format!("{:.1} mm more", 1e3 * WASHER),
            Self::NeedleTaper => format!("+{:.2} deg", TAPER_STEP.to_degrees()),
            Self::FloatLevel => format!("{:.0} mm higher", 1e3 * LEVEL_STEP),
        }
    }

    /// What is fitted or set now, as it is read off.
    #[must_use]
    pub fn setting(self, machine: &Machine) -> String {
        let c = &machine.carburettor;
        let (main, pilot) = (&c.main, &c.pilot);
        let number = |bore: f64| {
            let tenths = (1e6 * bore).round();
            let decimals = usize::from((tenths / 10.0).fract().abs() > 1e-9);
            format!("{:.decimals$}", tenths / 10.0)
        };
        let air =
            |jet: Option<super::jet::Jet>| jet.map_or("plugged".to_owned(), |j| format!("{:.2} mm", 1e3 * j.bore));
        match self {
            Self::PilotJet => number(pilot.jet.bore),
            Self::MixtureScrew => format!("{:.2} turns", pilot.screw.turns),
            Self::PilotAirJet => air(pilot.air_jet),
            Self::Cutaway => format!("{:.1} mm", 1e3 * c.slide.cutaway),
            Self::NeedleDiameter => format!("{:.3} mm", 1e3 * main.needle.stations.first().map_or(0.0, |s| s.1)),
            Self::NeedleJet => format!("{:.3} mm", 1e3 * main.needle_jet.bore),
            Self::Clip => format!("{} of {}", main.needle.groove, main.needle.grooves),
            Self::Washer => format!("{:.1} mm", 1e3 * main.needle.washers),
            Self::NeedleTaper => match taper(&main.needle) {
                Some((_, angle)) => format!("{:.2} deg", angle.to_degrees()),
                None => "none".to_owned(),
            },
            Self::MainJet => number(main.main_jet.bore),
            Self::MainAirJet => air(main.air_jet),
            Self::FloatLevel => format!("{:.1} mm down", 1e3 * c.bowl.level_below_bore),
        }
    }
}

/// Diameter that the straight part of a measured needle may lose before it counts as tapered [m].
const STRAIGHT_WITHIN: f64 = 2e-6;

/// Place of the station where the needle's taper starts, and the included angle [rad] of its first cone; none for a
/// needle without taper.
#[must_use]
pub fn taper(needle: &Needle) -> Option<(usize, f64)> {
    let first = needle.stations.first()?.1;
    let start = needle.stations.iter().rposition(|s| s.1 > first - STRAIGHT_WITHIN)?;
    let (from, to) = (needle.stations.get(start)?, needle.stations.get(start + 1)?);
    (from.1 > to.1).then(|| (start, 2.0 * libm::atan(0.5 * (from.1 - to.1) / (to.0 - from.0))))
}
