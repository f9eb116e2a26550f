//! Where torque comes from: the two loops of a cycle, and how far the mixture is from the one of most torque.

use std::f64::consts::PI;
use std::time::Instant;

use bellmouth::hardware::machine::Machine;
use bellmouth::rig::converge::Run;
use bellmouth::rig::machine_state::Rig;
use bellmouth::study::best_mixture::best_mixture;
use bellmouth::study::point::PointResult;

use crate::{close, cold, found, single};

fn settled(machine: &Machine, throttle: f64, rpm: f64) -> (Rig, Run) {
    let mut rig = cold(machine, throttle, rpm);
    let run = rig.converge().unwrap();
    (rig, run)
}

#[test]
fn work_of_both_loops_is_that_of_the_cycle_and_of_the_indicator_diagram() {
    // The diagram is summed from the samples' pressure and volume alone, shared at the bottom centre.
    let mut m = single();
    let mut worst: f64 = 0.0;
    for offset in [0.0, 1e-3] {
        m.engine.crank.pin_offset = offset;
        let (crank, swept) = (m.engine.crank, m.engine.crank.swept_volume());
        for (throttle, rpm) in [(0.1, 1500.0), (1.0, 4500.0)] {
            let mut rig = cold(&m, throttle, rpm);
            for _ in 0..3 {
                rig.run_cycle(false).unwrap();
            }
            let mut before = (rig.cylinder.charge.pressure, rig.cylinder.volume);
            let r = rig.run_cycle(true).unwrap();
            let (mut closed, mut exchange) = (0.0, 0.0);
            for s in &r.samples {
                let half = 0.5 * s.dt * rpm * PI / 30.0;
                let mean = 0.5 * (before.0 + s.cylinder);
                let middle = if s.phase - half >= PI {
                    before.1
                } else if s.phase + half <= PI {
                    s.volume
                } else {
                    crank.volume(PI)
                };
                closed += mean * (middle - before.1);
                exchange += mean * (s.volume - middle);
                before = (s.cylinder, s.volume);
            }
            let scale = r.imep_gross.abs();
            // Both loops close to round-off; the diagram agrees as far as the step's implicit work was repeated (three digits each, four times).
            assert!((r.imep_gross + r.pmep - r.imep).abs() < 1e-12 * scale);
            let off = [r.imep_gross - closed / swept, r.pmep - exchange / swept];
            worst = off.iter().map(|o| o.abs() / scale).fold(worst, f64::max);
            assert!(r.imep_gross > 0.0 && r.pmep < 0.0, "{} {}", r.imep_gross, r.pmep);
            close("brake from the parts", r.bmep(), r.imep_gross + r.pmep - r.fmep, 1e-10);
        }
    }
    found("work of the loops against the indicator diagram, largest difference", &format!("{worst:.1e}"));
    assert!(worst < 1e-8, "{worst:e}");
}

#[test]
fn a_row_s_figures_follow_from_each_other() {
    // Definitions: BMEP = 4 pi T / V_d, 1 kW h = 3.6 MJ.
    let m = single();
    let (rig, run) = settled(&m, 1.0, 4500.0);
    let p = PointResult::of(&m, 1.0, 4500.0, &run).against_best(&rig, &run);
    let swept = m.engine.crank.swept_volume();
    close("torque", p.torque_nm.unwrap(), p.bmep_pa.unwrap() * swept / (4.0 * PI), 1e-12);
    close("litres", p.fuel_l_h.unwrap() * m.fuel.density / 3600.0, p.fuel_g_s.unwrap(), 1e-12);
    close("per kW h", p.fuel_g_kwh.unwrap() * p.power_kw.unwrap() / 3600.0, p.fuel_g_s.unwrap(), 1e-12);
    close("net", p.imep_gross_pa.unwrap() + p.pmep_pa.unwrap(), p.imep_pa.unwrap(), 1e-12);
    found("figures at full throttle, 4500 rpm", &format!("{p:?}"));
    // Order of size, common practice: 700 to 950 degC at full load, 280 to 400 g/kWh.
    let celsius = p.exhaust_temperature_k.unwrap() - 273.15;
    assert!((600.0..1050.0).contains(&celsius), "{celsius}");
    assert!((240.0..420.0).contains(&p.fuel_g_kwh.unwrap()));
    // Unfired: no brake power, no mixture to judge.
    let mut dry = m.clone();
    dry.carburettor.main.main_jet.bore = 1e-6;
    dry.carburettor.pilot.jet.bore = 1e-6;
    let (rig, run) = settled(&dry, 1.0, 4500.0);
    let p = PointResult::of(&dry, 1.0, 4500.0, &run).against_best(&rig, &run);
    assert!(!p.fired && p.fuel_g_kwh.is_none() && p.torque_lost.is_none() && p.lambda_of_best.is_none());
}

#[test]
fn the_closed_part_run_again_is_the_one_that_ran() {
    let m = single();
    for (throttle, rpm) in [(0.5, 4000.0), (1.0, 2500.0), (1.0, 6000.0)] {
        let (mut rig, _) = settled(&m, throttle, rpm);
        let before = (rig.cylinder.charge.pressure, rig.cylinder.volume);
        let r = rig.run_cycle(true).unwrap();
        let again = rig.closed_part(None).unwrap();
        close("peak pressure", again.peak_pressure, r.peak_pressure, 1e-3);
        close("lambda", again.lambda, r.trapped.lambda, 1e-12);
        let (shuts, opens) = (m.engine.inlet_valve.lift.closing() - 4.0 * PI, m.engine.exhaust_valve.lift.opening());
        let (mut work, mut last) = (0.0, before);
        for s in &r.samples {
            if s.phase > shuts && s.phase < opens {
                work += 0.5 * (last.0 + s.cylinder) * (s.volume - last.1);
            }
            last = (s.cylinder, s.volume);
        }
        found("work of the closed part run again over the cycle's own", &format!("{:.5}", again.work / work));
        close("work", again.work, work, 3e-3);
        // Its own lambda asked for is its own charge.
        let same = rig.closed_part(Some(again.lambda)).unwrap();
        close("own lambda", same.work, again.work, 1e-9);
    }
}

#[test]
fn best_mixture_is_the_largest_of_a_fine_scan_and_lies_between_lambda_0_84_and_0_98() {
    // Best torque between lambda 0.84 and 0.98: common to textbooks and trade.
    let m = single();
    for (throttle, rpm) in [(0.375, 5000.0), (0.5, 4500.0), (1.0, 3000.0), (1.0, 4500.0), (1.0, 6500.0)] {
        let (rig, run) = settled(&m, throttle, rpm);
        let begun = Instant::now();
        let best = best_mixture(&rig, &run.record).unwrap();
        let took = begun.elapsed();
        let own = rig.closed_part(None).unwrap();
        let swept = m.engine.crank.swept_volume();
        let brake = |lambda: f64| {
            let p = rig.closed_part(Some(lambda)).unwrap();
            let friction = m.engine.friction.peak_pressure * (p.peak_pressure - own.peak_pressure) * swept;
            run.record.bmep() * swept + p.work - own.work - friction
        };
        let scan = (0..=140).map(|i| 0.75 + 0.0025 * f64::from(i)).map(|l| (l, brake(l)));
        let (at, most) = scan.max_by(|a, b| a.1.total_cmp(&b.1)).unwrap();
        let lost = 1.0 - run.record.bmep() * swept / most;
        let curve: Vec<String> =
            [0.8, 0.85, 0.9, 0.95, 1.0, 1.05].iter().map(|l| format!("{:.3}", brake(*l) / most)).collect();
        found(
            "throttle, rpm, lambda, best lambda, lost, torque at lambda 0.8 to 1.05, time",
            &format!(
                "{throttle} {rpm} {:.3} {:.3} {:.4} {} {:.1} ms",
                own.lambda,
                best.lambda,
                best.lost.unwrap(),
                curve.join(" "),
                1e3 * took.as_secs_f64()
            ),
        );
        assert!((best.lambda - at).abs() < 0.02, "{} {at}", best.lambda);
        assert!((best.lost.unwrap() - lost).abs() < 2e-4 && best.lost.unwrap() >= 0.0, "{lost}");
        assert!((0.84..=0.98).contains(&best.lambda), "{}", best.lambda);
    }
}

#[test]
fn torque_given_away_is_what_other_jets_lose_per_air() {
    // The whole machine run with other main jets, its torque taken per trapped air, against what the closed part alone says. What the
    // closed part holds (the mixture's chill on the way in, the residual gas of the cycles after) is the difference.
    let mut worst: f64 = 0.0;
    let per_air = |bore: f64| {
        let mut m = single();
        m.carburettor.main.main_jet.bore = bore;
        let (rig, run) = settled(&m, 1.0, 4500.0);
        let best = best_mixture(&rig, &run.record).unwrap();
        // Friction is not the mixture's: it is added back, so that air and torque go together.
        let r = &run.record;
        (r.imep / r.trapped.fresh_dry_air, r.trapped.lambda, best, r.bmep() / r.imep)
    };
    let rows: Vec<_> = [1.25e-3, 1.35e-3, 1.39e-3, 1.43e-3, 1.5e-3, 1.6e-3, 1.7e-3].map(per_air).to_vec();
    let most = rows.iter().map(|r| r.0).fold(0.0, f64::max);
    for (torque, lambda, best, brake) in &rows {
        let said = best.lost.unwrap() * brake / (1.0 - best.lost.unwrap() * (1.0 - brake));
        let seen = 1.0 - torque / most;
        found(
            "lambda, indicated torque lost per air, said by the closed part, best lambda",
            &format!("{lambda:.3} {seen:.4} {said:.4} {:.3}", best.lambda),
        );
        worst = worst.max((said - seen).abs());
    }
    assert!(rows[0].1 > 1.1 && rows[6].1 < 0.75, "the jets span both sides: {} {}", rows[0].1, rows[6].1);
    assert!(worst < 0.01, "{worst}");
}
