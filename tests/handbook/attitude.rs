use bellmouth::hardware::attitude::{Attitude, Place};
use bellmouth::media::atmosphere::G0;
use bellmouth::metering::column::Column;

use super::{close, near, source};

const NOZZLE: Place = Place { forward: 20e-3, right: 0.0 };
const RISE: f64 = 16e-3;

#[test]
fn nozzle_20_mm_off_the_float_s_axis_has_the_worked_heads() {
    source(
        "free surface across apparent gravity: 10, 20, 30 deg 3.5, 7.3, 11.5 mm; 0.3, 0.5, 1 g 6, 10, 20 mm: computed",
    );
    for (tilt, want) in [(10.0_f64, 3.5e-3), (20.0, 7.3e-3), (30.0, 11.5e-3)] {
        let up = Attitude { tilt: tilt.to_radians(), ..Attitude::default() }.standing(NOZZLE, RISE);
        near(up.lift - RISE, want, 0.05e-3);
        let down = Attitude { tilt: -tilt.to_radians(), ..Attitude::default() }.standing(NOZZLE, RISE);
        near(down.lift - RISE, -(up.lift - RISE), 1e-12);
        close(up.gravity, G0 * tilt.to_radians().cos(), 1e-12);
    }
    for (gs, want, pressure) in [(0.3, 6e-3, 44.0), (0.5, 10e-3, 73.0), (1.0, 20e-3, 145.0)] {
        let a = Attitude { acceleration: gs * G0, ..Attitude::default() }.standing(NOZZLE, RISE);
        close(a.lift - RISE, want, 1e-9);
        near(740.0 * a.gravity * (a.lift - RISE), pressure, 0.6);
    }
}

#[test]
fn lip_needs_the_worked_suction_and_air_speed_before_fuel_flows() {
    source(
        "rho g z and sqrt(2 rho_f g z/rho_a), petrol 740, air 1.2: 2 to 10 mm 14.5 to 72.6 Pa, 4.92 to 11.00 m/s: computed",
    );
    let worked = [(2.0, 14.5, 4.92), (3.0, 21.8, 6.02), (5.0, 36.3, 7.78), (8.0, 58.1, 9.84), (10.0, 72.6, 11.0)];
    for (lip, suction, speed) in worked {
        let mut column = Column::full(1e-5, 40e-3, 1e-3 * lip, 740.0);
        near(column.head(), suction, 0.051);
        near((2.0 * column.head() / 1.2_f64).sqrt(), speed, 0.005);
        // A bowl 20 mm behind the nozzle, speeding up at half a g: 10 mm more.
        let a = Attitude { acceleration: 0.5 * G0, ..Attitude::default() }.standing(NOZZLE, column.lift);
        (column.lift, column.gravity) = (a.lift, a.gravity);
        near(column.head(), suction + 72.6, 0.1);
    }
}

#[test]
fn a_balanced_turn_pulls_nothing_sideways() {
    source("c = g tan b, apparent gravity g / cos b along the machine: any text on mechanics");
    for lean in [10.0_f64, 30.0, 45.0] {
        let lean = lean.to_radians();
        let turn = Attitude { lean, cornering: G0 * lean.tan(), ..Attitude::default() };
        let [forward, right, down] = turn.apparent_gravity();
        near(forward, 0.0, 1e-12);
        near(right, 0.0, 1e-12);
        close(down, G0 / lean.cos(), 1e-12);
        near(turn.standing(Place { forward: 0.0, right: 50e-3 }, RISE).lift, RISE, 1e-12);
    }
}

/// A vector of the ground's frame: ahead, right, up.
type Vector = [f64; 3];

fn sum(parts: &[(f64, Vector)]) -> Vector {
    [0, 1, 2].map(|i| parts.iter().map(|(k, v)| k * v[i]).sum())
}

#[test]
fn pressure_to_lift_fuel_is_that_of_the_plane_in_the_ground_s_frame() {
    source(
        "fluid at rest in an accelerated frame, grad p = rho (g - a): any text on fluid mechanics; axes turned by hand",
    );
    let rho = 740.0;
    for (tilt, lean, a, c) in
        [(0.2, 0.0, 3.0, 0.0), (-0.3, 0.4, -5.0, 4.0), (0.1, -0.7, 1.0, -6.0), (0.5, 0.2, 2.0, 9.0)]
    {
        let (t, b): (f64, f64) = (tilt, lean);
        let ahead = [t.cos(), 0.0, t.sin()];
        let normal = [-t.sin(), 0.0, t.cos()];
        let across = [0.0, 1.0, 0.0];
        let right = sum(&[(b.cos(), across), (-b.sin(), normal)]);
        let up = sum(&[(b.sin(), across), (b.cos(), normal)]);
        let apparent = sum(&[(1.0, [0.0, 0.0, -G0]), (-a, ahead), (-c, across)]);
        let place = Place { forward: 17e-3, right: -11e-3 };
        let outlet = sum(&[(place.forward, ahead), (place.right, right), (RISE, up)]);
        let want: f64 = -rho * (0..3).map(|i| apparent[i] * outlet[i]).sum::<f64>();
        let attitude = Attitude { tilt: t, acceleration: a, lean: b, cornering: c, ..Attitude::default() };
        let s = attitude.standing(place, RISE);
        close(rho * s.gravity * s.lift, want, 1e-12);
    }
}
