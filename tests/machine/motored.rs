//! The motored cylinder without heat loss against the isentrope of its gas.

use std::f64::consts::PI;

use bellmouth::cylinder::charge::ValveFlow;
use bellmouth::cylinder::combustion_chamber::Cylinder;
use bellmouth::media::gas::GasModel;
use bellmouth::numeric::root;
use bellmouth::rig::settings::Settings;

use crate::{found, single};

/// Pressure at top centre, over that of the isentrope, minus 1.
fn error(gas: &GasModel, steps: u32) -> f64 {
    let mut m = single();
    m.engine.walls.heat_factor = 0.0;
    let (p, t, rpm) = (101_325.0, 320.0, 3000.0);
    let mut c = Cylinder::new(&m.engine, &m.fuel, gas, p, t, -PI);
    let dt = PI / f64::from(steps) / (rpm * PI / 30.0);
    for k in 1..=steps {
        let theta = -PI + PI * f64::from(k) / f64::from(steps);
        c.step(gas, dt, theta, rpm, [ValveFlow::default(); 2], true);
    }
    // Isentrope: integral of cv dT/T = R ln(V1/V2), by Simpson's rule in ln T.
    let crank = m.engine.crank;
    let r = gas.r(0.0, 0.0);
    let ratio = crank.volume(-PI) / crank.volume(0.0);
    let entropy = |t2: f64| {
        let n = 200;
        let h = libm::log(t2 / t) / f64::from(n);
        let cv = |k: u32| gas.cp(t * libm::exp(f64::from(k) * h), 0.0, 0.0) - r;
        let inner: f64 = (1..n).map(|k| cv(k) * if k % 2 == 1 { 4.0 } else { 2.0 }).sum();
        h / 3.0 * (cv(0) + inner + cv(n)) - r * libm::log(ratio)
    };
    let t2 = root::find(entropy, 400.0, 1500.0, 1e-10).unwrap().x;
    let want = p * ratio * t2 / t;
    c.charge.pressure / want - 1.0
}

#[test]
fn motored_pressure_at_top_centre_is_that_of_the_isentrope() {
    // Exact. The mean pressure of a step makes the work second order: less than 4e-5 at the default step (0.6 degrees), a
    // quarter of it at half the step.
    let m = single();
    for (name, gas) in [("air", GasModel::new(&m.air, &m.fuel)), ("constant gamma", GasModel::constant(287.05, 1.4))] {
        let whole = (PI / Settings::default().largest_angle).round() as u32;
        let [a, b, c] = [whole, 2 * whole, 4 * whole].map(|steps| error(&gas, steps));
        found(
            "motored top centre against the isentrope (exact), error at the default step, a half and a quarter of it",
            &format!("{name} {a:.2e} {b:.2e} {c:.2e}"),
        );
        assert!(a.abs() < 4e-5, "{a:e}");
        for ratio in [a / b, b / c] {
            assert!((ratio - 4.0).abs() < 0.4, "{name}: the error falls {ratio} times at half the step");
        }
    }
}
