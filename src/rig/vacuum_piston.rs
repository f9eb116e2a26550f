//! A vacuum piston in the running machine: the passage between piston and butterfly, the butterfly's face, the holes at its edge.
//!
//! The hand opens the butterfly; the piston's lift is a state. Its face is the slide's, with the area of its lift in this step; the
//! passage behind it is a duct of its own, and the butterfly the second face. The main nozzle stands under the piston. The pilot outlet opens
//! behind the butterfly. A by-pass hole stands in the wall near the plate's edge: ahead of it the pressure is that of the stream
//! at the area it fills there ([`Butterfly::area_ahead`]), behind it that of the outlet; a hole that the edge crosses is two openings,
//! each with its part of the area.
//!
//! [`Butterfly::area_ahead`]: crate::hardware::butterfly::Butterfly::area_ahead

use std::f64::consts::PI;

use super::creep;
use super::error::RigError;
use super::exchange::Exchanges;
use super::intake::Passage;
use super::machine_state::Rig;
use super::piston_motion::{Passing, PistonMotion};
use crate::gas::duct_cells::DuctCells;
use crate::gas::exchange::{EndFlux, Exchange};
use crate::gas::face::{FaceFlow, Trend, restriction};
use crate::gas::grid::GridError;
use crate::gas::plenum::Plenum;
use crate::gas::trace::{Side, Trace};
use crate::hardware::carburettor::{BypassHole, Carburettor, PilotCircuit};
use crate::hardware::vacuum_piston::VacuumPiston;
use crate::laws::stream::Stream;
use crate::media::atmosphere::FreeAir;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;
use crate::metering::pilot_circuit::PilotMetering;
use crate::metering::surroundings::Outside;

/// Most vapour that a guess may put above the piston [-].
const MOST_VAPOUR: f64 = 0.3;
/// Coldest and warmest gas that a guess may put there [K].
const COLDEST: f64 = 220.0;
const WARMEST: f64 = 420.0;

/// Piston, passage to the butterfly and butterfly in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct VacuumSide {
    /// The piston and the chamber above it.
    pub piston: PistonMotion,
    /// Passage from the piston to the butterfly.
    pub between: DuctCells,
    part: VacuumPiston,
    /// Effective area at the butterfly [m2].
    throat: f64,
    /// Area that the stream fills at each by-pass hole, or at the part of it that lies ahead of the plate's edge [m2].
    ahead: Vec<f64>,
    trend: Trend,
}

/// The pilot circuit; beside a butterfly with each by-pass hole twice, the part ahead of the plate's edge and the part behind.
pub(super) fn twofold(c: &Carburettor) -> PilotCircuit {
    let mut pilot = c.pilot.clone();
    if c.vacuum.is_some() {
        let sides = |h: &BypassHole| [1.0, -1.0].map(|side| BypassHole { upstream_of_edge: side, ..*h });
        pilot.bypass = pilot.bypass.iter().flat_map(sides).collect();
    }
    pilot
}

impl VacuumSide {
    /// Piston down, everything at rest; none without a vacuum piston.
    ///
    /// # Errors
    /// A passage to the butterfly that cannot be cut into cells.
    pub fn new(c: &Carburettor, air: &FreeAir, gas: &GasModel, cell_size: f64) -> Result<Option<Self>, GridError> {
        let (Some(part), Some(piece)) = (c.vacuum, c.between()) else { return Ok(None) };
        let (p, t) = (air.pressure, air.temperature);
        Ok(Some(Self {
            piston: PistonMotion::at_rest(&part, gas, p, t),
            between: DuctCells::new(&[piece], cell_size, gas, p, t)?,
            part,
            throat: 0.0,
            ahead: vec![0.0; c.pilot.bypass.len()],
            trend: Trend::default(),
        }))
    }

    /// Opens the butterfly to `throttle`, the angle opened over the full angle [-].
    pub fn open(&mut self, holes: &[BypassHole], pilot: &mut PilotMetering, throttle: f64) {
        let b = &self.part.butterfly;
        self.throat = b.effective_area(throttle);
        let edge = b.edge_moved(throttle);
        for (k, (hole, ahead)) in holes.iter().zip(&mut self.ahead).enumerate() {
            let bore = hole.hole.bore;
            let (middle, radius) = (hole.upstream_of_edge - edge, 0.5 * bore);
            // The middle of what lies ahead.
            let distance = if middle >= radius { middle } else { 0.5 * (middle + radius) };
            *ahead = b.area_ahead(throttle, distance);
            let behind = b.share_behind(throttle, hole.upstream_of_edge, bore);
            let area = 0.25 * PI * bore * bore;
            pilot.set_bypass_area(2 * k, (1.0 - behind) * area);
            pilot.set_bypass_area(2 * k + 1, behind * area);
        }
    }
}

impl VacuumSide {
    /// Sets the piston higher by `rise` [m] between its stops, the chamber's gas as it is in pressure and temperature.
    fn set_higher(&mut self, gas: &GasModel, rise: f64) {
        let piston = &mut self.piston;
        piston.lift = (piston.lift + rise).clamp(self.part.lowest, self.part.highest);
        let c = piston.chamber;
        piston.chamber = Plenum::new(gas, self.part.chamber(piston.lift), c.pressure, c.temperature, c.composition());
    }
}

impl Rig {
    /// Helps a vacuum piston on its way to the periodic cycle, from its mean `lifts` [m] since the last help; returns whether it did.
    ///
    /// The piston creeps: near full lift the flow hardly changes with the lift, and the pulses keep the holes busy, so that it takes
    /// some 30 cycles for a factor e ([`creep`]).
    pub(super) fn help_piston(&mut self, lifts: &[f64]) -> bool {
        let Some(v) = &mut self.vacuum else { return false };
        let Some(rise) = creep::ahead(lifts, v.part.highest - v.part.lowest) else { return false };
        v.set_higher(&self.gas, rise);
        let lift = v.piston.lift;
        self.passage = Passage::new(&self.machine.carburettor, lift);
        self.main.set_lift(lift);
        true
    }

    /// Share of vapour [-] in the gas above a vacuum piston, and its temperature [K].
    pub(super) fn above_piston(&self) -> Option<(f64, f64)> {
        let chamber = &self.vacuum.as_ref()?.piston.chamber;
        Some((chamber.composition().vapour, chamber.temperature))
    }

    /// Helps the vapour above a vacuum piston on its way, from its `shares` [-] at the ends of cycles; returns whether it did. The holes
    /// change some twentieth of the gas there in a cycle, and the lift follows its density.
    pub(super) fn help_vapour_above_piston(&mut self, shares: &[f64]) -> bool {
        let Some(v) = &mut self.vacuum else { return false };
        let Some(more) = creep::ahead(shares, MOST_VAPOUR) else { return false };
        let chamber = &mut v.piston.chamber;
        let y = chamber.composition();
        let y = Composition { vapour: (y.vapour + more).clamp(0.0, MOST_VAPOUR), ..y };
        *chamber = Plenum::new(&self.gas, chamber.volume, chamber.pressure, chamber.temperature, y);
        true
    }

    /// The same for the temperature there, from its values [K].
    pub(super) fn help_heat_above_piston(&mut self, temperatures: &[f64]) -> bool {
        let Some(v) = &mut self.vacuum else { return false };
        let Some(warmer) = creep::ahead(temperatures, WARMEST - COLDEST) else { return false };
        let chamber = &mut v.piston.chamber;
        let warmer = (chamber.temperature + warmer).clamp(COLDEST, WARMEST) - chamber.temperature;
        chamber.heat_at_constant_pressure(&self.gas, warmer);
        true
    }

    /// Opens what the hand opens, to the present point: slide or butterfly.
    pub(super) fn open_throttle(&mut self) {
        let c = &self.machine.carburettor;
        match &mut self.vacuum {
            Some(v) => v.open(&c.pilot.bypass, &mut self.pilot, self.point.lift / c.slide.bore),
            None => {
                self.passage = Passage::new(c, self.point.lift);
                self.main.set_lift(self.point.lift);
            }
        }
    }

    /// What stands behind the slide, and the two sides of the butterfly.
    pub(super) fn behind_slide(&self) -> (Trace, Option<(Trace, Trace)>) {
        let manifold = self.downstream.trace(false);
        match &self.vacuum {
            Some(v) => (v.between.trace(false), Some((v.between.trace(true), manifold))),
            None => (manifold, None),
        }
    }

    /// Flow past the butterfly.
    pub(super) fn solve_plate(&mut self, sides: Option<&(Trace, Trace)>) -> Option<FaceFlow> {
        let (v, (up, down)) = (self.vacuum.as_mut()?, sides?);
        let f = restriction(&Side::Duct(*up), &Side::Duct(*down), v.throat, v.throat, v.trend.next());
        v.trend.push(f.start);
        self.sums.repairs += u64::from(f.clipped);
        self.sums.face_evaluations += u64::from(f.evaluations);
        Some(f)
    }

    /// Pressures at the pilot's openings, which stand at the butterfly.
    pub(super) fn look_around_plate(&mut self, plate: Option<&FaceFlow>) {
        let (Some(v), Some(f)) = (&self.vacuum, plate) else { return };
        let stream = Stream { p0: f.p0, rho0: f.rho0, gamma: f.gamma, mass_flow: f.mass_flow };
        let engine_side = if f.from_a { f.downstream } else { f.upstream };
        self.around.outlet = Outside { p: engine_side.p, rho: engine_side.rho };
        for (pair, area) in self.around.bypass.chunks_exact_mut(2).zip(&v.ahead) {
            let local = stream.at_area_near(*area, pair[0].rho);
            pair[0] = Outside { p: local.p, rho: local.rho };
            pair[1] = self.around.outlet;
        }
    }

    /// Moves the piston, with throat and needle; what it takes from the passage and gives to it joins `exchanges`. Throat and ring
    /// anew in every step cost less than 2 % of it, measured.
    pub(super) fn move_piston(&mut self, dt: f64, slide: &FaceFlow, exchanges: &mut Exchanges) {
        let Some(v) = &mut self.vacuum else { return };
        let local = self.at_nozzle;
        let (below, _) = self.air_side.at_jets();
        let last = self.upstream.cells() - 1;
        // The cells on either side of the piston: where the stream comes from, and where it goes.
        let before = (self.upstream.cell(last), self.upstream.composition(last));
        let behind = (v.between.cell(0), v.between.composition(0));
        let ((rho, u, p), y) = if slide.from_a { before } else { behind };
        let t = p / (rho * self.gas.r(y.burnt, y.vapour));
        let total_enthalpy = self.gas.enthalpy(t, y.burnt, y.vapour) + 0.5 * u * u;
        // Drops that reach the holes run back: the chamber takes gas alone.
        let gas_alone = Composition { liquid: 0.0, ..y };
        let at = Passing { below, under: local.p, rho: local.rho, composition: gas_alone, total_enthalpy };
        let (inside, warmth) = (v.piston.chamber.composition(), v.piston.chamber.temperature);
        let taken = v.piston.step(&v.part, &self.gas, dt, &at);
        let (up, down) = (&mut exchanges.up, &mut exchanges.between.0);
        let (source, target) = if slide.from_a { (up, down) } else { (down, up) };
        if taken >= 0.0 {
            source.gas_out += taken;
            source.liquid_in += taken * y.liquid;
        } else {
            let r = self.gas.r(inside.burnt, inside.vapour);
            target.put_gas(-taken, r, warmth, inside.burnt, inside.vapour);
        }
        let lift = v.piston.lift;
        self.passage = Passage::new(&self.machine.carburettor, lift);
        self.main.set_lift(lift);
    }

    /// Advances the passage between piston and butterfly; returns what enters the manifold, there or behind a slide.
    ///
    /// # Errors
    /// A cell left physical bounds.
    pub(super) fn advance_between(
        &mut self,
        dt: f64,
        plate: Option<(&FaceFlow, &(Trace, Trace))>,
        behind_slide: EndFlux,
        exchange: (Exchange, Exchange),
    ) -> Result<EndFlux, RigError> {
        let (Some(v), Some((f, (up, down)))) = (&mut self.vacuum, plate) else { return Ok(behind_slide) };
        let (sign, carried) = if f.from_a { (1.0, up.composition) } else { (-1.0, down.composition) };
        let far = EndFlux::of_face(f, f.from_a, up.area, sign, carried);
        let near = EndFlux::of_face(f, !f.from_a, down.area, sign, carried);
        let (phase, cycle) = (self.phase, self.cycles + 1);
        v.between
            .update(&self.gas, dt, (behind_slide, far), exchange)
            .map_err(|u| RigError::unphysical(super::machine_state::BETWEEN, u, phase, cycle))?;
        Ok(near)
    }
}
