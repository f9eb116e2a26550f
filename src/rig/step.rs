//! One step of the whole machine, and one cycle of steps.
//!
//! The order of a step: half-time traces of all ducts; the faces (mouth, slide, butterfly if there is one, inlet valve, exhaust
//! valve) from those traces and from the vessels; the pressures at the circuits' openings from the stream through the slide; the
//! circuits; what they put into the air and take from it; in a transient the pump's squirt and the film; a vacuum piston's motion; the
//! intake's ducts; air box and what waits in the free air; cylinder and exhaust, whose gas takes longer steps of its own while its valve
//! is shut; books.

use std::f64::consts::PI;

use super::books::{MassBooks, Species};
use super::error::RigError;
use super::exchange::Exchanges;
use super::intake;
use super::machine_state::{AIR_BOX, CYCLE_ANGLE, CYCLE_START, DOWNSTREAM, EXHAUST, Rig, UPSTREAM};
use super::record::{CycleRecord, OpeningSums, Sample};
use super::settings::MOST_STEPS_PER_CYCLE;
use crate::cylinder::charge::ValveFlow;
use crate::cylinder::combustion_chamber::CylinderBooks;
use crate::gas::exchange::{EndFlux, Exchange};
use crate::gas::face::{FaceFlow, loss_area, restriction};
use crate::gas::lone_duct::leaving_duct;
use crate::gas::plenum::Inflow;
use crate::gas::trace::{Side, Trace};
use crate::hardware::poppet_valve::PoppetValve;
use crate::laws::stream::Stream;
use crate::laws::valve_flow::{discharge_curtain, discharge_curtain_exhaust};
use crate::media::composition::Composition;
use crate::metering::main_circuit::CircuitStep;
use crate::metering::surroundings::Outside;

/// The faces of one step.
struct Faces {
    mouth: FaceFlow,
    slide: FaceFlow,
    plate: Option<FaceFlow>,
    inlet: FaceFlow,
    exhaust: FaceFlow,
}

/// Half-time traces at the ducts' ends and what the exhaust valve opens to.
struct Traces {
    mouth: Trace,
    slide_up: Trace,
    slide_down: Trace,
    /// Both sides of the butterfly behind a vacuum piston.
    plate: Option<(Trace, Trace)>,
    port: Trace,
    exhaust: Side,
}

/// Effective area of a valve or set of valves at crank angle `phase` [m2].
#[must_use]
pub fn valve_area(valve: &PoppetValve, phase: f64, discharge: impl Fn(f64) -> f64) -> f64 {
    let lift = valve.lift.lift(if phase < 0.0 { phase + CYCLE_ANGLE } else { phase });
    if lift <= 0.0 {
        return 0.0;
    }
    let curtain = PI * valve.head_diameter * lift;
    let port = valve.port_area();
    let one = (discharge(lift / valve.head_diameter) * curtain).min(port);
    f64::from(valve.count) * valve.flow_factor * one
}

impl Rig {
    /// Runs one whole cycle; with `sampled`, keeps a sample per step.
    ///
    /// # Errors
    /// The state left physical bounds, or the cycle takes too many steps.
    pub fn run_cycle(&mut self, sampled: bool) -> Result<CycleRecord, RigError> {
        self.run_cycle_with(sampled, |_| {})
    }

    /// The same, calling `after` when each step is done: to watch the gas, or to change it.
    ///
    /// # Errors
    /// As [`Self::run_cycle`].
    pub fn run_cycle_with(&mut self, sampled: bool, mut after: impl FnMut(&mut Self)) -> Result<CycleRecord, RigError> {
        let before = self.store();
        let energy_before = self.cylinder.charge.energy;
        self.books = MassBooks::default();
        self.cylinder.books = CylinderBooks::default();
        self.cylinder.peak_pressure = self.cylinder.charge.pressure;
        self.sums.samples = sampled.then(Vec::new);
        self.sums.pilot_openings = vec![OpeningSums::default(); 1 + self.machine.carburettor.pilot.bypass.len()];
        self.phase = CYCLE_START;
        let end = CYCLE_START + CYCLE_ANGLE;
        while self.phase < end {
            self.step(end)?;
            after(self);
            if self.sums.steps > MOST_STEPS_PER_CYCLE {
                return Err(RigError::TooManySteps {
                    cycle: self.cycles + 1,
                    rpm: self.point.rpm,
                    limit: MOST_STEPS_PER_CYCLE,
                });
            }
        }
        self.cycles += 1;
        Ok(self.close_cycle(before, energy_before))
    }

    fn step(&mut self, end: f64) -> Result<(), RigError> {
        let (dt, next) = self.time_step(end);
        self.move_throttle(dt);
        self.air_side.predict(dt);
        self.upstream.predict(dt);
        self.downstream.predict(dt);
        self.predict_exhaust(dt, next, end);
        if let Some(v) = &mut self.vacuum {
            v.between.predict(dt);
        }
        let traces = self.traces();
        let faces = self.solve_faces(&traces, 0.5 * (self.phase + next));
        let speed = self.look_around(&faces.slide);
        self.look_around_plate(faces.plate.as_ref());
        let main = self.main.step(dt, &self.around);
        let pilot = self.pilot.step(dt, &self.around);
        let starter = self.starter.as_mut().map(|s| s.step(dt, &self.around));
        let mut exchange = self.exchange(dt, (&faces.slide, faces.plate.as_ref()), &main, &pilot, starter.as_ref());
        self.squirt(dt, &faces.slide, &mut exchange);
        let leaves = self.wet_walls(dt, &mut exchange);
        self.move_piston(dt, &faces.slide, &mut exchange);
        self.advance_ducts(dt, &traces, &faces, exchange)?;
        self.downstream.add_liquid_along(leaves);
        self.advance_air_side(dt, &traces, &faces.mouth)?;
        self.advance_cylinder(dt, next, &traces, &faces)?;
        self.book_step(dt, 0.5 * (self.phase + next), &faces, (&main, &pilot, starter.as_ref()), speed);
        self.pass_valve_events(next);
        self.phase = next;
        Ok(())
    }

    /// Step [s] and the crank angle it ends at.
    fn time_step(&self, end: f64) -> (f64, f64) {
        let omega = self.point.rpm * PI / 30.0;
        let courant = self.settings.courant;
        let stable = courant * self.fold_ducts(f64::INFINITY, |t, d| t.min(d.crossing_time()));
        let stable = stable.min(self.exhaust_side.longest_step(courant));
        let angle = (omega * stable).min(self.settings.largest_angle);
        let left = end - self.phase;
        if left <= angle {
            (left / omega, end)
        } else if left <= 2.0 * angle {
            (0.5 * left / omega, self.phase + 0.5 * left)
        } else {
            (angle / omega, self.phase + angle)
        }
    }

    /// The exhaust's gas waits for a longer step of its own while its valve is shut in this step and the next, short of the cycle's end.
    fn predict_exhaust(&mut self, dt: f64, next: f64, end: f64) {
        let valve = &self.machine.engine.exhaust_valve;
        let open = |phase| valve_area(valve, phase, discharge_curtain_exhaust) > 0.0;
        let beyond = next + self.settings.largest_angle;
        let shut = beyond < end && !open(0.5 * (self.phase + next)) && !open(beyond);
        self.exhaust_side.predict(dt, shut, self.settings.courant);
    }

    fn traces(&self) -> Traces {
        let (slide_down, plate) = self.behind_slide();
        Traces {
            mouth: self.upstream.trace(false),
            slide_up: self.upstream.trace(true),
            slide_down,
            plate,
            port: self.downstream.trace(true),
            exhaust: self.exhaust_side.at_valve(&self.gas),
        }
    }

    fn solve_faces(&mut self, t: &Traces, phase: f64) -> Faces {
        let c = &self.machine.carburettor;
        let e = &self.machine.engine;
        let g = self.guesses;
        let outside = Side::Vessel(self.air_side.at_mouth(&self.gas, &self.machine.air));
        let cylinder = Side::Vessel(self.cylinder_vessel());
        let open = t.mouth.area;
        let throat = self.passage.throat;
        let inlet = valve_area(&e.inlet_valve, phase, discharge_curtain);
        let out = valve_area(&e.exhaust_valve, phase, discharge_curtain_exhaust);
        let faces = Faces {
            mouth: restriction(&outside, &Side::Duct(t.mouth), loss_area(open, c.mouth_loss), open, g.mouth.next()),
            slide: restriction(&Side::Duct(t.slide_up), &Side::Duct(t.slide_down), throat, throat, g.slide.next()),
            plate: self.solve_plate(t.plate.as_ref()),
            inlet: restriction(&Side::Duct(t.port), &cylinder, inlet, inlet, g.inlet.next()),
            exhaust: restriction(&cylinder, &t.exhaust, out, out, g.exhaust.next()),
        };
        self.guesses.mouth.push(faces.mouth.start);
        self.guesses.slide.push(faces.slide.start);
        self.guesses.inlet.push(faces.inlet.start);
        self.guesses.exhaust.push(faces.exhaust.start);
        for f in [&faces.mouth, &faces.slide, &faces.inlet, &faces.exhaust] {
            self.sums.repairs += u64::from(f.clipped);
            self.sums.face_evaluations += u64::from(f.evaluations);
        }
        faces
    }

    /// Pressures at the circuits' openings from the stream through the slide; returns the speed at the nozzle along +x.
    fn look_around(&mut self, slide: &FaceFlow) -> f64 {
        let stream = Stream {
            p0: slide.p0,
            rho0: slide.rho0,
            gamma: slide.gamma,
            mass_flow: self.passage.under * slide.mass_flow,
        };
        let n = &self.machine.carburettor.main.nozzle;
        let signal = if slide.from_a { n.signal_forward } else { n.signal_reverse };
        let local = stream.at_area_near(self.passage.nozzle, self.at_nozzle.rho);
        self.at_nozzle = local;
        let engine_side = if slide.from_a { slide.downstream } else { slide.upstream };
        let behind = Outside { p: engine_side.p, rho: engine_side.rho };
        let (p, rho) = self.air_side.at_jets();
        self.around.air_jets = Outside { p, rho };
        if self.machine.air_box.as_ref().is_some_and(|b| b.bowl_vented_inside) {
            self.around.bowl = self.around.air_jets;
        }
        self.around.nozzle = intake::nozzle(&local, signal * self.passage.exposure);
        self.around.outlet = behind;
        for (o, area) in self.around.bypass.iter_mut().zip(&self.passage.bypass) {
            *o = match area {
                Some(area) => {
                    let local = stream.at_area_near(*area, o.rho);
                    Outside { p: local.p, rho: local.rho }
                }
                None => behind,
            };
        }
        if slide.from_a { local.u } else { -local.u }
    }

    fn advance_ducts(&mut self, dt: f64, t: &Traces, f: &Faces, exchange: Exchanges) -> Result<(), RigError> {
        let sign = |flow: &FaceFlow| if flow.from_a { 1.0 } else { -1.0 };
        // Composition drawn in at the mouth must match what cloud or box gives.
        let drawn = match (&self.air_side.air_box, f.mouth.from_a) {
            (_, false) => t.mouth.composition,
            (Some(b), true) => b.plenum.composition(),
            (None, true) => {
                let (y, air) = self.air_side.cloud.draw(f.mouth.mass_flow * dt);
                self.books.enter(Species { air, ..Species::default() });
                y
            }
        };
        let mouth = EndFlux::of_face(&f.mouth, !f.mouth.from_a, t.mouth.area, sign(&f.mouth), drawn);
        let carried = if f.slide.from_a { t.slide_up.composition } else { t.slide_down.composition };
        let s = sign(&f.slide);
        let slide_up = EndFlux::of_face(&f.slide, f.slide.from_a, t.slide_up.area, s, carried);
        let slide_down = EndFlux::of_face(&f.slide, !f.slide.from_a, t.slide_down.area, s, carried);
        let plate = f.plate.as_ref().zip(t.plate.as_ref());
        let into_manifold = self.advance_between(dt, plate, slide_down, exchange.between)?;
        let from = if f.inlet.from_a { t.port.composition } else { self.cylinder.charge.composition() };
        let port = EndFlux::of_face(&f.inlet, f.inlet.from_a, t.port.area, sign(&f.inlet), from);
        let none = Exchange::default();
        let (phase, cycle) = (self.phase, self.cycles + 1);
        self.upstream
            .update(&self.gas, dt, (mouth, slide_up), (none, exchange.up))
            .map_err(|u| RigError::unphysical(UPSTREAM, u, phase, cycle))?;
        self.downstream
            .update(&self.gas, dt, (into_manifold, port), (exchange.down, none))
            .map_err(|u| RigError::unphysical(DOWNSTREAM, u, phase, cycle))
    }

    /// Air box and its inlet, and what was blown out into the free air.
    fn advance_air_side(&mut self, dt: f64, t: &Traces, mouth: &FaceFlow) -> Result<(), RigError> {
        let (m, y) = (mouth.mass_flow * dt, t.mouth.composition);
        if !mouth.from_a {
            self.sums.standoff += m * (y.vapour + y.liquid);
        }
        if let Some(b) = &mut self.air_side.air_box {
            b.at_mouth(&self.gas, &t.mouth, mouth, dt);
            let crossed = self
                .air_side
                .advance(&self.gas, &self.machine.air, dt)
                .map_err(|u| RigError::unphysical(AIR_BOX, u, self.phase, self.cycles + 1))?;
            self.books.enter(Species { air: crossed.air_in, ..Species::default() });
            let (mass, y, temperature) = crossed.out;
            if mass > 0.0 {
                self.blow_out(mass, y, temperature);
            }
        } else if !mouth.from_a {
            self.blow_out(m, y, mouth.upstream.temperature(&self.gas, y));
        }
        Ok(())
    }

    /// Gas blown out into the free air waits there; a share of its fuel is lost.
    fn blow_out(&mut self, mass: f64, y: Composition, temperature: f64) {
        let (_, lost) = self.air_side.cloud.add(mass, y, temperature, self.machine.standoff_loss);
        self.sums.lost += lost;
        self.books.enter(Species { fuel: -lost, ..Species::default() });
    }

    fn advance_cylinder(&mut self, dt: f64, next: f64, t: &Traces, f: &Faces) -> Result<(), RigError> {
        let charge = self.cylinder.charge;
        let y = charge.composition();
        let inside = charge.enthalpy(self.cylinder.volume);
        let m = f.inlet.mass_flow * dt;
        let inlet = if f.inlet.from_a {
            let from = leaving_duct(&self.gas, &t.port, &f.inlet, m);
            ValveFlow::new(m, from.composition, from.total_enthalpy)
        } else {
            ValveFlow::new(-m, y, inside)
        };
        let m = f.exhaust.mass_flow * dt;
        let out = if f.exhaust.from_a {
            Inflow { mass: m, composition: y, total_enthalpy: inside }
        } else {
            self.exhaust_side.coming_back(&self.gas, &t.exhaust, &f.exhaust, m)
        };
        let exhaust = ValveFlow::new(-out.mass, out.composition, out.total_enthalpy);
        let left = self
            .exhaust_side
            .advance(&self.gas, dt, &t.exhaust, &f.exhaust, out)
            .map_err(|u| RigError::unphysical(EXHAUST, u, self.phase, self.cycles + 1))?;
        let (mass, l) = (left.mass, left.composition);
        let fuel = -mass * (l.vapour + l.liquid);
        self.books.enter(Species { air: -mass * (1.0 - l.burnt - l.vapour), burnt: -mass * l.burnt, fuel });
        self.tag_fresh(&inlet, &exhaust);
        self.sums.inlet_air += inlet.air();
        self.sums.enthalpy += inlet.enthalpy.abs() + exhaust.enthalpy.abs();
        let valves_shut = f.inlet.mass_flow <= 0.0 && f.exhaust.mass_flow <= 0.0;
        let (burnt_before, volume) = (self.cylinder.books, self.cylinder.volume);
        self.cylinder.step(&self.gas, dt, next, self.point.rpm, [inlet, exhaust], valves_shut);
        let b = self.cylinder.books;
        self.book_loops(next, volume, charge.pressure, b.work - burnt_before.work);
        let (air, fuel) = (b.air_burnt - burnt_before.air_burnt, b.fuel_burnt - burnt_before.fuel_burnt);
        self.books.made = self.books.made.plus(Species { air: -air, burnt: air + fuel, fuel: -fuel });
        let c = &self.cylinder.charge;
        if !(c.pressure.is_finite() && c.temperature.is_finite() && c.pressure > 0.0) {
            return Err(RigError::Charge {
                crank_deg: next.to_degrees(),
                cycle: self.cycles + 1,
                p: c.pressure,
                t: c.temperature,
            });
        }
        if f.exhaust.from_a {
            self.exhaust_side.outflow.0 += m;
            self.exhaust_side.outflow.1 += m * charge.temperature;
        }
        Ok(())
    }

    fn book_step(
        &mut self,
        dt: f64,
        phase: f64,
        f: &Faces,
        circuits: (&CircuitStep, &CircuitStep, Option<&CircuitStep>),
        speed: f64,
    ) {
        let (main, pilot, starter) = circuits;
        let fastest = self.fold_ducts(self.sums.fastest, |a, d| a.max(d.fastest()));
        let s = &mut self.sums;
        s.time += dt;
        s.steps += 1;
        s.main += main.drawn;
        s.pilot += pilot.drawn;
        s.main_out += main.fuel;
        s.pilot_out += pilot.fuel + pilot.fuel_bypass;
        if let Some(starter) = starter {
            s.starter += starter.drawn;
            s.starter_out += starter.fuel;
        }
        s.depression += dt * (self.around.bowl.p - self.around.nozzle.p);
        s.manifold += dt * self.around.outlet.p;
        let lift = self.vacuum.as_ref().map_or(self.point.lift, |v| v.piston.lift);
        s.lift += dt * lift;
        s.peak_speed = s.peak_speed.max(speed.abs());
        s.fastest = fastest;
        // the first of the circuit's openings is its air jet
        for (sums, flow) in s.pilot_openings.iter_mut().zip(self.pilot.flows().iter().skip(1)) {
            sums.add(dt, *flow);
        }
        if let Some(samples) = &mut s.samples {
            let sign = if f.slide.from_a { 1.0 } else { -1.0 };
            samples.push(Sample {
                phase,
                dt,
                nozzle: self.around.nozzle.p,
                manifold: self.around.outlet.p,
                cylinder: self.cylinder.charge.pressure,
                slide: sign * f.slide.mass_flow,
                speed,
                main: main.fuel / dt,
                pilot: (pilot.fuel + pilot.fuel_bypass) / dt,
                volume: self.cylinder.volume,
                starter: starter.map_or(0.0, |x| x.fuel / dt),
                lift,
            });
        }
    }
}
