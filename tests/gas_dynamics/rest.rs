//! Gas at rest, closed ducts, mirrored ducts: identities that hold to round-off.

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::exchange::{EndFlux, Exchange};
use bellmouth::gas::face::restriction;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::plenum::Plenum;
use bellmouth::gas::trace::{Side, Vessel};
use bellmouth::hardware::duct::Piece;
use bellmouth::media::atmosphere::FreeAir;
use bellmouth::media::composition::Composition;
use bellmouth::media::fuel::Fuel;
use bellmouth::media::gas::GasModel;

use super::bench::{COURANT, cone, shut, step_of};
use super::found;

pub fn real_gas() -> GasModel {
    let air = FreeAir { pressure: 101_325.0, temperature: 288.15, relative_humidity: 0.5 };
    GasModel::new(&air, &Fuel::petrol(745.0, 293.15))
}

pub fn flared() -> Vec<Piece> {
    vec![
        cone(20e-3, 50e-3, 40e-3),
        cone(60e-3, 40e-3, 40e-3),
        cone(55e-3, 40e-3, 37e-3),
        cone(20e-3, 32e-3, 45e-3),
        cone(40e-3, 45e-3, 36e-3),
    ]
}

/// Flares, tapers and several steps up and down.
fn stepped() -> Vec<Piece> {
    vec![
        cone(20e-3, 50e-3, 40e-3),
        cone(30e-3, 40e-3, 40e-3),
        cone(30e-3, 60e-3, 60e-3),
        cone(55e-3, 40e-3, 37e-3),
        cone(20e-3, 25e-3, 30e-3),
        cone(20e-3, 32e-3, 45e-3),
        cone(40e-3, 90e-3, 36e-3),
    ]
}

fn fastest(duct: &DuctCells) -> f64 {
    (0..duct.cells()).map(|i| duct.cell(i).1.abs()).fold(0.0, f64::max)
}

#[test]
fn gas_at_rest_in_a_flared_and_stepped_duct_stays_at_rest() {
    // Exact; 1e-10 m/s is some 1e6 times the round-off of one step over the speed of sound.
    let gas = real_gas();
    let mut worst: f64 = 0.0;
    for (pieces, walls) in [(flared(), true), (flared(), false), (stepped(), true), (stepped(), false)] {
        let duct = DuctCells::new(&pieces, 5e-3, &gas, 97_310.0, 300.0).unwrap();
        let mut duct = if walls { duct } else { duct.without_walls() };
        for _ in 0..10_000 {
            let dt = step_of(&duct, COURANT);
            duct.predict(dt);
            let ends = shut(&duct);
            duct.update(&gas, dt, ends, (Exchange::default(), Exchange::default())).unwrap();
        }
        worst = worst.max(fastest(&duct));
    }
    found(
        "gas at rest in flared ducts with one step and with five, both ends shut, 10 000 steps, fastest cell",
        &format!("{worst:e} m/s"),
    );
    assert!(worst < 1e-10);
}

#[test]
fn gas_at_rest_stays_at_rest_behind_an_open_mouth() {
    let gas = real_gas();
    let mut duct = DuctCells::new(&flared(), 5e-3, &gas, 97_310.0, 300.0).unwrap();
    let free = Side::Vessel(Vessel::new(&gas, 97_310.0, 300.0, Composition::default()));
    for _ in 0..10_000 {
        let dt = step_of(&duct, COURANT);
        duct.predict(dt);
        let t = duct.trace(false);
        let f = restriction(&free, &Side::Duct(t), 0.8 * t.area, t.area, 0.0);
        let sign = if f.from_a { 1.0 } else { -1.0 };
        let mouth = EndFlux::of_face(&f, !f.from_a, t.area, sign, Composition::default());
        let ends = (mouth, shut(&duct).1);
        duct.update(&gas, dt, ends, (Exchange::default(), Exchange::default())).unwrap();
    }
    let worst = fastest(&duct);
    found("gas at rest behind an open mouth, 10 000 steps, fastest cell", &format!("{worst:e} m/s"));
    assert!(worst < 1e-10);
}

#[test]
fn gas_at_rest_stays_at_rest_between_a_mouth_or_a_wall_and_a_room() {
    // The volume at its own temperature, at the duct's pressure within the round-off of its mass.
    let constant = GasModel::constant(287.05, 1.4);
    let mut worst: f64 = 0.0;
    for gas in [real_gas(), constant] {
        let free = Vessel::new(&gas, 97_310.0, 280.0, Composition::default());
        let room = Plenum::new(&gas, 2e-3, 97_310.0, 330.0, Composition::default());
        for near in [End::Shut, End::Open(free, 0.5)] {
            for far in [End::Room(room, 0.5), End::OrificeRoom(room, 2e-4)] {
                for pieces in [flared(), stepped()] {
                    let duct = DuctCells::new(&pieces, 5e-3, &gas, 97_310.0, 300.0).unwrap();
                    let mut run = LoneDuct::new(gas, duct, [near, far]);
                    for _ in 0..10_000 {
                        run.step(run.stable_step()).unwrap();
                    }
                    worst = worst.max(fastest(&run.cells));
                }
            }
        }
    }
    found("gas at rest with a volume at one end, 10 000 steps, fastest cell", &format!("{worst:e} m/s"));
    assert!(worst < 1e-10);
}

/// Gas, burnt gas, vapour and liquid fuel in uneven parts, moving.
pub fn lively(gas: &GasModel, x: f64, length: f64) -> (f64, f64, f64, Composition) {
    let s = x / length;
    let y = Composition { burnt: if s < 0.35 { 0.7 } else { 0.0 }, vapour: 0.05 * s, liquid: 0.03 * (1.0 - s) };
    let t = if s < 0.35 { 900.0 } else { 310.0 };
    let p = 1e5 * (1.0 + 0.2 * libm::sin(5.0 * s));
    (p / (gas.r(y.burnt, y.vapour) * t), 40.0 * libm::cos(4.0 * s), p, y)
}

/// `steps` steps between two shut ends.
fn shut_run(duct: &mut DuctCells, gas: &GasModel, steps: u32) {
    for _ in 0..steps {
        let dt = step_of(duct, COURANT);
        duct.predict(dt);
        let ends = shut(duct);
        duct.update(gas, dt, ends, (Exchange::default(), Exchange::default())).unwrap();
    }
}

#[test]
fn closed_duct_keeps_the_mass_of_every_species() {
    // Exact; the limit is the round-off of 20 000 sums of some 40 cells.
    let gas = real_gas();
    for (pieces, name) in [(flared(), "one step"), (stepped(), "five steps")] {
        let mut duct = DuctCells::new(&pieces, 5e-3, &gas, 1e5, 300.0).unwrap();
        let length = duct.length();
        duct.fill(&gas, |x| lively(&gas, x, length));
        let before = duct.store();
        shut_run(&mut duct, &gas, 20_000);
        let after = duct.store();
        let worst = before.iter().zip(after).map(|(b, a)| (a / b - 1.0).abs()).fold(0.0, f64::max);
        found(
            &format!("closed duct of {name} of area, 20 000 steps of time, change of gas, burnt gas, vapour, liquid"),
            &format!("{worst:e}"),
        );
        assert!(before.iter().all(|&m| m > 0.0));
        assert!(worst < 1e-13, "{before:?} {after:?}");
    }
}

#[test]
fn closed_duct_keeps_its_energy_where_gamma_is_uniform() {
    // Exact for smooth adiabatic walls.
    let gas = GasModel::constant(287.05, 1.4);
    for (pieces, name) in [(flared(), "one step"), (stepped(), "five steps")] {
        let mut duct = DuctCells::new(&pieces, 5e-3, &gas, 1e5, 300.0).unwrap().without_walls();
        let length = duct.length();
        duct.fill(&gas, |x| {
            let s = x / length;
            (1.2 - 0.4 * s, 40.0 * libm::cos(4.0 * s), 1e5 * (1.0 + 0.2 * s), Composition::default())
        });
        let energy = |duct: &DuctCells| {
            (0..duct.cells())
                .map(|i| {
                    let (rho, u, p) = duct.cell(i);
                    duct.volume(i) * (2.5 * p + 0.5 * rho * u * u)
                })
                .sum::<f64>()
        };
        let before = energy(&duct);
        shut_run(&mut duct, &gas, 20_000);
        let change = (energy(&duct) / before - 1.0).abs();
        found(
            &format!("closed duct of {name} of area, uniform gamma, 20 000 steps of time, relative change of energy"),
            &format!("{change:e}"),
        );
        assert!(change < 1e-13);
    }
}

#[test]
fn mirrored_problem_gives_the_mirrored_answer() {
    // Exact but for the order of sums; the state is compared before its round-off has been amplified by shocks.
    let gas = real_gas();
    let tapered = vec![cone(40e-3, 50e-3, 38e-3), cone(60e-3, 38e-3, 44e-3)];
    let with_steps = vec![cone(30e-3, 50e-3, 38e-3), cone(30e-3, 48e-3, 44e-3), cone(40e-3, 30e-3, 33e-3)];
    for (pieces, name) in [(tapered, "tapered"), (with_steps, "stepped")] {
        let mirrored: Vec<Piece> =
            pieces.iter().rev().map(|p| cone(p.length, p.diameter_end, p.diameter_start)).collect();
        let mut a = DuctCells::new(&pieces, 2.5e-3, &gas, 1e5, 300.0).unwrap();
        let mut b = DuctCells::new(&mirrored, 2.5e-3, &gas, 1e5, 300.0).unwrap();
        a.fill(&gas, |x| lively(&gas, x, 0.1));
        b.fill(&gas, |x| {
            let (rho, u, p, y) = lively(&gas, 0.1 - x, 0.1);
            (rho, -u, p, y)
        });
        for _ in 0..300 {
            let dt = step_of(&a, COURANT);
            for duct in [&mut a, &mut b] {
                duct.predict(dt);
                let ends = shut(duct);
                duct.update(&gas, dt, ends, (Exchange::default(), Exchange::default())).unwrap();
            }
        }
        let n = a.cells();
        let mut worst: f64 = 0.0;
        for i in 0..n {
            let (l, r) = (a.cell(i), b.cell(n - 1 - i));
            worst = worst.max((l.0 / r.0 - 1.0).abs()).max((l.2 / r.2 - 1.0).abs()).max((l.1 + r.1).abs() / 340.0);
            let (y, z) = (a.composition(i), b.composition(n - 1 - i));
            worst = worst.max((y.burnt - z.burnt).abs()).max((y.vapour - z.vapour).abs());
            worst = worst.max((y.liquid - z.liquid).abs());
        }
        found(&format!("mirrored {name} duct, 300 steps, largest relative difference"), &format!("{worst:e}"));
        assert!(worst < 1e-12);
        assert!(fastest(&a) > 1.0, "nothing moves");
    }
}

#[test]
fn closed_duct_and_room_keep_their_mass_and_energy_together() {
    // Exact: what leaves the duct enters the volume and back. Uniform gamma, smooth adiabatic walls.
    let gas = GasModel::constant(287.05, 1.4);
    let y = Composition::default();
    let room = Plenum::new(&gas, 0.5e-3, 1.3e5, 350.0, y);
    for far in [End::Room(room, 0.5), End::OrificeRoom(room, 3e-4)] {
        let duct = DuctCells::new(&stepped(), 5e-3, &gas, 1e5, 300.0).unwrap().without_walls();
        let mut run = LoneDuct::new(gas, duct, [End::Shut, far]);
        let whole = |run: &LoneDuct| match &run.ends[1] {
            End::Room(room, _) | End::OrificeRoom(room, _) => {
                (run.cells.store()[0] + room.gas, run.cells.energy(&gas) + room.energy, room.pressure)
            }
            _ => unreachable!(),
        };
        let before = whole(&run);
        for _ in 0..20_000 {
            run.step(run.stable_step()).unwrap();
        }
        let after = whole(&run);
        let (mass, energy) = ((after.0 / before.0 - 1.0).abs(), (after.1 / before.1 - 1.0).abs());
        found("closed duct and volume, 20 000 steps, change of mass and of energy", &format!("{mass:e} {energy:e}"));
        assert!((after.2 / before.2 - 1.0).abs() > 0.01, "nothing moves");
        assert!(mass < 1e-13 && energy < 1e-13);
    }
}
