//! Burnt petrol and air: the table against itself, its limits and the other gas model.

use bellmouth::media::atmosphere::FreeAir;
use bellmouth::media::blend::Blend;
use bellmouth::media::burnt_gas::{BurntGas, T_FROZEN, released};
use bellmouth::media::fuel::Fuel;
use bellmouth::media::gas::{GasModel, T_REFERENCE};

use super::found;

#[test]
fn burnt_gas_starts_from_minus_r_t_and_rises_with_temperature() {
    // The definition of its zero; heat capacities are positive.
    let mut worst: f64 = 0.0;
    for i in 0..=100 {
        let b = BurntGas::new(&Blend::PETROL, 0.6 + 0.01 * f64::from(i));
        let s = b.at(T_REFERENCE, 1e5);
        worst = worst.max((s.u + s.r * T_REFERENCE).abs());
        for p in [1e5, 7e5, 45e5] {
            let u: Vec<f64> = (0..170).map(|k| b.at(200.0 + 20.0 * f64::from(k), p).u).collect();
            assert!(u.windows(2).all(|w| w[1] > w[0]), "lambda {}", b.lambda);
        }
    }
    found("enthalpy zero at 298.15 K (definition), largest difference by straight lines", &format!("{worst:.1} J/kg"));
    assert!(worst < 100.0, "{worst}");
}

#[test]
fn cold_stoichiometric_burnt_gas_is_that_of_the_ducts() {
    // Independent: CO2, H2O, N2 and Ar alone, mixed by the same database's polynomials in the ducts' gas model.
    let air = FreeAir { pressure: 101_325.0, temperature: 288.15, relative_humidity: 0.0 };
    let gas = GasModel::new(&air, &Fuel::petrol(745.0, 293.15));
    let b = BurntGas::new(&Blend::PETROL, 1.0);
    let mut worst: f64 = 0.0;
    for t in [300.0, 500.0, 800.0, 1200.0, 1600.0] {
        let (s, u) = (b.at(t, 1e5), gas.internal_energy(t, 1.0, 0.0));
        worst = worst.max((s.u - u).abs() / (u + 298.15 * s.r).abs().max(1e5)).max((s.r / gas.r(1.0, 0.0) - 1.0).abs());
    }
    found("stoichiometric burnt gas below 1700 K against CO2, H2O, N2, Ar", &format!("{:.2} %", 100.0 * worst));
    assert!(worst < 0.005, "{worst}");
}

#[test]
fn hot_burnt_gas_dissociates_the_more_the_lower_the_pressure() {
    // Le Chatelier: more moles at lower pressure. Below the frozen temperature pressure says nothing.
    for lambda in [0.8, 1.0, 1.3] {
        let b = BurntGas::new(&Blend::PETROL, lambda);
        let u = [1e5, 5e5, 20e5, 80e5].map(|p| b.at(2600.0, p).u);
        let r = [1e5, 5e5, 20e5, 80e5].map(|p| b.at(2600.0, p).r);
        assert!(u.windows(2).all(|w| w[1] < w[0]) && r.windows(2).all(|w| w[1] < w[0]), "{lambda}: {u:?} {r:?}");
        assert!((b.at(T_FROZEN - 60.0, 1e5).u - b.at(T_FROZEN - 60.0, 80e5).u).abs() < 1e-9);
    }
}

#[test]
fn burnt_gas_of_ethanol_and_its_blend_agrees_with_equilibrium_although_it_stands_between_two_tables() {
    // Independent: Cantera 3.2.0 at equilibrium of these fuels themselves (tests/handbook/data/burnt_gas.py check).
    let blends = [("ethanol", Blend::ETHANOL), ("E85", Fuel::blended("E85", 745.0, (0.85, 0.0), 293.15).blend)];
    let mut worst: [f64; 3] = [0.0; 3];
    let mut untouched: f64 = 0.0;
    let mut rows = 0;
    for line in include_str!("../handbook/data/burnt_gas_check.csv").lines().skip(2) {
        let cells: Vec<&str> = line.split(',').collect();
        let blend = blends.iter().find(|b| b.0 == cells[0]).unwrap().1;
        let [lambda, t, p, u, r, eta] = std::array::from_fn(|i| cells[i + 1].parse::<f64>().unwrap());
        // The table counts dry air by its molar mass, the enthalpy's zero at 298.15 K.
        let got = BurntGas::new(&blend, lambda).at(t, if p > 0.0 { p } else { 1e5 });
        worst[0] = worst[0].max((got.u / u - 1.0).abs());
        worst[1] = worst[1].max((got.r / r - 1.0).abs());
        worst[2] = worst[2].max((released(&blend, lambda) - eta).abs());
        untouched = untouched.max((BurntGas::new(&Blend::PETROL, lambda).at(t, 1e5_f64.max(p)).u / u - 1.0).abs());
        rows += 1;
    }
    assert_eq!(rows, 72);
    found(
        "burnt ethanol and E85 between two tables against Cantera's own",
        &format!(
            "energy {:.2} %, gas constant {:.2} %, released {:.4}; burnt petrol in its place: {:.1} %",
            100.0 * worst[0],
            100.0 * worst[1],
            worst[2],
            100.0 * untouched
        ),
    );
    // 2 % less hydrogen than ethanol has; straight lines between lambdas and temperatures
    assert!(worst[0] < 0.004 && worst[1] < 0.0025 && worst[2] < 0.003, "{worst:?}");
    assert!(untouched > 0.05);
}

#[test]
fn stoichiometric_burnt_alcohol_is_that_of_the_ducts() {
    let air = FreeAir { pressure: 101_325.0, temperature: 288.15, relative_humidity: 0.0 };
    for shares in [(1.0, 0.0), (0.0, 1.0), (0.85, 0.0), (0.3, 0.2)] {
        let fuel = Fuel::blended("blend", 745.0, shares, 293.15);
        let (gas, b) = (GasModel::new(&air, &fuel), BurntGas::new(&fuel.blend, 1.0));
        for t in [300.0, 800.0, 1600.0] {
            let (s, u) = (b.at(t, 1e5), gas.internal_energy(t, 1.0, 0.0));
            let off = (s.u - u).abs() / (u + 298.15 * s.r).abs().max(1e5);
            assert!(off < 0.006 && (s.r / gas.r(1.0, 0.0) - 1.0).abs() < 0.004, "{shares:?} {t} K: {off}");
        }
    }
}
