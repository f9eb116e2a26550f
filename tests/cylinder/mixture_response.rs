//! Torque against mixture: how a rider finds that a jet is too lean.
//!
//! Sources: Sparrow, NACA Report 189, 1925 (abstract): most power at 0.07 to 0.08 of fuel to air whatever the altitude, near-least
//! consumption where power is 95 % of it; Crossley & Cook 1991 (coefficients in public model libraries): torque peaks at an
//! air-fuel ratio of 12.888.

use bellmouth::hardware::engine::Spark;
use bellmouth::hardware::machine::Machine;
use bellmouth::media::atmosphere::{FreeAir, standard_pressure, standard_temperature};
use bellmouth::numeric::root;
use bellmouth::rig::settings::Settings;
use bellmouth::study::point::solve;

use super::{found, single};

/// Lambda of the fresh charge, brake torque [N m] and indicated mean pressure [Pa] for main jets from lean to rich, the spark as it is.
fn curves(machine: &Machine, rpm: f64) -> Vec<(f64, f64, f64)> {
    // Thin air meters richer: the jets are as much smaller.
    let from = 0.82 * (machine.air.density() / 1.225).sqrt().sqrt();
    let settings = Settings { cell_size: 10e-3, ..Settings::default() };
    let run = |share: f64| {
        let mut m = machine.clone();
        m.carburettor.main.main_jet.bore *= share;
        let p = solve(&m, 1.0, rpm, None, &settings).0;
        assert!(p.converged && p.fired, "{share} {:?}", p.note);
        (p.lambda.unwrap(), p.torque_nm.unwrap(), p.imep_pa.unwrap())
    };
    let shares: Vec<f64> = (0..12).map(|i| from + 0.03 * f64::from(i)).collect();
    let (a, b) = shares.split_at(6);
    let mut all = std::thread::scope(|s| {
        let low = s.spawn(|| a.iter().map(|x| run(*x)).collect::<Vec<_>>());
        let high: Vec<_> = b.iter().map(|x| run(*x)).collect();
        let mut all = low.join().unwrap();
        all.extend(high);
        all
    });
    all.sort_by(|x, y| x.0.total_cmp(&y.0));
    all
}

/// Torque at `lambda`, by the parabola through the three nearest points.
fn at(curve: &[(f64, f64)], lambda: f64) -> f64 {
    let i = curve.iter().position(|c| c.0 > lambda).unwrap_or(curve.len() - 1).clamp(1, curve.len() - 2);
    let [(x0, y0), (x1, y1), (x2, y2)] = [curve[i - 1], curve[i], curve[i + 1]];
    y0 * (lambda - x1) * (lambda - x2) / ((x0 - x1) * (x0 - x2))
        + y1 * (lambda - x0) * (lambda - x2) / ((x1 - x0) * (x1 - x2))
        + y2 * (lambda - x0) * (lambda - x1) / ((x2 - x0) * (x2 - x1))
}

/// Best lambda, torque there, torque at 0.88, lambda on the lean side where 95 % is left.
fn response(c: &[(f64, f64)]) -> (f64, f64, f64, f64) {
    let (from, to) = (c[0].0, c[c.len() - 1].0);
    assert!(from < 0.85 && to > 1.1, "lambda from {from} to {to}");
    let fine: Vec<f64> = (0..=400).map(|i| from + (to - from) * f64::from(i) / 400.0).collect();
    let best = *fine.iter().max_by(|a, b| at(c, **a).total_cmp(&at(c, **b))).unwrap();
    let top = at(c, best);
    let lean = root::find(|l| at(c, l) - 0.95 * top, best, to, 1e-6).unwrap().x;
    (best, top, at(c, 0.88), lean)
}

#[test]
fn torque_is_best_a_little_rich_and_falls_to_95_percent_a_little_lean_at_every_altitude() {
    let mut m = single();
    m.engine.combustion.spark = Spark::BestTorque;
    for (rpm, altitude) in [(5000.0, 0.0), (5000.0, 1500.0), (5000.0, 3000.0), (6500.0, 0.0), (3500.0, 0.0)] {
        m.air = FreeAir {
            pressure: standard_pressure(altitude),
            temperature: standard_temperature(altitude),
            relative_humidity: 0.0,
        };
        let all = curves(&m, rpm);
        let (best, top, at_088, lean) = response(&all.iter().map(|c| (c.0, c.1)).collect::<Vec<_>>());
        let (.., indicated) = response(&all.iter().map(|c| (c.0, c.2)).collect::<Vec<_>>());
        found(
            "NACA Report 189: best power at lambda 0.856 to 0.978 at every altitude; Crossley & Cook: best at an AFR of 12.89",
            &format!(
                "{rpm:.0} rpm, {altitude:.0} m: best {best:.3} (AFR {:.2}, {:+.1} % on 12.89), at 0.88 {:.2} % less, 95 % at lambda {lean:.3} (indicated: {indicated:.3})",
                14.604 * best,
                100.0 * (14.604 * best / 12.888 - 1.0),
                100.0 * (1.0 - at_088 / top)
            ),
        );
        assert!((0.84..=0.98).contains(&best), "{best}");
        // At 6500 rpm, where friction takes most, 1.6 % is missed instead of 1.5.
        let least = if rpm > 6000.0 { 0.98 } else { 0.985 };
        assert!(at_088 > least * top, "{at_088} of {top}");
        // The fact is 1.07 +- 0.04. Friction takes a quarter of the indicated work here, so that 95 % of brake torque is 96.3 % of
        // the indicated and comes up to 0.006 sooner than it should; the indicated curve lies inside.
        assert!((1.03..=1.11).contains(&indicated), "{indicated}");
        assert!((1.02..=1.11).contains(&lean), "{lean}");
    }
}
