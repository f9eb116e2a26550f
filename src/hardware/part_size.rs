//! The size of a part as one number, and a machine fitted with parts of other sizes.

use super::carburettor::Carburettor;
use super::jet::Jet;
use super::machine::Machine;
use super::mixture_screw::ScrewKind;
use super::part::{
    AIR_JET_STEP, CUTAWAY_STEP, DIAMETER_STEP, JET_STEP, LEVEL_STEP, Part, SCREW_STEP, TAPER_STEP, WASHER, taper,
};
use super::part_step::{BORE_LEAST, NoStep, TURNS_MOST, fits, steepen, within};

impl Part {
    /// What is fitted or set [SI: m, rad; turns of a screw, number of a groove from the top]; none where the passage is
    /// plugged or the needle has no taper.
    #[must_use]
    pub fn size(self, machine: &Machine) -> Option<f64> {
        let c = &machine.carburettor;
        let (main, pilot) = (&c.main, &c.pilot);
        match self {
            Self::PilotJet => Some(pilot.jet.bore),
            Self::MixtureScrew => Some(pilot.screw.turns),
            Self::PilotAirJet => pilot.air_jet.map(|j| j.bore),
            Self::Cutaway => Some(c.slide.cutaway),
            Self::NeedleDiameter => main.needle.stations.first().map(|s| s.1),
            Self::NeedleJet => Some(main.needle_jet.bore),
            Self::Clip => Some(f64::from(main.needle.groove)),
            Self::Washer => Some(main.needle.washers),
            Self::NeedleTaper => taper(&main.needle).map(|t| t.1),
            Self::MainJet => Some(main.main_jet.bore),
            Self::MainAirJet => main.air_jet.map(|j| j.bore),
            Self::FloatLevel => Some(c.bowl.level_below_bore),
        }
    }

    /// One step of [`Part::size`], without sign.
    #[must_use]
    pub fn size_step(self) -> f64 {
        match self {
            Self::PilotJet | Self::MainJet => JET_STEP,
            Self::PilotAirJet | Self::MainAirJet => AIR_JET_STEP,
            Self::MixtureScrew => SCREW_STEP,
            Self::Cutaway => CUTAWAY_STEP,
            Self::NeedleDiameter | Self::NeedleJet => DIAMETER_STEP,
            Self::Clip => 1.0,
            Self::Washer => WASHER,
            Self::NeedleTaper => TAPER_STEP,
            Self::FloatLevel => LEVEL_STEP,
        }
    }

    /// Whether a larger [`Part::size`] makes the mixture richer.
    #[must_use]
    pub fn larger_is_richer(self, machine: &Machine) -> bool {
        match self {
            Self::PilotJet | Self::MainJet | Self::NeedleJet | Self::Clip | Self::Washer | Self::NeedleTaper => true,
            Self::PilotAirJet | Self::MainAirJet | Self::Cutaway | Self::NeedleDiameter | Self::FloatLevel => false,
            Self::MixtureScrew => machine.carburettor.pilot.screw.kind == ScrewKind::Fuel,
        }
    }
}

/// `machine` with each part of `sizes` ([`Part::size`]) in place of the fitted one. A jet keeps the length of its bore,
/// a needle of another diameter its taper, one of another taper its start. The size that is fitted changes no bit.
///
/// # Errors
/// There is no such part, or the parts do not go together.
pub fn fitted_with(machine: &Machine, sizes: &[(Part, f64)]) -> Result<Machine, NoStep> {
    let mut fitted = machine.clone();
    for &(part, size) in sizes {
        set(&mut fitted.carburettor, part, size)?;
    }
    fits(&fitted.carburettor)?;
    Ok(fitted)
}

/// A jet of another bore.
fn bored(jet: Jet, bore: f64, part: Part) -> Result<Jet, NoStep> {
    let bore = within(bore, BORE_LEAST, f64::MAX).ok_or(NoStep::TooSmall { part: part.name() })?;
    Ok(Jet { bore, ..jet })
}

fn set(c: &mut Carburettor, part: Part, size: f64) -> Result<(), NoStep> {
    let inside = |low: f64, high: f64| within(size, low, high);
    match part {
        Part::PilotJet => c.pilot.jet = bored(c.pilot.jet, size, part)?,
        Part::MainJet => c.main.main_jet = bored(c.main.main_jet, size, part)?,
        Part::PilotAirJet => {
            let jet = c.pilot.air_jet.ok_or(NoStep::Plugged(part.name()))?;
            c.pilot.air_jet = Some(bored(jet, size, part)?);
        }
        Part::MainAirJet => {
            let jet = c.main.air_jet.ok_or(NoStep::Plugged(part.name()))?;
            c.main.air_jet = Some(bored(jet, size, part)?);
        }
        Part::MixtureScrew => {
            c.pilot.screw.turns = inside(0.0, TURNS_MOST.max(c.pilot.screw.turns)).ok_or(NoStep::ScrewEnds)?;
        }
        Part::Cutaway => c.slide.cutaway = inside(0.0, 0.5 * c.slide.bore).ok_or(NoStep::NoSlide)?,
        Part::NeedleDiameter => {
            let own = c.main.needle.stations.first().map_or(size, |s| s.1);
            for station in &mut c.main.needle.stations {
                station.1 += size - own;
            }
        }
        Part::NeedleJet => c.main.needle_jet.bore = size,
        Part::Clip => {
            let needle = &mut c.main.needle;
            let (groove, grooves) = (needle.groove, needle.grooves);
            let whole = within(size, 1.0, f64::from(grooves)).is_some() && (size - size.round()).abs() < 1e-9;
            needle.groove = whole.then_some(size.round() as u32).ok_or(NoStep::NoGroove { groove, grooves })?;
        }
        Part::Washer => c.main.needle.washers = inside(0.0, f64::MAX).ok_or(NoStep::NoWasher)?,
        Part::NeedleTaper => {
            let (_, angle) = taper(&c.main.needle).ok_or(NoStep::NoTaper)?;
            steepen(c, size - angle)?;
        }
        Part::FloatLevel => c.bowl.level_below_bore = size,
    }
    Ok(())
}
