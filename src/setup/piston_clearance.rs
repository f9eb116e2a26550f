//! Whether the valves clear the piston, as far as the file's geometry can tell.

use std::f64::consts::PI;

use super::ledger::Ledger;
use super::timing::Side;
use crate::diagnostics::{Place, Problem};
use crate::hardware::crank::Crank;
use crate::hardware::poppet_valve::PoppetValve;

/// Crank angle to either side of the gas-exchange top centre that is looked at [deg].
const REACH: i32 = 90;

/// Least room [m] between a valve and the piston about the gas-exchange top centre, and the crank angle there [rad]:
/// `V_c / A + travel - lift`, valve faces flush with a flat head, moving along the cylinder, the piston flat.
///
/// Not known: pockets in the piston, a dome, a roof or dish in the head, valves that stand at an angle.
fn least_room(crank: &Crank, valve: &PoppetValve) -> (f64, f64) {
    let height = crank.clearance_height();
    let room = |degrees: i32| {
        let theta = 2.0 * PI + f64::from(degrees).to_radians();
        (height + crank.travel(theta) - valve.lift.lift(theta), theta)
    };
    (-REACH..=REACH).map(room).fold((f64::INFINITY, 2.0 * PI), |a, b| if b.0 < a.0 { b } else { a })
}

/// Warns when a valve would reach below a flat piston; `place` is where its lift stands.
pub fn check(ledger: &mut Ledger, crank: &Crank, valve: &PoppetValve, side: Side, place: Option<Place>) {
    let (room, theta) = least_room(crank, valve);
    if !(room < 0.0 && room.is_finite()) {
        return;
    }
    let (lift, free) = (1e3 * valve.lift.lift(theta), 1e3 * (crank.clearance_height() + crank.travel(theta)));
    let degrees = (theta - 2.0 * PI).to_degrees().round();
    let at = match degrees {
        d if d < 0.0 => format!("{} deg before top centre", -d),
        d if d > 0.0 => format!("{d} deg after top centre"),
        _ => "top centre".to_owned(),
    };
    let name = if side == Side::Inlet { "inlet" } else { "exhaust" };
    ledger.note(
        Problem::warning(format!("the {name} valve would hit a flat piston"))
            .at(place, format!("lifts {lift:.1} mm at {at}, where a flat piston leaves {free:.1} mm"))
            .help(
                "a flat piston under a flat head is assumed; if yours has pockets for the valves all is well, else look at \
                 `compression`, lift and timing",
            ),
    );
}
