//! Burnt petrol and air: the table against itself, its limits and the other gas model.

use bellmouth::media::atmosphere::FreeAir;
use bellmouth::media::blend::Blend;
use bellmouth::media::burnt_gas::{BurntGas, T_FROZEN};
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
