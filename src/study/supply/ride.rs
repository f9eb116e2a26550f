//! The bowl's level while the rider holds on, and while he eases off: one ODE.
//!
//! With `x` the fuel missing below the set level [m3]: `dx/dt = D(x/A) - S(x/A)`, `D` what the engine takes, `S` what runs in. Beside it the
//! sums of both, so that the books can be closed, and, for a cap vent that is slow, the depression `p` in the tank:
//! `dp/dt = (p0 / V) (S - Qair(p))`, the air isothermal. At the main jet's seat the engine takes no more than what runs in.

use nalgebra::SVector;
use serde::{Deserialize, Serialize};

use super::demand::Demand;
use super::network::Network;
use crate::cylinder::burn::IGNITABLE;
use crate::laws::jet::JetLaw;
use crate::numeric::ode::{Accuracy, OdeError, Solution, Status, integrate};
use crate::numeric::root;

/// Missing fuel [m3], out of the tank [m3], into the engine [m3], depression in the tank [Pa].
type State = SVector<f64, 4>;

/// Longest ride that is looked at [s].
pub const LONGEST: f64 = 3_600.0;
/// How long the rider holds on after the bowl has run dry before he eases off [s]. Common practice, no source.
const HOLDS_ON: f64 = 5.0;
/// Time constant of tank and vent from which the depression is a state of its own [s]; a quicker vent is a resistance.
const SLOW_VENT: f64 = 2.0;
/// Change of the level below which it counts as settled with a slow vent, over what the engine takes [-].
const SETTLED: f64 = 1e-5;
/// How near to where it settles the level is followed, over the way there [-]: closer it creeps, and a quick float makes the equation stiff.
const NEAR: f64 = 2e-3;
/// Share of the way back at which the bowl counts as recovered [-].
const RECOVERED: f64 = 0.9;

/// What happens in a stretch of the ride.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Phase {
    /// The rider holds his speed.
    Held,
    /// He still holds the grip, the bowl being dry or the engine silent.
    Dry,
    /// He has eased off.
    Eased,
}

/// How the held stretch ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Ending {
    /// The level settled: it can be held for ever.
    Settled,
    /// The fuel stood at the main jet's seat.
    RanDry,
    /// The charge burnt no longer before that.
    Silent,
    /// Neither within [`LONGEST`].
    TooLong,
}

/// One moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct TracePoint {
    /// Time [s].
    pub t: f64,
    /// What happens.
    pub phase: Phase,
    /// How far the fuel stands below the set level [m].
    pub fall: f64,
    /// Running in [m3/s].
    pub supply: f64,
    /// Taken by the engine [m3/s].
    pub engine: f64,
    /// Lambda [-]; none where nothing burns.
    pub lambda: Option<f64>,
    /// Depression in the tank [Pa], where it is a state.
    pub depression: f64,
}

/// The ride.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Ride {
    /// How the held stretch ended.
    pub ending: Ending,
    /// Time until the mixture leans out [s].
    pub leans_out_after: Option<f64>,
    /// Time until the bowl runs dry or the engine falls silent [s].
    pub stops_after: Option<f64>,
    /// Lambda with the bowl dry, the engine getting what runs in [-].
    pub dry_lambda: Option<f64>,
    /// Whether that burns.
    pub dry_burns: bool,
    /// Time from easing off until nine tenths of the way back [s]; none if it does not fill.
    pub recovers_after: Option<f64>,
    /// Where the level stands at the end of the held stretch [m below the set level].
    pub fall: f64,
    /// Level and flows against time.
    pub trace: Vec<TracePoint>,
    /// Fuel out of the tank [m3].
    pub tank_out: f64,
    /// Fuel into the engine [m3].
    pub engine_in: f64,
    /// Fuel missing below the set level at the end of all that [m3].
    pub missing: f64,
}

/// Everything that a ride needs.
#[derive(Debug, Clone)]
pub struct Rider<'a> {
    /// The way of the fuel with the vent in it.
    pub network: &'a Network,
    /// The same without the vent.
    pub open_cap: &'a Network,
    /// Law of the cap's hole, density and pressure of the air [Pa].
    pub vent: &'a JetLaw,
    /// Pressure of the free air [Pa].
    pub air_pressure: f64,
    /// Fuel in the tank above the needle's seat [m].
    pub head: f64,
    /// At the held point.
    pub held: &'a Demand,
    /// After easing off.
    pub eased: &'a Demand,
}

impl Rider<'_> {
    /// Whether the tank's depression is a state: `V / (p0 dQ/dp)` of the vent at the flow that the line passes.
    fn slow_vent(&self) -> bool {
        if self.network.line.measured_line.is_some() {
            return false;
        }
        let flow = self.open_cap.most(self.head);
        self.vent.slope(flow) * self.network.line.tank.air / self.air_pressure > SLOW_VENT
    }

    /// Missing fuel [m3] at which the needle passes what is asked; none if it never does, or with a slow vent.
    fn rest(&self, demand: &Demand, slow: bool) -> Option<f64> {
        let bowl = &self.network.line.bowl;
        let spare = |x: f64| {
            let y = State::new(x, 0.0, 0.0, 0.0);
            self.supply(&y, false) - demand.fuel(x / bowl.area)
        };
        root::find(spare, 0.0, bowl.usable, 1e-9 * bowl.usable).ok().map(|r| r.x).filter(|_| !slow)
    }

    /// Supply [m3/s] at a state.
    fn supply(&self, y: &State, slow: bool) -> f64 {
        let fall = (y[0] / self.network.line.bowl.area).max(0.0);
        if slow {
            self.open_cap.into_bowl((self.open_cap.drive(self.head) - y[3]).max(0.0), fall)
        } else {
            self.network.into_bowl(self.network.drive(self.head), fall)
        }
    }

    fn engine(&self, y: &State, phase: Phase, supply: f64) -> f64 {
        let fall = y[0] / self.network.line.bowl.area;
        match phase {
            Phase::Held => self.held.fuel(fall),
            Phase::Dry => self.held.fuel(fall).min(supply),
            Phase::Eased => self.eased.fuel(fall),
        }
    }

    fn slope(&self, y: &State, phase: Phase, slow: bool) -> State {
        let supply = self.supply(y, slow);
        let engine = self.engine(y, phase, supply);
        let missing = engine - supply;
        let line = &self.network.line;
        let air = if slow { self.air_pressure / line.tank.air * (supply - self.vent.flow(y[3])) } else { 0.0 };
        State::new(missing, supply, engine, air)
    }

    /// Integrates a stretch from `t0` to `t1` or until `event`.
    fn stretch(
        &self,
        (t0, t1): (f64, f64),
        y0: State,
        (phase, slow): (Phase, bool),
        event: impl Fn(&State) -> bool,
    ) -> Result<Solution<4>, OdeError> {
        let longest_step = (0.01 * (t1 - t0)).clamp(0.25, 2.0);
        let accuracy = Accuracy { relative: 1e-9, absolute: 1e-13, longest_step, steps: 400_000 };
        integrate(|_, y: &State| self.slope(y, phase, slow), t0, t1, y0, accuracy, |_, y| event(y))
    }

    /// Rides until the level settles, the bowl runs dry or the engine falls silent; then eases off.
    ///
    /// # Errors
    /// The integration broke down.
    pub fn ride(&self) -> Result<Ride, OdeError> {
        let bowl = &self.network.line.bowl;
        let slow = self.slow_vent();
        let silent = self.held.silent.map(|fall| fall * bowl.area).filter(|x| *x < bowl.usable);
        let end = silent.unwrap_or(bowl.usable);
        let rest = self.rest(self.held, slow);
        let settled = |y: &State| match rest {
            Some(x) => y[0] >= (1.0 - NEAR) * x,
            None if slow => {
                let slope = self.slope(y, Phase::Held, slow);
                slope[0].abs() < SETTLED * slope[2] && slope[3].abs() < 1e-3
            }
            None => false,
        };
        let held = self.stretch((0.0, LONGEST), State::zeros(), (Phase::Held, slow), |y| y[0] >= end || settled(y))?;
        let mut trace = Vec::new();
        let reached = self.crossing(&held, (Phase::Held, slow), end);
        let (ending, t, y) = match reached {
            Some((t, y)) => (if silent.is_some() { Ending::Silent } else { Ending::RanDry }, t, y),
            None => {
                let (t, y) = held.last().unwrap_or((0.0, State::zeros()));
                (if held.status == Status::Event { Ending::Settled } else { Ending::TooLong }, t, y)
            }
        };
        self.record(&mut trace, &held, (Phase::Held, slow), t);
        trace.push(self.moment(t, &y, (Phase::Held, slow)));
        let mut ride = Ride {
            ending,
            leans_out_after: self.leans_out(&held, slow, t),
            stops_after: None,
            dry_lambda: None,
            dry_burns: false,
            recovers_after: None,
            fall: rest.filter(|_| ending == Ending::Settled).unwrap_or(y[0]) / bowl.area,
            trace,
            tank_out: y[1],
            engine_in: y[2],
            missing: y[0],
        };
        if matches!(ending, Ending::RanDry | Ending::Silent) {
            ride.stops_after = Some(t);
            self.dry_and_recover(&mut ride, t, y, slow)?;
        }
        Ok(ride)
    }

    /// The bowl dry for a moment, then the rider eases off.
    fn dry_and_recover(&self, ride: &mut Ride, t: f64, mut y: State, slow: bool) -> Result<(), OdeError> {
        let bowl = self.network.line.bowl;
        let supply = self.supply(&y, slow);
        let fall = y[0] / bowl.area;
        if ride.ending == Ending::RanDry {
            let wanted = self.held.fuel(fall);
            ride.dry_lambda = self.held.lambda(fall).filter(|_| supply > 0.0).map(|l| l * (wanted / supply).max(1.0));
            ride.dry_burns = ride.dry_lambda.is_some_and(|l| l < IGNITABLE.1);
            let lean = ride.dry_lambda.is_none_or(|l| l > self.held.lean_limit());
            ride.leans_out_after = ride.leans_out_after.or(lean.then_some(t));
        }
        let dry = self.stretch((t, t + HOLDS_ON), y, (Phase::Dry, slow), |_| false)?;
        self.record(&mut ride.trace, &dry, (Phase::Dry, slow), f64::INFINITY);
        let mut now = t;
        if let Some((t, last)) = dry.last() {
            (now, y) = (t, last);
        }
        let (from, rest) = (y[0], self.rest(self.eased, slow));
        // slower than that it would take more than the longest ride
        let creeps = |y: &State| self.slope(y, Phase::Eased, slow)[0] > -bowl.usable / LONGEST;
        let back = |y: &State| rest.is_some_and(|x| y[0] - x <= NEAR * (from - x)) || creeps(y);
        let eased = self.stretch((now, now + LONGEST), y, (Phase::Eased, slow), |y| back(y))?;
        let (end, last) = eased.last().unwrap_or((now, y));
        if y[0] - last[0] > 0.05 * bowl.usable {
            let target = y[0] - RECOVERED * (y[0] - last[0]);
            let recovered = self.crossing(&eased, (Phase::Eased, slow), target).map(|c| c.0);
            ride.recovers_after = recovered.map(|r| r - now);
            let shown = recovered.map_or(end, |r| (now + 1.6 * (r - now)).min(end));
            self.record(&mut ride.trace, &eased, (Phase::Eased, slow), shown);
        }
        (ride.missing, ride.tank_out, ride.engine_in) = (last[0], last[1], last[2]);
        Ok(())
    }

    /// Time at which the mixture passes its lean limit within a held stretch that ends at `until`.
    fn leans_out(&self, held: &Solution<4>, slow: bool, until: f64) -> Option<f64> {
        let (bowl, limit) = (&self.network.line.bowl, self.held.lean_limit());
        let over = |fall: f64| self.held.lambda(fall).unwrap_or(0.0) - limit;
        let deepest = held.y.iter().map(|y| y[0] / bowl.area).fold(0.0, f64::max);
        if over(deepest) <= 0.0 {
            return None;
        }
        let fall = root::find(over, 0.0, deepest, 1e-7).ok()?.x;
        self.crossing(held, (Phase::Held, slow), fall * bowl.area).map(|c| c.0).filter(|t| *t <= until)
    }

    /// First crossing of the missing fuel through `target` [m3]: cubic Hermite between two steps.
    fn crossing(&self, s: &Solution<4>, (phase, slow): (Phase, bool), target: f64) -> Option<(f64, State)> {
        let k = (1..s.t.len()).find(|&k| (s.y[k - 1][0] - target) * (s.y[k][0] - target) <= 0.0)?;
        let (t0, t1, y0, y1) = (s.t[k - 1], s.t[k], s.y[k - 1], s.y[k]);
        let h = t1 - t0;
        let (m0, m1) = (self.slope(&y0, phase, slow) * h, self.slope(&y1, phase, slow) * h);
        let at = |u: f64| {
            let (a, b) = (u * u * (3.0 - 2.0 * u), u * (1.0 - u));
            y0 * (1.0 - a) + y1 * a + m0 * (b * (1.0 - u)) - m1 * (b * u)
        };
        let u = root::find(|u| at(u)[0] - target, 0.0, 1.0, 1e-12).ok()?.x;
        Some((t0 + u * h, at(u)))
    }

    fn moment(&self, t: f64, y: &State, (phase, slow): (Phase, bool)) -> TracePoint {
        let supply = self.supply(y, slow);
        let engine = self.engine(y, phase, supply);
        let fall = y[0] / self.network.line.bowl.area;
        let lambda = match phase {
            Phase::Held => self.held.lambda(fall),
            Phase::Eased => self.eased.lambda(fall),
            Phase::Dry => self.held.lambda(fall).map(|l| l * self.held.fuel(fall) / engine),
        };
        let lambda = lambda.filter(|l| *l < IGNITABLE.1);
        TracePoint { t, phase, fall, supply, engine, lambda, depression: y[3] }
    }

    fn record(&self, trace: &mut Vec<TracePoint>, s: &Solution<4>, at: (Phase, bool), until: f64) {
        let steps = s.t.iter().zip(&s.y).filter(|(t, _)| **t <= until);
        trace.extend(steps.map(|(t, y)| self.moment(*t, y, at)));
    }
}
