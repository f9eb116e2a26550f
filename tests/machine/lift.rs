//! The valve's lift as measured points in the running machine.

use std::f64::consts::PI;

use bellmouth::hardware::poppet_valve::{LiftProfile, LiftTable};
use bellmouth::study::point::PointResult;

use crate::{close, cold, found, single};

#[test]
fn a_lift_by_points_fills_the_cylinder_as_the_lift_that_they_lie_on() {
    // Points every 4 degrees of the crank, as a patient person with a degree wheel takes them.
    let timed = single();
    let mut measured = timed.clone();
    for valve in [&mut measured.engine.inlet_valve, &mut measured.engine.exhaust_valve] {
        let (opens, closes) = (valve.lift.opening(), valve.lift.closing());
        let rows = ((closes - opens) / (4.0 * PI / 180.0)).round();
        let row = |i: u32| {
            let angle = opens + (closes - opens) * f64::from(i) / rows;
            (angle, valve.lift.lift(angle).max(0.0))
        };
        let mut points: Vec<(f64, f64)> = (0..=rows as u32).map(row).collect();
        points[0].1 = 0.0;
        points[rows as usize].1 = 0.0;
        valve.lift = LiftProfile::Points(LiftTable::new(points).unwrap());
    }
    let run = |m| {
        let mut rig = cold(m, 1.0, 5000.0);
        PointResult::of(m, 1.0, 5000.0, &rig.converge().unwrap())
    };
    let (a, b) = (run(&timed), run(&measured));
    found("filling and AFR by timing and by points", &format!("{:?} {:?} {:?} {:?}", a.ve, b.ve, a.afr, b.afr));
    close("filling", b.ve.unwrap(), a.ve.unwrap(), 2e-3);
    close("AFR", b.afr.unwrap(), a.afr.unwrap(), 3e-3);
}
