//! A transient: the throttle opened in a given time, with the film on the walls and the accelerator pump.
//!
//! A steady run has none of the three: there a film changes nothing in the mean and the pump's slide is at rest. In a
//! transient the film takes its share of the liquid that is metered, as it enters the air, and gives it back as liquid,
//! evenly along the wall of manifold and port. (Given back at the valve alone it waits there while the valve is shut,
//! and 4 % of the fuel goes through the overlap.) The pump's nozzle stands before the slide: the suction there is that
//! of the passage on the air side, and the squirt goes where the stream goes, at the needle all of its liquid onto the
//! wall. Film and pump stand inside the border of the books of mass.
//!
//! Not modelled: the air that a rising slide displaces, what the jet of fuel does to the air, the way from the nozzle
//! to the slide, squirt against a slide that is still low.

use super::books::Species;
use super::error::RigError;
use super::exchange::Exchanges;
use super::machine_state::Rig;
use super::record::CycleRecord;
use crate::gas::face::FaceFlow;
use crate::hardware::accelerator_pump::{AcceleratorPump, Aim};
use crate::hardware::machine::Machine;
use crate::laws::wall_film::{WallFilm, fitted, longer_when_cold};
use crate::metering::accelerator_pump::PumpMetering;

/// An even opening of the throttle; lifts as in an operating point [m].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Opening {
    /// Lift before.
    pub from: f64,
    /// Lift after.
    pub to: f64,
    /// Time it takes [s].
    pub time: f64,
}

impl Opening {
    /// Lift at `t` [s] after it began [m].
    #[must_use]
    pub fn lift(&self, t: f64) -> f64 {
        if t >= self.time { self.to } else { self.from + (self.to - self.from) * (t / self.time).max(0.0) }
    }
}

/// Where share and time of the film come from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FilmRule {
    /// Share, if it is given [-].
    pub share: Option<f64>,
    /// Time constant, if it is given [s].
    pub time: Option<f64>,
    /// Factor on the time of a warm engine [-].
    pub longer: f64,
    /// Share of the metered fuel that is liquid: the film cannot take more [-].
    pub liquid: f64,
}

impl FilmRule {
    /// The rule of a machine: what is given, else the published fit at the temperature of the port's wall.
    #[must_use]
    pub fn of(machine: &Machine, share: Option<f64>, time: Option<f64>) -> Self {
        let fuel = &machine.fuel;
        Self {
            share,
            time,
            longer: longer_when_cold(fuel.latent_heat / fuel.vapour_gas_constant, wall(machine)),
            liquid: 1.0 - machine.evaporated_fraction,
        }
    }

    /// Share and time at a mean pressure in the manifold [Pa] and a speed [rpm], and whether a limit of the published
    /// values, or of what is liquid, was met.
    #[must_use]
    pub fn at(&self, manifold: f64, rpm: f64) -> (WallFilm, bool) {
        let fit = fitted(manifold, rpm);
        let held = WallFilm { time: self.longer * fit.time, ..fit }.held(self.liquid);
        let share = self.share.map_or(held.film.share, |s| s.min(self.liquid));
        let time = self.time.unwrap_or(held.film.time);
        let met = (self.share.is_none() && held.share_held)
            || (self.time.is_none() && held.time_held)
            || self.share.is_some_and(|s| s > self.liquid);
        (WallFilm { share, time }, met)
    }
}

/// Temperature of the wall on which the film lies [K]: that of the port.
#[must_use]
pub fn wall(machine: &Machine) -> f64 {
    machine.engine.inlet.last().map_or(machine.air.temperature, |p| p.wall_temperature)
}

/// What film and pump did in one cycle. Masses in kg.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct TransientCycle {
    /// Fuel squirted.
    pub squirt: f64,
    /// Back to the bowl through the leak jet.
    pub leaked: f64,
    /// Drawn in by the pump from the bowl.
    pub drawn: f64,
    /// Displaced by the pump's rod.
    pub displaced: f64,
    /// Held back by the pump's springs.
    pub stored: f64,
    /// Landed on the walls.
    pub landed: f64,
    /// Left the walls.
    pub left: f64,
    /// Film at the end.
    pub film: f64,
    /// Share that landed [-].
    pub share: f64,
    /// Time constant [s].
    pub time: f64,
    /// Whether share or time met a limit.
    pub held: bool,
    /// Lift at the end, of what the hand opens [m].
    pub lift: f64,
}

/// Film, pump and opening of a running machine.
#[derive(Debug, Clone, PartialEq)]
pub struct Transient {
    opening: Opening,
    /// Time since the throttle began to open [s]; none before.
    clock: Option<f64>,
    rule: FilmRule,
    film: WallFilm,
    held: bool,
    /// Film on the walls [kg].
    pub mass: f64,
    /// Pump; none when there is none or it stays still.
    pub pump: Option<PumpMetering>,
    aim: Aim,
    sums: TransientCycle,
}

impl Transient {
    /// Fuel in film and pump, against a pump that is all the way back [kg].
    #[must_use]
    pub fn fuel(&self, density: f64) -> f64 {
        self.mass - density * self.pump.as_ref().map_or(0.0, PumpMetering::missing)
    }
}

/// Fuel that the circuits gave to the air in a cycle [kg].
#[must_use]
pub fn metered(record: &CycleRecord) -> f64 {
    record.main_out + record.pilot_out + record.starter_out
}

impl Rig {
    /// Wets the walls of a machine that has run steadily at the start of `opening`, whose last cycle is `record`: a
    /// film as large as that running keeps up. No pump yet.
    pub fn wet(&mut self, rule: FilmRule, opening: Opening, record: &CycleRecord) {
        let (film, held) = rule.at(record.manifold, self.point.rpm);
        self.transient = Some(Box::new(Transient {
            opening,
            clock: None,
            rule,
            film,
            held,
            mass: film.steady(metered(record) / record.time),
            pump: None,
            aim: Aim::Bore,
            sums: TransientCycle::default(),
        }));
    }

    /// Fits an accelerator pump to wetted walls, full and at rest at the present lift.
    pub fn fit_pump(&mut self, parts: &AcceleratorPump) {
        let (level, lift) = (self.machine.carburettor.bowl.level_below_bore, self.point.lift);
        if let Some(t) = &mut self.transient {
            t.pump = Some(PumpMetering::new(parts, level, &self.machine.fuel, lift));
            t.aim = parts.aim;
        }
    }

    /// The throttle begins to open.
    pub fn open_from_now(&mut self) {
        if let Some(t) = &mut self.transient {
            t.clock = Some(0.0);
        }
    }

    /// Sets the speed for the cycles to come [rpm].
    pub fn set_speed(&mut self, rpm: f64) {
        self.point.rpm = rpm;
    }

    /// One cycle of a transient; then the film's share and time follow the cycle's mean pressure and speed.
    ///
    /// # Errors
    /// As [`Rig::run_cycle`].
    pub fn run_transient_cycle(&mut self) -> Result<(CycleRecord, TransientCycle), RigError> {
        if let Some(t) = &mut self.transient {
            t.sums =
                TransientCycle { share: t.film.share, time: t.film.time, held: t.held, ..TransientCycle::default() };
        }
        let record = self.run_cycle(false)?;
        let (rpm, lift) = (self.point.rpm, self.point.lift);
        let Some(t) = &mut self.transient else { return Ok((record, TransientCycle::default())) };
        (t.film, t.held) = t.rule.at(record.manifold, rpm);
        let cycle = TransientCycle { film: t.mass, lift, ..t.sums };
        Ok((record, cycle))
    }

    /// Moves what the hand opens, in a transient.
    pub(super) fn move_throttle(&mut self, dt: f64) {
        let Some(t) = &mut self.transient else { return };
        let Some(clock) = &mut t.clock else { return };
        *clock += dt;
        let lift = t.opening.lift(*clock);
        if (lift - self.point.lift).abs() > 0.0 {
            self.point.lift = lift;
            self.open_throttle();
        }
    }

    /// The accelerator pump, in a transient: follows the slide, and its squirt joins what enters the air.
    pub(super) fn squirt(&mut self, dt: f64, slide: &FaceFlow, exchange: &mut Exchanges) {
        let Some(t) = &mut self.transient else { return };
        let Some(pump) = &mut t.pump else { return };
        let air_side = if slide.from_a { slide.upstream.p } else { slide.downstream.p };
        let suction = self.around.bowl.p - air_side;
        if pump.rests(self.point.lift, suction) {
            return;
        }
        let s = pump.step(dt, self.point.lift, suction);
        let density = self.machine.fuel.density;
        let [nozzle, leak, inlet] = [s.nozzle, s.leak, s.inlet].map(|v| density * v);
        self.books.enter(Species { fuel: inlet - leak, ..Species::default() });
        t.sums.squirt += nozzle;
        t.sums.leaked += leak;
        t.sums.drawn += inlet;
        t.sums.displaced += density * s.displaced;
        t.sums.stored += density * s.stored;
        if t.aim == Aim::Needle {
            // It spreads over slide and walls.
            t.sums.landed += nozzle;
            t.mass += nozzle;
            return;
        }
        let (duct, i, to) = match (slide.from_a, &self.vacuum) {
            (false, _) => (&self.upstream, self.upstream.cells() - 1, &mut exchange.up),
            (true, Some(v)) => (&v.between, 0, &mut exchange.between.0),
            (true, None) => (&self.downstream, 0, &mut exchange.down),
        };
        let ((rho, _, p), y) = (duct.cell(i), duct.composition(i));
        let temperature = p / (rho * self.gas.r(y.burnt, y.vapour));
        self.metered.put(&self.gas, nozzle, temperature, to);
    }

    /// The film, in a transient: takes its share of the liquid that enters the air; returns what leaves it [kg].
    pub(super) fn wet_walls(&mut self, dt: f64, exchange: &mut Exchanges) -> f64 {
        let Some(t) = &mut self.transient else { return 0.0 };
        let share = if t.rule.liquid > 0.0 { t.film.share / t.rule.liquid } else { 0.0 };
        let mut landed = 0.0;
        for x in [&mut exchange.up, &mut exchange.between.0, &mut exchange.between.1, &mut exchange.down] {
            let lands = share * x.liquid_in.max(0.0);
            x.liquid_in -= lands;
            landed += lands;
        }
        let left = t.film.leaves(t.mass, landed, dt);
        t.mass += landed - left;
        t.sums.landed += landed;
        t.sums.left += left;
        left
    }
}
