//! The carburettor: air passage, main circuit, pilot circuit, float bowl, starter, accelerator pump.

use serde::{Deserialize, Serialize};

use super::accelerator_pump::AcceleratorPump;
use super::bleed_well::BleedWell;
use super::duct::Piece;
use super::float_bowl::FloatBowl;
use super::jet::Jet;
use super::mixture_screw::MixtureScrew;
use super::needle::{Needle, NeedleJet};
use super::nozzle::Nozzle;
use super::slide::Slide;
use super::starter::Starter;
use super::vacuum_piston::VacuumPiston;

/// A passage that fuel fills between the bowl and an outlet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Passage {
    /// Length [m].
    pub length: f64,
    /// Bore [m].
    pub bore: f64,
}

/// Main jet, needle jet, needle, main air jet and nozzle.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct MainCircuit {
    /// Main jet.
    pub main_jet: Jet,
    /// Main air jet; none when the passage is plugged.
    pub air_jet: Option<Jet>,
    /// Needle jet.
    pub needle_jet: NeedleJet,
    /// Jet needle.
    pub needle: Needle,
    /// Nozzle.
    pub nozzle: Nozzle,
    /// Fuel passage between main jet and needle jet.
    pub passage: Passage,
    /// Well of a bleed nozzle; without one the air enters the needle jet straight from its jet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub well: Option<BleedWell>,
}

/// A by-pass hole in the floor of the bore.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct BypassHole {
    /// The hole.
    pub hole: Jet,
    /// Distance towards the atmosphere from the slide's engine-side edge, or from the edge of the shut butterfly [m]; negative lies
    /// behind it.
    pub upstream_of_edge: f64,
}

/// Pilot jet, pilot air jet, mixture screw, outlet and by-pass holes.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct PilotCircuit {
    /// Pilot jet.
    pub jet: Jet,
    /// Pilot air jet; none when the passage is plugged.
    pub air_jet: Option<Jet>,
    /// Mixture screw.
    pub screw: MixtureScrew,
    /// Pilot outlet behind the slide, in series with a fuel screw.
    pub outlet: Jet,
    /// By-pass holes, in any order.
    pub bypass: Vec<BypassHole>,
    /// Fuel passage from the pilot jet to the outlet.
    pub passage: Passage,
}

/// A slide carburettor, its slide moved by the hand or by depression.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Carburettor {
    /// Air passage from the mouth to the slide.
    pub mouth: Vec<Piece>,
    /// Loss coefficient of the mouth for inflow, on the velocity in the mouth [-].
    pub mouth_loss: f64,
    /// Added length of the open end, over the radius of the mouth [-].
    pub end_correction: f64,
    /// Slide.
    pub slide: Slide,
    /// Air passage from the slide to the spigot's end.
    pub spigot: Vec<Piece>,
    /// Main circuit.
    pub main: MainCircuit,
    /// Pilot circuit.
    pub pilot: PilotCircuit,
    /// Float bowl.
    pub bowl: FloatBowl,
    /// Starter enrichener, if it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub starter: Option<Starter>,
    /// Accelerator pump, if it has one; a steady point does not move it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pump: Option<AcceleratorPump>,
    /// What lifts the slide when the hand does not: a vacuum piston with its butterfly. The spigot then begins at the butterfly.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub vacuum: Option<VacuumPiston>,
}

impl Carburettor {
    /// Air passage between a vacuum piston and its butterfly; none without.
    #[must_use]
    pub fn between(&self) -> Option<Piece> {
        let butterfly = &self.vacuum.as_ref()?.butterfly;
        let wall = self.spigot.first().map_or(f64::NAN, |p| p.wall_temperature);
        let (length, bore) = (butterfly.behind_piston, butterfly.bore);
        Some(Piece::plain("passage to the butterfly", length, bore, bore, wall))
    }
}
