//! The books of mass and energy close in every cycle, and they book what really moves.

use bellmouth::hardware::attitude::Attitude;
use bellmouth::hardware::jet::Jet;
use bellmouth::hardware::machine::Machine;
use bellmouth::hardware::mixture_screw::ScrewKind;
use bellmouth::hardware::nozzle::NozzleKind;
use bellmouth::hardware::poppet_valve::LiftProfile;
use bellmouth::laws::combustion;
use bellmouth::rig::machine_state::Rig;
use std::f64::consts::PI;

use crate::starter::starter;
use crate::{FILES, cold, found, machine, single};

/// Ten points spread over throttle and speed.
const POINTS: [(f64, f64); 10] = [
    (0.04, 1300.0),
    (0.0625, 3000.0),
    (0.125, 1500.0),
    (0.125, 5000.0),
    (0.25, 3500.0),
    (0.375, 6500.0),
    (0.5, 2000.0),
    (0.75, 4500.0),
    (1.0, 2500.0),
    (1.0, 6500.0),
];

/// Largest defects of the first cycles from rest, none of them periodic.
fn worst_of_cold_cycles(machine: &Machine, points: &[(f64, f64)], cycles: usize) -> f64 {
    let mut worst: f64 = 0.0;
    for &(throttle, rpm) in points {
        let mut rig = cold(machine, throttle, rpm);
        for _ in 0..cycles {
            let r = rig.run_cycle(false).unwrap();
            let d = r.mass_defect;
            for defect in [d.air, d.burnt, d.fuel, r.energy_defect] {
                assert!(defect <= 1e-10, "throttle {throttle}, {rpm} rpm: {d:?}, energy {}", r.energy_defect);
                worst = worst.max(defect);
            }
        }
    }
    worst
}

// Exact. The limit is round-off: a cycle sums some 1e4 steps of 1e-16 each over stores up to a few hundred times the
// throughput of one species.
#[test]
fn books_of_mass_and_energy_close_in_every_cycle_from_rest() {
    for file in FILES {
        let worst = worst_of_cold_cycles(&machine(file), &POINTS, 4);
        found("books, ten points, four cycles from rest, largest defect (exact)", &format!("{file} {worst:.1e}"));
    }
}

#[test]
fn books_close_with_standoff_lost_air_leak_air_screw_bleed_nozzle_starter_and_plugged_air() {
    let points = [(0.05, 1300.0), (0.125, 4000.0), (0.5, 3000.0), (1.0, 2500.0), (1.0, 6000.0)];
    type Change = fn(&mut Machine);
    let changes: [(&str, Change); 9] = [
        ("standoff loss 0.3", |m| m.standoff_loss = 0.3),
        ("air leak 1 mm", |m| m.air_leak = 1e-3),
        ("air screw", |m| m.carburettor.pilot.screw.kind = ScrewKind::Air),
        ("bleed nozzle", |m| m.carburettor.main.nozzle.kind = NozzleKind::Bleed),
        ("bleed nozzle with a well", |m| {
            m.carburettor.main.nozzle.kind = NozzleKind::Bleed;
            m.carburettor.main.well = Some(crate::conservation::well());
        }),
        ("starter open", |m| m.carburettor.starter = Some(starter(1.0))),
        ("starter half open, bowl off level", |m| {
            m.carburettor.starter = Some(starter(0.5));
            m.carburettor.bowl.attitude = Some(Attitude { tilt: 0.3, lean: 0.2, ..Attitude::default() });
        }),
        ("main air plugged", |m| m.carburettor.main.air_jet = None),
        ("all but the plug", |m| {
            m.standoff_loss = 0.3;
            m.air_leak = 1e-3;
            m.carburettor.pilot.screw.kind = ScrewKind::Air;
            m.carburettor.main.nozzle.kind = NozzleKind::Bleed;
        }),
    ];
    for (what, change) in changes {
        let mut m = single();
        change(&mut m);
        let worst = worst_of_cold_cycles(&m, &points, 4);
        found("books with a change, largest defect (exact)", &format!("{what} {worst:.1e}"));
    }
}

/// Fuel in the ducts, the cylinder and the cloud, liquid and vapour [kg].
fn fuel_in_the_gas(rig: &Rig) -> f64 {
    let ducts = [rig.upstream.store(), rig.downstream.store()].iter().map(|s| s[2] + s[3]).sum::<f64>();
    ducts + rig.cylinder.charge.vapour + rig.cylinder.charge.liquid + rig.air_side.cloud.fuel()
}

/// Liquid in the chambers, less what the columns miss [kg].
fn in_the_circuits(rig: &Rig) -> f64 {
    rig.main.chamber.liquid - rig.main.column.missing() + rig.pilot.chamber.liquid - rig.pilot.column.missing()
}

/// One circuit only: main without air, pilot shut, so that all fuel in the air came from the main nozzle.
fn main_circuit_only(m: &mut Machine) {
    m.carburettor.main.air_jet = None;
    let pilot = &mut m.carburettor.pilot;
    (pilot.air_jet, pilot.bypass) = (None, Vec::new());
    pilot.jet = Jet { bore: 1e-6, length: 2e-3 };
}

fn valve_between(opens: f64, closes: f64, max_lift: f64) -> LiftProfile {
    LiftProfile::Polynomial { max_lift, centre: 0.5 * (opens + closes), half_duration: 0.5 * (closes - opens) }
}

#[test]
fn fuel_in_the_machine_changes_by_what_the_nozzle_gave_less_what_burnt_and_was_lost() {
    // Exact, and without the ledger: without overlap, a charge that has burnt out lets no fuel past the exhaust valve, so the
    // fuel in the gas changes by nozzle - burnt - lost; what burnt is the cylinder's, and its heat agrees.
    let mut m = single();
    main_circuit_only(&mut m);
    m.standoff_loss = 0.3;
    m.engine.inlet_valve.lift = valve_between(2.05 * PI, 3.3 * PI, 9e-3);
    m.engine.exhaust_valve.lift = valve_between(0.75 * PI, 2.0 * PI, 9e-3);
    // A vessel behind the exhaust valve: nothing that left comes back.
    m.engine.exhaust.pieces.clear();
    m.engine.exhaust.silencer = None;
    let mut checked = 0;
    let (mut worst, mut lost, mut moved): (f64, f64, f64) = (0.0, 0.0, 0.0);
    for (throttle, rpm) in [(0.5, 4000.0), (1.0, 3000.0), (1.0, 4500.0), (1.0, 6000.0)] {
        let mut rig = cold(&m, throttle, rpm);
        for _ in 0..12 {
            let (before, store) = (fuel_in_the_gas(&rig), rig.store().fuel);
            let columns = in_the_circuits(&rig);
            let r = rig.run_cycle(false).unwrap();
            if !r.trapped.fired {
                continue;
            }
            let burnt = r.fuel_burnt;
            // Its heat lies between that of liquid and of vapour.
            let heat = r.fuel_heat / (combustion::efficiency(&m.fuel.blend, r.trapped.lambda) * burnt);
            assert!(heat > m.fuel.heating_value && heat < m.fuel.heating_value + m.fuel.latent_heat, "{heat}");
            let change = fuel_in_the_gas(&rig) - before;
            let stored = in_the_circuits(&rig) - columns;
            let defect = (change - (r.main + r.pilot - stored - burnt - r.lost)).abs() / r.main;
            // The store adds what the circuits hold, and nothing else.
            let beside = (rig.store().fuel - store - change - stored).abs() / r.main;
            worst = worst.max(defect).max(beside);
            lost += r.lost;
            moved = moved.max(change.abs() / r.main);
            checked += 1;
        }
    }
    found(
        "fuel in the gas against nozzle - burnt - lost (exact), largest defect, cycles, fuel lost [kg], largest change of store over fuel metered",
        &format!("{worst:.1e} {checked} {lost:.1e} {moved:.2}"),
    );
    assert!(worst < 1e-9);
    assert!(checked >= 20 && lost > 0.0 && moved > 0.05, "the check must see fuel move: {checked} {lost} {moved}");
}

#[test]
fn air_behind_the_slide_changes_by_what_passed_the_slide() {
    // Exact, and without the ledger: no fuel, exhaust valve shut, so that gas behind the slide and in the cylinder changes by
    // the flow past the slide alone. A low compression keeps what the shut valve holds back at a few bar.
    let mut m = single();
    main_circuit_only(&mut m);
    m.carburettor.main.main_jet.bore = 1e-6;
    m.engine.exhaust_valve.lift = valve_between(0.75 * PI, 2.0 * PI, 0.0);
    m.engine.crank.compression_ratio = 2.0;
    let gas = |rig: &Rig| rig.downstream.store()[0] + rig.cylinder.charge.gas();
    let mut worst: f64 = 0.0;
    for (throttle, rpm) in [(0.1, 1500.0), (0.5, 4000.0), (1.0, 6000.0)] {
        let mut rig = cold(&m, throttle, rpm);
        for _ in 0..3 {
            let (before, in_cylinder) = (gas(&rig), rig.cylinder.charge.air);
            let r = rig.run_cycle(true).unwrap();
            let passed: f64 = r.samples.iter().map(|s| s.slide * s.dt).sum();
            let there: f64 = r.samples.iter().map(|s| s.slide.abs() * s.dt).sum();
            worst = worst.max((gas(&rig) - before - passed).abs() / there);
            worst = worst.max((rig.cylinder.charge.air - in_cylinder - r.inlet_air).abs() / there);
            assert!(there > 1e-5, "nothing passed the slide");
        }
    }
    found("gas behind the slide against the flow past it (exact), largest defect", &format!("{worst:.1e}"));
    assert!(worst < 1e-9);
}

#[test]
fn work_is_the_area_of_the_indicator_diagram() {
    // Exact for the trapezium rule that the step uses, up to its repeats, each of which gains three digits; imep is that area
    // over the swept volume.
    let m = single();
    let mut worst: f64 = 0.0;
    for (throttle, rpm) in [(0.2, 2500.0), (1.0, 5500.0)] {
        let mut rig = cold(&m, throttle, rpm);
        for _ in 0..6 {
            let (mut p, mut v) = (rig.cylinder.charge.pressure, rig.cylinder.volume);
            let r = rig.run_cycle(true).unwrap();
            let mut work = 0.0;
            for s in &r.samples {
                work += 0.5 * (p + s.cylinder) * (s.volume - v);
                (p, v) = (s.cylinder, s.volume);
            }
            let scale = r.peak_pressure * m.engine.crank.clearance_volume();
            worst = worst.max((work - r.work).abs() / scale);
            worst = worst.max((r.imep * m.engine.crank.swept_volume() - work).abs() / scale);
        }
    }
    found("work against the indicator diagram (exact), largest defect", &format!("{worst:.1e}"));
    assert!(worst < 1e-9);
}

#[test]
fn shares_of_burnt_gas_and_fuel_never_fall_below_nothing() {
    // Exact. The limit is a trace that no figure shows.
    let mut least = (0.0_f64, String::new());
    for file in FILES {
        for (throttle, rpm) in POINTS {
            let mut rig = cold(&machine(file), throttle, rpm);
            for _ in 0..4 {
                rig.run_cycle(false).unwrap();
                for (part, duct) in [("before", &rig.upstream), ("behind", &rig.downstream)] {
                    for i in 0..duct.cells() {
                        let y = duct.composition(i);
                        let share = y.burnt.min(y.vapour).min(y.liquid);
                        if share < least.0 {
                            least = (share, format!("{file} throttle {throttle} {rpm} rpm, cell {i} {part} the slide"));
                        }
                    }
                }
            }
        }
    }
    found("shares of burnt gas, vapour and liquid in the cells, least", &format!("{:e} {}", least.0, least.1));
    assert!(least.0 > -1e-6);
}

#[test]
fn energy_of_the_gas_in_the_ducts_is_kept_to_a_ten_thousandth_of_a_cycles_throughput_where_gamma_varies() {
    // The double flux keeps it exactly for a uniform gamma. With hot burnt gas, air and vapour the cells' accounts hold what it did
    // not keep; in a periodic flow a cycle pays back what it lost.
    let mut worst: f64 = 0.0;
    for file in FILES {
        for (throttle, rpm) in [(0.0625, 1500.0), (0.35, 3500.0), (1.0, 3500.0), (1.0, 6000.0)] {
            let mut rig = cold(&machine(file), throttle, rpm);
            rig.converge().unwrap();
            // What a helped state left behind dies away.
            let last = (0..10).map(|_| rig.run_cycle(false).unwrap()).last().unwrap();
            worst = worst.max(last.gas_energy_defect);
        }
    }
    found(
        "energy of the gas not kept in a periodic cycle, over the enthalpy through the valves",
        &format!("{worst:.1e}"),
    );
    assert!(worst > 0.0 && worst < 1e-4, "{worst:e}");
}
