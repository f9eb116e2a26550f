//! One step of the whole machine, and one cycle of steps.
//!
//! The order of a step: half-time traces of both ducts; the four faces (mouth, slide, inlet valve, exhaust valve) from
//! those traces and from the vessels; the pressures at the circuits' openings from the slide's stream; the circuits; what
//! they put into the air and take from it; ducts; cylinder; what waits in front of the mouth; books.

use std::f64::consts::PI;

use super::books::{MassBooks, Species};
use super::error::RigError;
use super::intake;
use super::machine_state::{CYCLE_ANGLE, CYCLE_START, Rig};
use super::record::{CycleRecord, Sample};
use super::settings::MOST_STEPS_PER_CYCLE;
use crate::cylinder::charge::ValveFlow;
use crate::cylinder::combustion_chamber::CylinderBooks;
use crate::gas::exchange::{EndFlux, Exchange};
use crate::gas::face::{FaceFlow, mouth_area, restriction};
use crate::gas::trace::{Side, Trace};
use crate::hardware::poppet_valve::PoppetValve;
use crate::laws::stream::Stream;
use crate::laws::valve_flow::{discharge_curtain, discharge_curtain_exhaust};
use crate::media::composition::Composition;
use crate::metering::main_circuit::CircuitStep;
use crate::metering::surroundings::Outside;

/// The four faces of one step.
struct Faces {
    mouth: FaceFlow,
    slide: FaceFlow,
    inlet: FaceFlow,
    exhaust: FaceFlow,
}

/// Half-time traces at the four duct ends.
struct Traces {
    mouth: Trace,
    slide_up: Trace,
    slide_down: Trace,
    port: Trace,
}

/// Effective area of a valve or set of valves at crank angle `phase` [m2].
fn valve_area(valve: &PoppetValve, phase: f64, discharge: impl Fn(f64) -> f64) -> f64 {
    let lift = valve.lift.lift(if phase < 0.0 { phase + CYCLE_ANGLE } else { phase });
    if lift <= 0.0 {
        return 0.0;
    }
    let curtain = PI * valve.head_diameter * lift;
    let port = valve.geometric_area(f64::MAX);
    let one = (discharge(lift / valve.head_diameter) * curtain).min(port);
    f64::from(valve.count) * valve.flow_factor * one
}

impl Rig {
    /// Runs one whole cycle; with `sampled`, keeps a sample per step.
    ///
    /// # Errors
    /// The state left physical bounds, or the cycle takes too many steps.
    pub fn run_cycle(&mut self, sampled: bool) -> Result<CycleRecord, RigError> {
        let before = self.store();
        let energy_before = self.cylinder.charge.energy;
        self.books = MassBooks::default();
        self.cylinder.books = CylinderBooks::default();
        self.cylinder.peak_pressure = self.cylinder.charge.pressure;
        self.sums.samples = sampled.then(Vec::new);
        self.phase = CYCLE_START;
        let end = CYCLE_START + CYCLE_ANGLE;
        while self.phase < end {
            self.step(end)?;
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
        self.upstream.predict(dt);
        self.downstream.predict(dt);
        let traces = self.traces();
        let faces = self.solve_faces(&traces, 0.5 * (self.phase + next));
        let speed = self.look_around(&faces.slide);
        let main = self.main.step(dt, &self.around);
        let pilot = self.pilot.step(dt, &self.around);
        let exchange = self.exchange(dt, &faces.slide, &main, &pilot);
        self.advance_ducts(dt, &traces, &faces, exchange)?;
        self.advance_cylinder(dt, next, &traces, &faces)?;
        self.advance_cloud(dt, &traces, &faces.mouth);
        self.book_step(dt, 0.5 * (self.phase + next), &faces, (&main, &pilot), speed);
        self.pass_valve_events(next);
        self.phase = next;
        Ok(())
    }

    /// Step [s] and the crank angle it ends at.
    fn time_step(&self, end: f64) -> (f64, f64) {
        let omega = self.point.rpm * PI / 30.0;
        let of = |d: &crate::gas::duct_cells::DuctCells| d.cell_length() / d.fastest();
        let stable = self.settings.courant * of(&self.upstream).min(of(&self.downstream));
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

    fn traces(&self) -> Traces {
        Traces {
            mouth: self.upstream.trace(false),
            slide_up: self.upstream.trace(true),
            slide_down: self.downstream.trace(false),
            port: self.downstream.trace(true),
        }
    }

    fn solve_faces(&mut self, t: &Traces, phase: f64) -> Faces {
        let c = &self.machine.carburettor;
        let e = &self.machine.engine;
        let g = self.guesses;
        let free = Side::Vessel(self.mouth_vessel());
        let cylinder = Side::Vessel(self.cylinder_vessel());
        let exhaust = Side::Vessel(self.exhaust_vessel());
        let open = t.mouth.area;
        let throat = self.passage.throat;
        let inlet = valve_area(&e.inlet_valve, phase, discharge_curtain);
        let out = valve_area(&e.exhaust_valve, phase, discharge_curtain_exhaust);
        let faces = Faces {
            mouth: restriction(&free, &Side::Duct(t.mouth), mouth_area(open, c.mouth_loss), open, g.mouth.next()),
            slide: restriction(&Side::Duct(t.slide_up), &Side::Duct(t.slide_down), throat, throat, g.slide.next()),
            inlet: restriction(&Side::Duct(t.port), &cylinder, inlet, inlet, g.inlet.next()),
            exhaust: restriction(&cylinder, &exhaust, out, out, g.exhaust.next()),
        };
        self.guesses.mouth.push(faces.mouth.throat_mach_squared);
        self.guesses.slide.push(faces.slide.throat_mach_squared);
        self.guesses.inlet.push(faces.inlet.throat_mach_squared);
        self.guesses.exhaust.push(faces.exhaust.throat_mach_squared);
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
        let (nozzle, speed) = intake::nozzle(&stream, self.passage.nozzle, signal * self.passage.exposure);
        let engine_side = if slide.from_a { slide.downstream } else { slide.upstream };
        let behind = Outside { p: engine_side.p, rho: engine_side.rho };
        self.around.nozzle = nozzle;
        self.around.outlet = behind;
        for (o, area) in self.around.bypass.iter_mut().zip(&self.passage.bypass) {
            *o = match area {
                Some(area) => {
                    let local = stream.at_area(*area);
                    Outside { p: local.p, rho: local.rho }
                }
                None => behind,
            };
        }
        if slide.from_a { speed } else { -speed }
    }

    fn advance_ducts(
        &mut self,
        dt: f64,
        t: &Traces,
        f: &Faces,
        exchange: (Exchange, Exchange),
    ) -> Result<(), RigError> {
        let sign = |flow: &FaceFlow| if flow.from_a { 1.0 } else { -1.0 };
        // Composition drawn in at the mouth is settled with the cloud: it must match what the cloud gives.
        let drawn = if f.mouth.from_a { self.cloud.draw(f.mouth.mass_flow * dt) } else { (t.mouth.composition, 0.0) };
        self.books.enter(Species { air: drawn.1, ..Species::default() });
        let mouth = EndFlux::of_face(&f.mouth, !f.mouth.from_a, t.mouth.area, sign(&f.mouth), drawn.0);
        let carried = if f.slide.from_a { t.slide_up.composition } else { t.slide_down.composition };
        let s = sign(&f.slide);
        let slide_up = EndFlux::of_face(&f.slide, f.slide.from_a, t.slide_up.area, s, carried);
        let slide_down = EndFlux::of_face(&f.slide, !f.slide.from_a, t.slide_down.area, s, carried);
        let from = if f.inlet.from_a { t.port.composition } else { self.cylinder.charge.composition() };
        let port = EndFlux::of_face(&f.inlet, f.inlet.from_a, t.port.area, sign(&f.inlet), from);
        let none = Exchange::default();
        let place = |part: &'static str, u: crate::gas::duct_cells::Unphysical, phase: f64, cycle: u32| {
            RigError::Unphysical { part, x_mm: 1e3 * u.x, crank_deg: phase.to_degrees(), cycle, rho: u.rho, p: u.p }
        };
        let (phase, cycle) = (self.phase, self.cycles + 1);
        self.upstream
            .update(&self.gas, dt, (mouth, slide_up), (none, exchange.0))
            .map_err(|u| place("passage before the slide", u, phase, cycle))?;
        self.downstream
            .update(&self.gas, dt, (slide_down, port), (exchange.1, none))
            .map_err(|u| place("manifold and port", u, phase, cycle))
    }

    fn advance_cylinder(&mut self, dt: f64, next: f64, t: &Traces, f: &Faces) -> Result<(), RigError> {
        let charge = self.cylinder.charge;
        let y = charge.composition();
        let inside = self.gas.enthalpy(charge.temperature, y.burnt, y.vapour);
        let m = f.inlet.mass_flow * dt;
        let inlet = if f.inlet.from_a {
            let c = t.port.composition;
            let end = f.inlet.upstream;
            let temperature = end.p / (end.rho * self.gas.r(c.burnt, c.vapour));
            ValveFlow::new(m, c, self.gas.enthalpy(temperature, c.burnt, c.vapour) + 0.5 * end.u * end.u)
        } else {
            ValveFlow::new(-m, y, inside)
        };
        let m = f.exhaust.mass_flow * dt;
        let exhaust = if f.exhaust.from_a {
            ValveFlow::new(-m, y, inside)
        } else {
            let burnt = Composition { burnt: 1.0, ..Composition::default() };
            ValveFlow::new(m, burnt, self.gas.enthalpy(self.plenum.temperature, 1.0, 0.0))
        };
        self.tag_fresh(&inlet, &exhaust);
        self.books.enter(Species { air: exhaust.air(), burnt: exhaust.burnt, fuel: exhaust.vapour + exhaust.liquid });
        self.sums.inlet_air += inlet.air();
        let valves_shut = f.inlet.mass_flow <= 0.0 && f.exhaust.mass_flow <= 0.0;
        let burnt_before = self.cylinder.books;
        self.cylinder.step(&self.gas, dt, next, self.point.rpm, [inlet, exhaust], valves_shut);
        let b = self.cylinder.books;
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
            self.plenum.outflow.0 += m;
            self.plenum.outflow.1 += m * charge.temperature;
        }
        Ok(())
    }

    fn advance_cloud(&mut self, dt: f64, t: &Traces, mouth: &FaceFlow) {
        if mouth.from_a {
            return;
        }
        let y = t.mouth.composition;
        let end = mouth.upstream;
        let temperature = end.p / (end.rho * self.gas.r(y.burnt, y.vapour));
        let (fuel, lost) = self.cloud.add(mouth.mass_flow * dt, y, temperature, self.machine.standoff_loss);
        self.sums.standoff += fuel;
        self.sums.lost += lost;
        self.books.enter(Species { fuel: -lost, ..Species::default() });
    }

    fn book_step(&mut self, dt: f64, phase: f64, f: &Faces, circuits: (&CircuitStep, &CircuitStep), speed: f64) {
        let (main, pilot) = circuits;
        let s = &mut self.sums;
        s.time += dt;
        s.steps += 1;
        s.main += main.drawn;
        s.pilot += pilot.drawn;
        s.main_out += main.fuel;
        s.pilot_out += pilot.fuel + pilot.fuel_bypass;
        s.depression += dt * (self.around.free_air.p - self.around.nozzle.p);
        s.manifold += dt * self.around.outlet.p;
        s.peak_speed = s.peak_speed.max(speed.abs());
        s.fastest = s.fastest.max(self.upstream.fastest()).max(self.downstream.fastest());
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
            });
        }
    }
}
