//! The cylinder in the limit of the constant-volume fuel-air cycle: no heat loss, the whole charge burnt at top centre.

use std::f64::consts::PI;

use bellmouth::cylinder::burn::Burn;
use bellmouth::cylinder::charge::{Charge, ValveFlow};
use bellmouth::cylinder::combustion_chamber::Cylinder;
use bellmouth::hardware::engine::{Combustion, Spark};
use bellmouth::media::atmosphere::FreeAir;
use bellmouth::media::blend::Blend;
use bellmouth::media::burnt_gas::released;
use bellmouth::media::fuel::Fuel;
use bellmouth::media::gas::GasModel;

use super::{found, single};

/// Lambda, imep over the pressure at the start, share of the vapour's heating value that becomes work.
///
/// Source: equilibrium fuel-air Otto cycle of isooctane vapour, compression 9, 330 K at the start, computed with Cantera.
const TABLE: [(f64, f64, f64); 10] = [
    (0.70, 14.733, 0.3036),
    (0.80, 15.168, 0.3561),
    (0.85, 15.324, 0.3818),
    (0.90, 15.432, 0.4067),
    (0.95, 15.469, 0.4299),
    (1.00, 15.341, 0.4484),
    (1.05, 14.871, 0.4561),
    (1.10, 14.369, 0.4613),
    (1.20, 13.422, 0.4695),
    (1.40, 11.827, 0.4817),
];

/// Heating value of isooctane vapour [J/kg] and its latent heat [J/kg]: from standard enthalpies of formation; CRC (from memory).
const VAPOUR_HEAT: f64 = 44.65e6;
const LATENT: f64 = 0.308e6;

/// imep over pressure, and efficiency, of one cycle.
fn cycle(lambda: f64) -> (f64, f64) {
    let mut m = single();
    m.engine.walls.heat_factor = 0.0;
    m.engine.crank.compression_ratio = 9.0;
    let air = FreeAir { pressure: 101_325.0, temperature: 330.0, relative_humidity: 0.0 };
    let fuel = Fuel {
        stoichiometric: 15.132,
        heating_value: VAPOUR_HEAT - LATENT,
        latent_heat: LATENT,
        vapour_gas_constant: 8314.46 / 114.23,
        ..m.fuel.clone()
    };
    let gas = GasModel::new(&air, &fuel);
    let (p, t) = (air.pressure, air.temperature);
    let mut c = Cylinder::new(&m.engine, &fuel, &gas, p, t, -PI);
    let yv = 1.0 / (1.0 + lambda * fuel.stoichiometric);
    let mass = p * c.volume / (gas.r(0.0, yv) * t);
    c.charge = Charge {
        air: mass * (1.0 - yv),
        vapour: mass * yv,
        energy: mass * gas.internal_energy(t, 0.0, yv),
        ..Charge::of_air(&gas, p, t, c.volume)
    };
    // At once, at top centre.
    let law = Combustion {
        duration: 1e-4,
        spark: Spark::Advance { slow: 0.0, full: 0.0, slow_until: 1000.0, full_from: 2000.0 },
    };
    let crank = m.engine.crank;
    let mut burn = Burn::plan(&law, &crank, (-PI, 3000.0), (&c.charge, c.volume), (1.0, &fuel));
    assert!(burn.fired);
    // Everything burns: no crevices in this cycle.
    burn.efficiency = released(&Blend::PETROL, lambda);
    c.ignite(burn);
    let steps = 3600;
    for k in 1..=2 * steps {
        let theta = -PI + PI * f64::from(k) / f64::from(steps);
        c.step(&gas, 1e-6, theta, 3000.0, [ValveFlow::default(); 2], true);
    }
    let swept = crank.swept_volume();
    (c.books.work / (swept * p), c.books.work / (mass * yv * VAPOUR_HEAT))
}

#[test]
fn constant_volume_fuel_air_cycle_agrees_with_the_equilibrium_table_within_two_percent() {
    let mut got = Vec::new();
    for (lambda, imep, efficiency) in TABLE {
        let (i, e) = cycle(lambda);
        found(
            "equilibrium fuel-air cycle, isooctane vapour, compression 9 (computed with Cantera)",
            &format!(
                "lambda {lambda:.2}: imep/p1 {i:.3}, table {imep:.3} ({:+.2} %); efficiency {e:.4}, table {efficiency:.4} ({:+.2} %)",
                100.0 * (i / imep - 1.0),
                100.0 * (e / efficiency - 1.0)
            ),
        );
        assert!((i / imep - 1.0).abs() < 0.02, "lambda {lambda}: {i}");
        assert!((e / efficiency - 1.0).abs() < 0.02, "lambda {lambda}: {e}");
        got.push(i);
    }
    // Most work slightly rich.
    let best = (0..got.len()).max_by(|a, b| got[*a].total_cmp(&got[*b])).unwrap();
    assert!((0.9..=1.0).contains(&TABLE[best].0), "{}", TABLE[best].0);
}
