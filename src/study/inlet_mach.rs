//! The inlet valve as a limit of the engine's breathing.

use crate::hardware::engine::Engine;
use crate::hardware::poppet_valve::PoppetValve;
use crate::laws::valve_flow::discharge_curtain;

/// Index from which filling falls quickly [-]. JSME dictionary of engineering (0.5); NACA TN 915 and Taylor give 0.6,
/// from
/// memory.
pub const LIMIT: f64 = 0.5;
/// Places over the lift at which the coefficient is taken.
const PLACES: u32 = 200;

/// Mean flow coefficient of one valve over its lift, on the area of its head [-].
#[must_use]
pub fn mean_flow_coefficient(valve: &PoppetValve) -> f64 {
    let (from, to) = (valve.lift.opening(), valve.lift.closing());
    let at = |i: u32| {
        let lift = valve.lift.lift((from + (to - from) * (f64::from(i) + 0.5) / f64::from(PLACES)).rem_euclid(CYCLE));
        let over = lift / valve.head_diameter;
        4.0 * over * discharge_curtain(over) * valve.flow_factor
    };
    (0..PLACES).map(at).sum::<f64>() / f64::from(PLACES)
}

/// Crank angle of one cycle [rad].
const CYCLE: f64 = 4.0 * std::f64::consts::PI;

/// Mean inlet Mach index `Z = B^2 / (n Dv^2) S_p / (C_i a)` [-]: mean piston speed `S_p` brought to the flow area of
/// `n` valves
/// of the head diameter `Dv`, over the speed of sound `a` [m/s] of the free air. Livengood and Stanitz, NACA TN 915,
/// 1943.
#[must_use]
pub fn index(engine: &Engine, rpm: f64, sound: f64) -> f64 {
    let valve = &engine.inlet_valve;
    let heads = f64::from(valve.count) * valve.head_diameter * valve.head_diameter;
    let over = engine.crank.bore * engine.crank.bore / heads;
    over * engine.crank.mean_piston_speed(rpm) / (mean_flow_coefficient(valve) * sound)
}
