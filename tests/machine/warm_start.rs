//! Where a point starts from that has neighbours.

use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::study::point;

use crate::{FILES, coarse, found, machine};

const RPM: f64 = 4000.0;

/// Periodic states of the demo at `throttles`, each from the one before; the last one first.
fn chain(throttles: &[f64]) -> Vec<Rig> {
    let m = machine(FILES[2]);
    let mut states: Vec<Rig> = Vec::new();
    for throttle in throttles {
        let (result, state) = point::solve(&m, *throttle, RPM, states.first(), &coarse());
        assert!(result.converged, "{throttle}");
        states.insert(0, state.unwrap());
    }
    states
}

fn at(rig: &Rig, throttle: f64, rpm: f64) -> OperatingPoint {
    OperatingPoint { rpm, lift: throttle * rig.machine().carburettor.slide.bore }
}

// A parabola through three leaves the third difference; a neighbour as it is leaves the first.
#[test]
fn start_drawn_from_three_neighbours_is_far_nearer_than_the_nearest_of_them() {
    let states = chain(&[0.5, 0.4375, 0.375, 0.3125]);
    let (wanted, parents) = states.split_first().unwrap();
    let distance = |parents: &[Rig]| {
        let start = Rig::warm(parents, wanted.point()).unwrap();
        let [a, b] = [&start, wanted].map(|r| (r.cylinder.charge.air, r.main.chamber.liquid));
        (a.0 / b.0 - 1.0).abs().max((a.1 / b.1 - 1.0).abs())
    };
    let (drawn, nearest) = (distance(parents), distance(&parents[..1]));
    found("start from three neighbours against the nearest, distance to go", &format!("{drawn:.1e} for {nearest:.1e}"));
    assert!(drawn < 0.25 * nearest, "{drawn} {nearest}");
}

#[test]
fn where_nothing_can_be_drawn_on_the_nearest_neighbour_serves_as_it_is() {
    let states = chain(&[0.5, 0.4375]);
    let plain = |to: OperatingPoint| {
        let mut rig = states[0].clone();
        rig.set_point(to);
        rig
    };
    let near = at(&states[0], 0.375, RPM);
    assert!(Rig::warm(&states, near).unwrap() != plain(near), "two are drawn on");
    // one neighbour alone; two at the same lift; another speed; a point so far away that small errors grow large
    let (speed, far) = (at(&states[0], 0.375, RPM + 500.0), at(&states[0], 1e-4, RPM));
    let twice = [states[0].clone(), states[0].clone()];
    let close = {
        let mut beside = states[0].clone();
        beside.set_point(at(&states[0], 0.4374, RPM));
        [states[0].clone(), beside]
    };
    for (parents, to) in [(&states[..1], near), (&twice, near), (&states[..], speed), (&close, far)] {
        assert!(Rig::warm(parents, to).unwrap() == plain(to), "{to:?}");
    }
    assert!(Rig::warm(&[], near).is_none());
}
