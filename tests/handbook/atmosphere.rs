use bellmouth::media::atmosphere::{FreeAir, standard_pressure, standard_temperature};
use bellmouth::media::gas::R_DRY_AIR;

use super::{close, near, source};

#[test]
fn standard_atmosphere_agrees_with_iso_2533() {
    source("ISO 2533 / US Standard Atmosphere 1976, geopotential height; T0, p0 and rho0 seen, the rest computed");
    let mut sea_level = 0.0;
    for (h, t, p, rho, sigma) in [
        (0.0, 288.15, 101_325.0, 1.22500, 1.0),
        (500.0, 284.90, 95_460.8, 1.16727, 0.95287),
        (1_000.0, 281.65, 89_874.6, 1.11164, 0.90746),
        (1_500.0, 278.40, 84_556.0, 1.05807, 0.86373),
        (2_000.0, 275.15, 79_495.2, 1.00649, 0.82162),
        (3_000.0, 268.65, 70_108.5, 0.90912, 0.74214),
    ] {
        let air =
            FreeAir { pressure: standard_pressure(h), temperature: standard_temperature(h), relative_humidity: 0.0 };
        near(air.temperature, t, 1.0e-9);
        near(air.pressure, p, 0.06);
        near(air.density(), rho, 6.0e-6);
        if h < 1.0 {
            sea_level = air.density();
        }
        near(air.density() / sea_level, sigma, 6.0e-6);
    }
}

#[test]
fn geopotential_height_is_not_taken_for_geometric() {
    source("geometric altitude from the public library `fluids`: 1000 m 89 876.3 Pa, 3000 m 70 121.2 Pa");
    // geometric z corresponds to geopotential H = r z / (r + z), r = 6 356 766 m
    for (z, want) in [(1_000.0, 89_876.3), (2_000.0, 79_501.4), (3_000.0, 70_121.2)] {
        let h = 6_356_766.0 * z / (6_356_766.0 + z);
        close(standard_pressure(h), want, 2.0e-6);
    }
    assert!((standard_pressure(3_000.0) / 70_121.2 - 1.0).abs() > 1.0e-4);
}

#[test]
fn moist_air_has_the_computed_density() {
    source("moist air as two ideal gases, saturation pressure computed independently");
    let air = |celsius: f64, humidity: f64| FreeAir {
        pressure: 101_325.0,
        temperature: 273.15 + celsius,
        relative_humidity: humidity,
    };
    // 2e-4: the saturation formula differs from the one used for the printed value by up to 0.4 %
    close(air(20.0, 0.5).density(), 1.1988, 2.0e-4);
    close(air(20.0, 0.0).density(), 1.2041, 5.0e-5);
    close(air(30.0, 0.8).density(), 1.1496, 2.0e-4);
    close(air(30.0, 0.8).dry_density(), 1.1254, 3.0e-4);
    close(air(30.0, 0.0).density(), 1.1644, 5.0e-5);
    close(air(30.0, 0.8).dry_density() / air(30.0, 0.0).density() - 1.0, -0.033, 0.02);
    close(air(30.0, 0.0).gas_constant(), R_DRY_AIR, 1.0e-14);
}
