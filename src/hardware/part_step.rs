//! A machine with one part moved by so many steps, or why there is no such machine.

use thiserror::Error;

use super::carburettor::Carburettor;
use super::jet::Jet;
use super::machine::Machine;
use super::mixture_screw::ScrewKind;
use super::part::{
    AIR_JET_STEP, CUTAWAY_STEP, DIAMETER_STEP, JET_STEP, LEVEL_STEP, Part, SCREW_STEP, TAPER_STEP, WASHER, taper,
};

/// Smallest bore of a jet [m]: finer drills are not sold. Common practice.
pub(super) const BORE_LEAST: f64 = 1e-4;
/// Least diameter of a needle's tip [m].
const TIP_LEAST: f64 = 5e-5;
/// Furthest a mixture screw is turned out [turns]: beyond it falls out. Common practice.
pub(super) const TURNS_MOST: f64 = 6.0;
/// Parts of full lift at which needle and needle jet are tried.
const TRIED_LIFTS: u32 = 64;
/// Room for the last bits of a sum of lengths [m].
const ROUNDING: f64 = 1e-12;

/// Why a part cannot be moved so far.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum NoStep {
    /// The passage is plugged.
    #[error("the passage is plugged, no {0} is fitted")]
    Plugged(&'static str),
    /// The needle ends.
    #[error("no further groove: the clip is in {groove} of {grooves}")]
    NoGroove {
        /// Groove of the clip.
        groove: u32,
        /// Number of grooves.
        grooves: u32,
    },
    /// There is nothing to take out.
    #[error("no washer of that thickness to take out")]
    NoWasher,
    /// The needle would touch.
    #[error("the needle would be thicker than its needle jet")]
    NeedleSticks,
    /// The needle would end in nothing.
    #[error("the taper would bring the needle to nothing before its end")]
    NoTip,
    /// There is no taper to change, or none would be left.
    #[error("no taper would be left")]
    NoTaper,
    /// The main jet would meter nothing.
    #[error("the main jet would be wider than its needle jet")]
    JetTooWide,
    /// The nozzle's mouth would be narrower than the needle jet.
    #[error("the needle jet would be wider than the nozzle's mouth")]
    NeedleJetTooWide,
    /// No such drill.
    #[error("a {part} below {:.1} mm is not made", 1e3 * BORE_LEAST)]
    TooSmall {
        /// Name of the part.
        part: &'static str,
    },
    /// No such slide.
    #[error("the cutaway would leave 0 to half of the bore")]
    NoSlide,
    /// The screw is shut, or out.
    #[error("the screw would leave 0 to {TURNS_MOST} turns")]
    ScrewEnds,
    /// The bowl would run over.
    #[error("the fuel would stand above the nozzle and run out")]
    Floods,
}

impl Part {
    /// `machine` with this part moved by `steps`, above zero the richer way; the other parts stay. A jet keeps the
    /// length of its bore.
    ///
    /// The needle diameter changes all along the needle, so that taper and start stay; a changed taper keeps its start,
    /// and the cones of a needle with several get steeper by the same slope.
    ///
    /// # Errors
    /// There is no such part: no groove, smaller than what it has to pass, outside what is made.
    pub fn moved(self, machine: &Machine, steps: i32) -> Result<Machine, NoStep> {
        let mut moved = machine.clone();
        let (c, n) = (&mut moved.carburettor, f64::from(steps));
        match self {
            Self::PilotJet => c.pilot.jet = bored(c.pilot.jet, n * JET_STEP, self)?,
            Self::MainJet => c.main.main_jet = bored(c.main.main_jet, n * JET_STEP, self)?,
            Self::PilotAirJet => {
                let jet = c.pilot.air_jet.ok_or(NoStep::Plugged(self.name()))?;
                c.pilot.air_jet = Some(bored(jet, -n * AIR_JET_STEP, self)?);
            }
            Self::MainAirJet => {
                let jet = c.main.air_jet.ok_or(NoStep::Plugged(self.name()))?;
                c.main.air_jet = Some(bored(jet, -n * AIR_JET_STEP, self)?);
            }
            Self::MixtureScrew => {
                let way = match c.pilot.screw.kind {
                    ScrewKind::Fuel => SCREW_STEP,
                    ScrewKind::Air => -SCREW_STEP,
                };
                c.pilot.screw.turns += n * way;
                within(c.pilot.screw.turns, 0.0, TURNS_MOST.max(machine.carburettor.pilot.screw.turns))
                    .ok_or(NoStep::ScrewEnds)?;
            }
            Self::Cutaway => {
                c.slide.cutaway -= n * CUTAWAY_STEP;
                within(c.slide.cutaway, 0.0, 0.5 * c.slide.bore).ok_or(NoStep::NoSlide)?;
            }
            Self::NeedleDiameter => {
                for station in &mut c.main.needle.stations {
                    station.1 -= n * DIAMETER_STEP;
                }
            }
            Self::NeedleJet => c.main.needle_jet.bore += n * DIAMETER_STEP,
            Self::Clip => {
                let needle = &mut c.main.needle;
                let (groove, grooves) = (needle.groove, needle.grooves);
                needle.groove = groove
                    .checked_add_signed(steps)
                    .filter(|g| (1..=grooves).contains(g))
                    .ok_or(NoStep::NoGroove { groove, grooves })?;
            }
            Self::Washer => {
                c.main.needle.washers += n * WASHER;
                within(c.main.needle.washers, 0.0, f64::MAX).ok_or(NoStep::NoWasher)?;
            }
            Self::NeedleTaper => steepen(c, n * TAPER_STEP)?,
            Self::FloatLevel => c.bowl.level_below_bore -= n * LEVEL_STEP,
        }
        fits(c)?;
        Ok(moved)
    }
}

/// `value` if it lies between `low` and `high`, but for rounding.
pub(super) fn within(value: f64, low: f64, high: f64) -> Option<f64> {
    (value >= low - ROUNDING && value <= high + ROUNDING).then_some(value)
}

fn bored(jet: Jet, by: f64, part: Part) -> Result<Jet, NoStep> {
    let bore = within(jet.bore + by, BORE_LEAST, f64::MAX).ok_or(NoStep::TooSmall { part: part.name() })?;
    Ok(Jet { bore, ..jet })
}

/// Gives the needle's first cone `by` [rad] more included angle, and all below it the same change of slope.
pub(super) fn steepen(c: &mut Carburettor, by: f64) -> Result<(), NoStep> {
    let needle = &mut c.main.needle;
    let (start, angle) = taper(needle).ok_or(NoStep::NoTaper)?;
    if angle + by <= 0.0 {
        return Err(NoStep::NoTaper);
    }
    let slope = |angle: f64| 2.0 * libm::tan(0.5 * angle);
    let change = slope(angle + by) - slope(angle);
    let from = needle.stations[start].0;
    for station in &mut needle.stations[start + 1..] {
        station.1 -= change * (station.0 - from);
    }
    Ok(())
}

/// Whether the parts of the main circuit and the bowl still go together.
pub(super) fn fits(c: &Carburettor) -> Result<(), NoStep> {
    let (main, bore) = (&c.main, c.main.needle_jet.bore);
    if main.needle.stations.iter().any(|s| s.1 < TIP_LEAST) {
        return Err(NoStep::NoTip);
    }
    let shut = main.needle.station(0.0);
    let own = main.needle.stations.iter().map(|s| s.0 - shut).filter(|l| *l >= 0.0 && *l <= c.slide.bore);
    let mut lifts = (0..=TRIED_LIFTS).map(|i| c.slide.bore * f64::from(i) / f64::from(TRIED_LIFTS)).chain(own);
    if lifts.any(|lift| main.needle_jet.annulus(&main.needle, lift).inner_diameter >= bore) {
        return Err(NoStep::NeedleSticks);
    }
    if main.main_jet.bore > bore {
        return Err(NoStep::JetTooWide);
    }
    if main.nozzle.mouth_diameter < bore {
        return Err(NoStep::NeedleJetTooWide);
    }
    if c.bowl.level_below_bore <= -main.nozzle.protrusion {
        return Err(NoStep::Floods);
    }
    Ok(())
}
