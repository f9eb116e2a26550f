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
use crate::cylinder::burn::Burn;
use crate::cylinder::charge::ValveFlow;
use crate::cylinder::combustion_chamber::CylinderBooks;
use crate::gas::exchange::{EndFlux, Exchange};
use crate::gas::face::{FaceFlow, mouth_area, restriction};
use crate::gas::trace::{Side, Trace};
use crate::hardware::poppet_valve::PoppetValve;
use crate::laws::nozzle::mass_flow;
use crate::laws::stream::Stream;
use crate::laws::valve_flow::{discharge_curtain, discharge_curtain_exhaust};
use crate::media::composition::Composition;
use crate::metering::main_circuit::CircuitStep;
use crate::metering::surroundings::Outside;

/// Discharge coefficient of a small air leak [-]. Common practice: 0.8.
const LEAK_DISCHARGE: f64 = 0.8;

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

    /// What the circuits and the leak put into the cells on both sides of the slide and take from them.
    fn exchange(&mut self, dt: f64, slide: &FaceFlow, main: &CircuitStep, pilot: &CircuitStep) -> (Exchange, Exchange) {
        let air = self.machine.air;
        let (up_cell, down_cell) = (self.upstream.cells() - 1, 0);
        let (y_up, y_down) = (self.upstream.composition(up_cell), self.downstream.composition(down_cell));
        let mut up = Exchange::default();
        let mut down = Exchange::default();
        let r_air = self.gas.r(0.0, 0.0);
        // Gas that passes through a circuit keeps its species; it is warmed or cooled to the free air's temperature.
        let mut passing = |out: f64, circuit_air: f64, taken: &[(f64, Composition)], to: &mut Exchange| {
            let total: f64 = circuit_air.max(0.0) + taken.iter().map(|x| x.0).sum::<f64>();
            let mut y = Composition::default();
            if total > 0.0 {
                for (m, c) in taken {
                    y.burnt += m * c.burnt / total;
                    y.vapour += m * c.vapour / total;
                    y.liquid += m * c.liquid;
                }
            }
            if out > 0.0 {
                to.put_gas(out, self.gas.r(y.burnt, y.vapour), air.temperature, y.burnt, y.vapour);
            }
            // What is blown out through the air jet leaves the machine.
            let jet = circuit_air.min(0.0);
            let from_free = circuit_air.max(0.0);
            self.books.enter(Species {
                air: from_free + jet * (1.0 - y.burnt - y.vapour),
                burnt: jet * y.burnt,
                fuel: jet * y.vapour,
            });
            y.liquid
        };
        let forward = slide.from_a;
        // Main nozzle: into the cell that the stream moves into, from the cell it comes from.
        let nozzle_in = (-main.gas).max(0.0);
        let source = if forward { y_up } else { y_down };
        {
            let to = if forward { &mut down } else { &mut up };
            let liquid = passing(main.gas.max(0.0), main.air, &[(nozzle_in, source)], to);
            self.main.chamber.liquid += liquid;
        }
        if forward {
            up.gas_out += nozzle_in
        } else {
            down.gas_out += nozzle_in
        }
        // Pilot: the outlet behind the slide, the by-pass holes with the stream.
        let outlet_in = (-pilot.gas).max(0.0);
        let taken = [(outlet_in, y_down), (pilot.bypass_in, source)];
        let mut pilot_gas = Exchange::default();
        let out = pilot.gas.max(0.0) + pilot.bypass_out;
        let liquid = passing(out, pilot.air, &taken, &mut pilot_gas);
        self.pilot.chamber.liquid += liquid;
        down.gas_out += outlet_in;
        if forward {
            up.gas_out += pilot.bypass_in
        } else {
            down.gas_out += pilot.bypass_in
        }
        let at_bypass = if out > 0.0 && !forward { pilot.bypass_out / out } else { 0.0 };
        for (share, to) in [(1.0 - at_bypass, &mut down), (at_bypass, &mut up)] {
            to.gas_in += share * pilot_gas.gas_in;
            to.gas_in_rt += share * pilot_gas.gas_in_rt;
            to.burnt_in += share * pilot_gas.burnt_in;
            to.vapour_in += share * pilot_gas.vapour_in;
        }
        // Fuel: part evaporates at once, is warmed to the cell's temperature and takes both heats from the gas.
        let temperature = |cell: (f64, f64, f64), y: Composition| cell.2 / (cell.0 * self.gas.r(y.burnt, y.vapour));
        let t_up = temperature(self.upstream.cell(up_cell), y_up);
        let t_down = temperature(self.downstream.cell(down_cell), y_down);
        let fuel = &self.machine.fuel;
        let vapour_heat = |t: f64| self.gas.enthalpy(t, 0.0, 1.0);
        let cold = vapour_heat(fuel.temperature);
        let put_fuel = |mass: f64, t: f64, to: &mut Exchange| {
            let vapour = self.machine.evaporated_fraction * mass;
            to.put_gas(vapour, fuel.vapour_gas_constant, t, 0.0, 1.0);
            to.heat -= vapour * (fuel.latent_heat + vapour_heat(t) - cold);
            to.liquid_in += mass - vapour;
        };
        put_fuel(pilot.fuel, t_down, &mut down);
        let with_stream = main.fuel + pilot.fuel_bypass;
        if forward {
            put_fuel(with_stream, t_down, &mut down)
        } else {
            put_fuel(with_stream, t_up, &mut up)
        }
        self.books.enter(Species { fuel: main.drawn + pilot.drawn, ..Species::default() });
        self.sums.repairs += u64::from(main.emptied) + u64::from(pilot.emptied);
        self.leak(dt, r_air, y_down, &mut down);
        (up, down)
    }

    /// A small hole behind the slide.
    fn leak(&mut self, dt: f64, r_air: f64, y: Composition, down: &mut Exchange) {
        let bore = self.machine.air_leak;
        if bore <= 0.0 {
            return;
        }
        let area = LEAK_DISCHARGE * 0.25 * PI * bore * bore;
        let air = self.machine.air;
        let (rho, _, p) = self.downstream.cell(0);
        let gamma = self.gas.gamma(air.temperature, 0.0, 0.0);
        if p < air.pressure {
            let m = dt * mass_flow(area, air.pressure, air.temperature, r_air, gamma, p);
            down.put_gas(m, r_air, air.temperature, 0.0, 0.0);
            self.books.enter(Species { air: m, ..Species::default() });
        } else {
            let t = p / (rho * self.gas.r(y.burnt, y.vapour));
            let r = self.gas.r(y.burnt, y.vapour);
            let m = dt * mass_flow(area, p, t, r, gamma, air.pressure);
            down.gas_out += m;
            let fuel = -m * (y.vapour + y.liquid);
            self.books.enter(Species { air: -m * (1.0 - y.burnt - y.vapour), burnt: -m * y.burnt, fuel });
        }
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

    /// Keeps count of what came through the inlet valve since it opened, net; what leaves through the exhaust valve takes
    /// the fresh share of the charge along.
    fn tag_fresh(&mut self, inlet: &ValveFlow, exhaust: &ValveFlow) {
        let c = &mut self.cylinder.charge;
        if exhaust.gas < 0.0 {
            let share = |fresh: f64, all: f64| if all > 0.0 { (fresh / all).clamp(0.0, 1.0) } else { 0.0 };
            c.fresh_air += exhaust.air() * share(c.fresh_air, c.air);
            c.fresh_fuel += (exhaust.vapour + exhaust.liquid) * share(c.fresh_fuel, c.vapour + c.liquid);
        }
        c.fresh_air += inlet.air();
        c.fresh_fuel += inlet.vapour + inlet.liquid;
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

    /// Inlet opens: fresh charge is counted from here. Inlet shuts: the charge is trapped and its burn decided. Exhaust opens:
    /// the outflow's mean temperature is taken anew.
    fn pass_valve_events(&mut self, next: f64) {
        let passes = |angle: f64| {
            let mut a = angle % CYCLE_ANGLE;
            while a < CYCLE_START {
                a += CYCLE_ANGLE;
            }
            while a >= CYCLE_START + CYCLE_ANGLE {
                a -= CYCLE_ANGLE;
            }
            a >= self.phase && a < next
        };
        let e = &self.machine.engine;
        let (opens, shuts) = (passes(e.inlet_valve.lift.opening()), passes(e.inlet_valve.lift.closing()));
        let (blows, closes) = (passes(e.exhaust_valve.lift.opening()), passes(e.exhaust_valve.lift.closing()));
        if opens {
            self.cylinder.charge.fresh_air = 0.0;
            self.cylinder.charge.fresh_fuel = 0.0;
        }
        if shuts {
            self.cylinder.trap();
            let c = self.cylinder.charge;
            let burn =
                Burn::plan(&e.combustion, (next, self.point.rpm), &c, self.dry, self.machine.fuel.stoichiometric);
            let t = &mut self.sums.trapped;
            t.fresh_dry_air = self.dry * c.fresh_air;
            t.fresh_fuel = c.fresh_fuel;
            t.burnt = c.burnt;
            t.gas = c.gas();
            t.fired = burn.fired;
            t.lambda = burn.lambda;
            self.cylinder.burn = burn;
        }
        if blows {
            self.plenum.outflow = (0.0, 0.0);
        }
        if closes && self.plenum.outflow.0 > 0.0 {
            self.plenum.temperature = self.plenum.outflow.1 / self.plenum.outflow.0;
        }
    }
}
