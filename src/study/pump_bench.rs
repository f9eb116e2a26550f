//! The accelerator pump on the bench: engine off, the throttle twisted open evenly in a given time.

use serde::Serialize;

use crate::hardware::machine::Machine;
use crate::metering::accelerator_pump::PumpMetering;

/// Twist [s] that a mechanic's ten strokes into a measuring glass take each. Common practice, no source.
pub const QUICK: f64 = 0.2;
/// Steps of a twist, at least.
const STEPS_OF_A_TWIST: f64 = 400.0;
/// Longest step [s].
const LONGEST_STEP: f64 = 1e-3;
/// Time after the twist when it is given up [s].
const PATIENCE: f64 = 20.0;
/// Share of the stroke that may be left when a squirt counts as spent [-].
const REST: f64 = 1e-9;
/// Share of the highest flow that counts as a squirt [-].
const SEEN: f64 = 0.01;

/// What one opening of the throttle gives.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Squirt {
    /// Time of the twist, shut to open [s].
    pub twist: f64,
    /// Squirted [m3].
    pub volume: f64,
    /// Gone back through the leak jet [m3].
    pub leaked: f64,
    /// Displaced by the rod [m3].
    pub displaced: f64,
    /// Highest flow of the nozzle [m3/s].
    pub highest_flow: f64,
    /// From the first to the last moment above a hundredth of the highest flow [s].
    pub duration: f64,
    /// From the start of the twist to the first of them [s].
    pub begins: f64,
}

impl Squirt {
    /// Share of what the rod displaced that the leak jet swallowed [-].
    #[must_use]
    pub fn swallowed(&self) -> f64 {
        if self.displaced > 0.0 { self.leaked / self.displaced } else { 0.0 }
    }
}

/// The pump's bench sheet.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PumpSheet {
    /// Fuel of ten quick strokes [m3].
    pub ten_strokes: f64,
    /// Suction at the nozzle above which fuel is drawn with the slide at rest [Pa].
    pub siphons_above: f64,
    /// One squirt for each time of the twist; the quick one comes first.
    pub squirts: Vec<Squirt>,
}

/// One even twist from shut to open in `twist` [s]; none without a pump.
#[must_use]
pub fn squirt(machine: &Machine, twist: f64) -> Option<Squirt> {
    let c = &machine.carburettor;
    let parts = c.pump.as_ref()?;
    let mut pump = PumpMetering::new(parts, c.bowl.level_below_bore, &machine.fuel, 0.0);
    let dt = LONGEST_STEP.min(twist / STEPS_OF_A_TWIST);
    let (mut volume, mut leaked, mut displaced) = (0.0, 0.0, 0.0);
    let mut flow = Vec::new();
    for i in 1.. {
        let t = dt * f64::from(i);
        let opened = (t / twist).min(1.0);
        let s = pump.step(dt, opened * c.slide.bore, 0.0);
        volume += s.nozzle;
        leaked += s.leak;
        displaced += s.displaced;
        flow.push(s.nozzle / dt);
        let rest = REST * parts.stroke_volume();
        let spent = parts.area() * pump.compression <= rest && s.nozzle <= rest;
        if opened >= 1.0 && (spent || t > twist + PATIENCE) {
            break;
        }
    }
    let highest_flow = flow.iter().fold(0.0, |a: f64, b| a.max(*b));
    let seen = |q: &f64| *q > SEEN * highest_flow;
    let (first, last) = (flow.iter().position(seen), flow.iter().rposition(seen));
    let steps = |n: usize| dt * n as f64;
    let (begins, duration) = match (first, last) {
        (Some(a), Some(b)) => (steps(a), steps(b + 1 - a)),
        _ => (0.0, 0.0),
    };
    Some(Squirt { twist, volume, leaked, displaced, highest_flow, duration, begins })
}

/// The sheet of the machine's pump; none without one.
#[must_use]
pub fn sheet(machine: &Machine) -> Option<PumpSheet> {
    let c = &machine.carburettor;
    let parts = c.pump.as_ref()?;
    let siphons_above = PumpMetering::new(parts, c.bowl.level_below_bore, &machine.fuel, 0.0).siphons_above();
    let squirts: Vec<Squirt> = [QUICK, 1.0, 3.0].into_iter().filter_map(|twist| squirt(machine, twist)).collect();
    let ten_strokes = squirts.first().map_or(0.0, |s| 10.0 * s.volume);
    Some(PumpSheet { ten_strokes, siphons_above, squirts })
}
