//! A vessel that empties through an orifice into free air, choked at first.
//!
//! Against the closed form while choked, `p/p_s = (1 + (g-1)/2 t/tau)^(-2g/(g-1))`, and its integrated continuation after it
//! (`exact::blow_down`). 1 L of air at 5 bar and 600 K, orifice of 20 mm2, free air at 1 bar, a fixed step.

use bellmouth::exact::blow_down::BlowDown;
use bellmouth::gas::face::{Trend, restriction};
use bellmouth::gas::plenum::Plenum;
use bellmouth::gas::trace::{Side, Vessel};
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

use super::found;

const EXACT: BlowDown = BlowDown {
    volume: 1e-3,
    effective_area: 20e-6,
    r: 287.05,
    gamma: 1.4,
    pressure: 5e5,
    temperature: 600.0,
    outside: 1e5,
};

/// Largest relative error of pressure and of temperature while choked and after it, at `steps` steps to `end` [s]. The orifice sees
/// the vessel at the start of each step, or half a step ahead.
fn errors(steps: u32, end: f64, ahead: bool) -> [f64; 4] {
    let gas = GasModel::constant(EXACT.r, EXACT.gamma);
    let y = Composition::default();
    let mut vessel = Plenum::new(&gas, EXACT.volume, EXACT.pressure, EXACT.temperature, y);
    let free = Side::Vessel(Vessel::new(&gas, EXACT.outside, 300.0, y));
    let dt = end / f64::from(steps);
    let choked_until = EXACT.choked_until().unwrap();
    let mut trend = Trend::default();
    let mut worst = [0.0_f64; 4];
    for k in 1..=steps {
        let inside = Side::Vessel(if ahead { vessel.vessel_at_half_time(&gas) } else { vessel.vessel(&gas) });
        let f = restriction(&inside, &free, EXACT.effective_area, EXACT.effective_area, trend.next());
        trend.push(f.start);
        assert!(f.from_a);
        let out = vessel.leaving_through(&gas, &f, dt);
        vessel.step(&gas, &[out]);
        if k % (steps / 50) == 0 {
            let t = dt * f64::from(k);
            let exact = EXACT.at(t).unwrap();
            let at = if t <= choked_until { 0 } else { 2 };
            worst[at] = worst[at].max((vessel.pressure / exact.pressure - 1.0).abs());
            worst[at + 1] = worst[at + 1].max((vessel.temperature / exact.temperature - 1.0).abs());
        }
    }
    worst
}

#[test]
fn vessel_blows_down_as_the_closed_form_says_and_with_its_order_in_the_step() {
    let end = 0.9 * EXACT.emptying_time().unwrap();
    found(
        "blow-down, choked until, seen until, empty at [ms]",
        &format!("{:.2} {:.2} {:.2}", 1e3 * EXACT.choked_until().unwrap(), 1e3 * end, 1e3 * end / 0.9),
    );
    assert!(EXACT.choked_until().unwrap() < 0.8 * end, "little is seen of the unchoked part");
    for (ahead, order) in [(false, 1.0), (true, 2.0)] {
        let runs = [2_000, 4_000, 8_000].map(|steps| errors(steps, end, ahead));
        for (k, part) in [(0, "choked"), (2, "unchoked")] {
            let rates = [0, 1].map(|i| libm::log2(runs[i][k] / runs[i + 1][k]));
            found(
                &format!(
                    "{part}, half a step ahead {ahead}, relative error of pressure at 2000, 4000, 8000 steps, order"
                ),
                &format!("{:?} {rates:.3?}", runs.map(|r| format!("{:.2e}", r[k]))),
            );
            assert!(rates.iter().all(|r| *r > order - 0.1), "{rates:?}");
            assert!(runs[0][k] < 1e-3, "{:?}", runs[0]);
            assert!(runs[0][k + 1] < 1e-3, "temperature: {:?}", runs[0]);
        }
    }
}
