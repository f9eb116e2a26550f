use bellmouth::media::{
    atmosphere::FreeAir,
    fuel::Fuel,
    gas::{GasModel, R_UNIVERSAL, T_BOUNDS},
};

use super::{close, near, source};

/// Air at 1 bar whose water is 0 or 2 % of the moles.
fn air(water: f64) -> FreeAir {
    let dry = FreeAir { pressure: 1.0e5, temperature: 303.15, relative_humidity: 0.0 };
    let full = FreeAir { relative_humidity: 1.0, ..dry };
    FreeAir { relative_humidity: water * dry.pressure / full.vapour_pressure(), ..dry }
}

#[test]
fn heat_capacity_enthalpy_and_gamma_of_each_gas_agree_with_the_nasa_database() {
    source("NASA gas database evaluated by Cantera 3.2.0 (tests/handbook/data/gas.py)");
    let petrol = Fuel::petrol(740.0, 293.15);
    let ethanol = Fuel::blended("ethanol", 745.0, (1.0, 0.0), 293.15);
    let methanol = Fuel::blended("methanol", 745.0, (0.0, 1.0), 293.15);
    let mut rows = 0;
    for line in include_str!("data/gas.csv").lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let value = |i: usize| cells[i].parse::<f64>().unwrap();
        let (molar_mass, t, cp_r, h_r, gamma) = (value(1), value(2), value(3), value(4), value(5));
        let (fuel, water, yb, yv) = match cells[0] {
            "dry" => (&petrol, 0.0, 0.0, 0.0),
            "moist" => (&petrol, 0.02, 0.0, 0.0),
            "burnt" => (&petrol, 0.0, 1.0, 0.0),
            "isooctane" => (&petrol, 0.0, 0.0, 1.0),
            "ethanol" => (&ethanol, 0.0, 0.0, 1.0),
            "methanol" => (&methanol, 0.0, 0.0, 1.0),
            "burnt ethanol" => (&ethanol, 0.0, 1.0, 0.0),
            "burnt methanol" => (&methanol, 0.0, 1.0, 0.0),
            other => panic!("unknown gas {other}"),
        };
        let model = GasModel::new(&air(water), fuel);
        // the vapour's gas constant is the fuel's, its heat capacity per kg isooctane's
        let r = if yv > 0.0 { R_UNIVERSAL / molar_mass } else { model.r(yb, yv) };
        // 2e-7: digits of the table; enthalpy 0.01 K of R: the database's ranges do not meet exactly at 1000 K
        close(model.cp(t, yb, yv) / r, cp_r, 2.0e-7);
        near(model.enthalpy(t, yb, yv) / r, h_r, 0.01 + 1.0e-6 * h_r.abs());
        if yv < 0.5 {
            close(model.gamma(t, yb, yv), gamma, 2.0e-7);
            // molar masses: ISO 2533's gas constant of air counts carbon dioxide, the table does not
            close(r, R_UNIVERSAL / molar_mass, 3.0e-4);
        }
        rows += 1;
    }
    assert_eq!(rows, 88);
}

#[test]
fn constant_gas_has_the_gamma_and_the_gas_constant_it_was_given() {
    source("definition of a perfect gas, exact");
    let gas = GasModel::constant(287.0, 1.4);
    for t in [60.0, 300.0, 1_000.0, 4_500.0] {
        close(gas.gamma(t, 0.3, 0.1), 1.4, 1.0e-15);
        close(gas.internal_energy(t, 0.3, 0.1), 287.0 / 0.4 * (t - 298.15) - 287.0 * 298.15, 1.0e-12);
    }
    close(gas.r(0.3, 0.1), 287.0, 1.0e-15);
}

#[test]
fn temperature_is_the_inverse_of_internal_energy() {
    source("inverse pair, exact to the search's tolerance");
    let gas = GasModel::new(&air(0.02), &Fuel::petrol(740.0, 293.15));
    for (yb, yv) in [(0.0, 0.0), (1.0, 0.0), (0.2, 0.06), (0.0, 1.0)] {
        let mut t = 55.0;
        while t < 4_990.0 {
            for guess in [300.0, 2_500.0, -1.0, f64::NAN] {
                let e = gas.internal_energy(t, yb, yv);
                near(gas.temperature_from_internal_energy(e, yb, yv, guess), t, 1.0e-6);
            }
            t += 37.3;
        }
        near(gas.temperature_from_internal_energy(1.0e12, yb, yv, 300.0), T_BOUNDS.1, 1.0e-9);
        near(gas.temperature_from_internal_energy(-1.0e12, yb, yv, 300.0), T_BOUNDS.0, 1.0e-9);
        assert!(gas.temperature_from_internal_energy(f64::NAN, yb, yv, 300.0).is_nan());
    }
}

#[test]
fn enthalpy_is_continuous_and_its_slope_is_the_heat_capacity() {
    source("calculus identity dh = cp dT");
    let gas = GasModel::new(&air(0.02), &Fuel::petrol(740.0, 293.15));
    for t in [150.0, 200.0, 298.15, 900.0, 1_000.0, 1_200.0, 3_500.0, 4_000.0] {
        let d = 0.01;
        let slope = (gas.enthalpy(t + d, 0.3, 0.05) - gas.enthalpy(t - d, 0.3, 0.05)) / (2.0 * d);
        // at 1000 K the two ranges differ in cp by parts in ten thousand
        close(slope, gas.cp(t, 0.3, 0.05), 5.0e-4);
    }
}
