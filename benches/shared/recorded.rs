//! One cycle of the running machine, kept step by step, so that its parts can be run again by themselves.
//!
//! The problems of the faces are those that the machine is about to solve after each step: half-time traces of its ducts, its
//! cylinder, the areas in the middle of the coming step, whose length is taken from the last one.

use bellmouth::cylinder::charge::ValveFlow;
use bellmouth::cylinder::combustion_chamber::Cylinder;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::face::{FaceFlow, Trend, loss_area, restriction};
use bellmouth::gas::lone_duct::leaving_duct;
use bellmouth::gas::plenum::Inflow;
use bellmouth::gas::trace::{Side, Trace};
use bellmouth::laws::valve_flow::{discharge_curtain, discharge_curtain_exhaust};
use bellmouth::media::gas::GasModel;
use bellmouth::metering::surroundings::Surroundings;
use bellmouth::rig::intake::Passage;
use bellmouth::rig::machine_state::Rig;
use bellmouth::rig::record::CycleRecord;
use bellmouth::rig::step::valve_area;

/// One face of one step.
#[derive(Debug, Clone, Copy)]
pub struct Problem {
    a: Side,
    b: Side,
    /// Effective throat from `a` to `b` and back [m2].
    area: (f64, f64),
}

impl Problem {
    /// Whether anything can pass.
    pub fn is_open(&self) -> bool {
        self.area.0 > 0.0 || self.area.1 > 0.0
    }

    fn solve(&self, guess: f64) -> FaceFlow {
        restriction(&self.a, &self.b, self.area.0, self.area.1, guess)
    }
}

/// Solves `problems` one after the other as the machine does, each from where the last two point; returns the evaluations of the residual.
pub fn solve_again(problems: &[Problem]) -> u64 {
    let mut trend = Trend::default();
    let mut evaluations = 0;
    for problem in problems {
        let flow = problem.solve(trend.next());
        trend.push(flow.start);
        evaluations += u64::from(flow.evaluations);
    }
    evaluations
}

/// What the cylinder did in a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stroke {
    /// A valve passes gas.
    GasExchange,
    /// Both shut, the burn under way or done.
    Burning,
    /// Both shut, before the burn.
    Compression,
}

/// One step of the cylinder: its state before, and what the step is called with.
#[derive(Debug, Clone)]
pub struct CylinderStep {
    pub before: Cylinder,
    pub dt: f64,
    pub theta: f64,
    pub valves: [ValveFlow; 2],
    pub stroke: Stroke,
}

/// A recorded cycle.
pub struct Recorded {
    /// The machine before it.
    pub before: Rig,
    pub gas: GasModel,
    pub record: CycleRecord,
    /// Each face's problems: mouth, slide, inlet valve, exhaust valve.
    pub faces: [Vec<Problem>; 4],
    /// Step [s] and what the circuits met in it.
    pub around: Vec<(f64, Surroundings)>,
    pub cylinder: Vec<CylinderStep>,
}

/// The faces of [`Recorded::faces`].
pub const FACES: [&str; 4] = ["mouth (open end)", "slide", "inlet valve", "exhaust valve"];

impl Recorded {
    /// Runs and keeps one cycle of `rig`, a machine with an exhaust duct and neither an air box nor a vacuum piston.
    pub fn cycle(rig: &mut Rig) -> Self {
        let gas = GasModel::new(&rig.machine().air, &rig.machine().fuel);
        let before = rig.clone();
        let mut faces: [Vec<Problem>; 4] = Default::default();
        let (mut around, mut cylinder) = (Vec::new(), Vec::new());
        let omega = rig.point().rpm * std::f64::consts::PI / 30.0;
        let throat = Passage::new(&rig.machine().carburettor, rig.point().lift).throat;
        let mut phase = before.phase();
        let record = rig.run_cycle_with(false, |rig| {
            // The clock of the first step starts where the cycle does.
            let last = if rig.phase() > phase { phase } else { bellmouth::rig::machine_state::CYCLE_START };
            let dt = (rig.phase() - last) / omega;
            phase = rig.phase();
            around.push((dt, rig.surroundings().clone()));
            let problems = coming(rig, &gas, dt, phase + 0.5 * omega * dt, throat);
            cylinder.push(cylinder_step(rig, &gas, dt, phase + omega * dt, &problems));
            faces.iter_mut().zip(problems).for_each(|(face, problem)| face.push(problem));
        });
        Self { before, gas, record: record.unwrap_or_else(|e| panic!("{e}")), faces, around, cylinder }
    }

    /// Evaluations of all four faces' residuals, solved again.
    pub fn evaluations(&self) -> u64 {
        self.faces.iter().map(|face| solve_again(face)).sum()
    }
}

/// The faces of the step that comes, `phase` in its middle.
fn coming(rig: &Rig, gas: &GasModel, dt: f64, phase: f64, throat: f64) -> [Problem; 4] {
    let half_time = |duct: &DuctCells| {
        let mut duct = duct.clone();
        duct.predict(dt);
        duct
    };
    let (up, down) = (half_time(&rig.upstream), half_time(&rig.downstream));
    let exhaust = half_time(rig.exhaust_side.duct.as_ref().expect("the demo has an exhaust duct"));
    let (m, e) = (rig.machine(), &rig.machine().engine);
    let (outside, cylinder) = (rig.air_side.at_mouth(gas, &m.air), rig.cylinder_vessel());
    let mouth = up.trace(false);
    let inlet = valve_area(&e.inlet_valve, phase, discharge_curtain);
    let out = valve_area(&e.exhaust_valve, phase, discharge_curtain_exhaust);
    let duct = Side::Duct;
    [
        Problem {
            a: Side::Vessel(outside),
            b: duct(mouth),
            area: (loss_area(mouth.area, m.carburettor.mouth_loss), mouth.area),
        },
        Problem { a: duct(up.trace(true)), b: duct(down.trace(false)), area: (throat, throat) },
        Problem { a: duct(down.trace(true)), b: Side::Vessel(cylinder), area: (inlet, inlet) },
        Problem { a: Side::Vessel(cylinder), b: duct(exhaust.trace(false)), area: (out, out) },
    ]
}

/// The cylinder's part of the step that comes and ends at crank angle `theta`.
fn cylinder_step(rig: &Rig, gas: &GasModel, dt: f64, theta: f64, problems: &[Problem; 4]) -> CylinderStep {
    let [_, _, inlet, exhaust] = problems;
    let charge = &rig.cylinder.charge;
    let inside = charge.enthalpy(rig.cylinder.volume);
    let from_cylinder = |mass| Inflow { mass, composition: charge.composition(), total_enthalpy: inside };
    let trace = |side: &Side| -> Trace {
        match side {
            Side::Duct(t) => *t,
            Side::Vessel(_) => unreachable!("both valves of the demo open into a duct"),
        }
    };
    let flow = |problem: &Problem, duct: &Side, duct_is_a: bool| -> Inflow {
        let f = problem.solve(0.0);
        let m = f.mass_flow * dt;
        if f.from_a == duct_is_a { leaving_duct(gas, &trace(duct), &f, m) } else { from_cylinder(-m) }
    };
    let flows = [flow(inlet, &inlet.a, true), flow(exhaust, &exhaust.b, false)];
    let shut = !(inlet.is_open() || exhaust.is_open());
    let stroke = match (shut, rig.cylinder.burn.under_way(theta)) {
        (false, _) => Stroke::GasExchange,
        (true, true) => Stroke::Burning,
        (true, false) => Stroke::Compression,
    };
    let valves = flows.map(|f| ValveFlow::new(f.mass, f.composition, f.total_enthalpy));
    CylinderStep { before: rig.cylinder.clone(), dt, theta, valves, stroke }
}
