//! The bleed network: main jet, air jet and emulsion outlet around one well, steady, no head.

use bellmouth::laws::emulsion::{outlet_density, zivi_slip};
use bellmouth::laws::orifice::{mass_flow, series};
use bellmouth::numeric::root;

use super::{circle, close, near, source};

const FUEL: f64 = 740.0;

struct Network {
    main_jet: f64,
    air_jet: f64,
    outlet: f64,
    air: f64,
    slip: f64,
}

impl Network {
    fn bled(air_jet: f64, air: f64, slip: f64) -> Self {
        Self { main_jet: 0.8 * circle(1.2e-3), air_jet: 0.8 * circle(air_jet), outlet: 0.7 * 1.5e-6, air, slip }
    }

    /// Fuel and air [kg/s] at the venturi depression `d` [Pa].
    fn flows(&self, d: f64) -> (f64, f64) {
        let at = |x: f64| {
            let (fuel, air) = (mass_flow(self.main_jet, FUEL, x), mass_flow(self.air_jet, self.air, x));
            let density = outlet_density(air / (fuel + air), self.air, FUEL, self.slip);
            (fuel, air, mass_flow(self.outlet, density, d - x))
        };
        let residual = |x: f64| {
            let (fuel, air, mixture) = at(x);
            fuel + air - mixture
        };
        let x = root::find(residual, 1.0e-9 * d, d, 1.0e-12 * d).unwrap().x;
        let (fuel, air, _) = at(x);
        (fuel, air)
    }
}

#[test]
fn outlet_density_has_its_exact_limits() {
    source("identities of the slip form of Abdelall et al.");
    close(outlet_density(0.0, 1.2, 740.0, 8.45), 740.0, 1.0e-14);
    close(outlet_density(1.0, 1.2, 740.0, 8.45), 1.2, 1.0e-14);
    close(outlet_density(0.3, 1.2, 740.0, 1.0), 1.0 / (0.3 / 1.2 + 0.7 / 740.0), 1.0e-14);
    near(zivi_slip(740.0, 1.225), 8.45, 0.006);
}

#[test]
fn bled_main_jet_delivers_the_computed_share_of_fuel() {
    source("three-equation network (form after Abdelall et al.), computed: 2000 Pa, jet 1.2 mm, outlet 1.5 mm2");
    let slip = zivi_slip(FUEL, 1.225);
    for (air_jet, homogeneous, slipping) in
        [(0.0, 1.0, 1.0), (0.6e-3, 0.523, 0.853), (1.0e-3, 0.343, 0.679), (1.5e-3, 0.233, 0.488)]
    {
        for (s, want) in [(1.0, homogeneous), (slip, slipping)] {
            let plain = Network::bled(0.0, 1.225, s).flows(2_000.0).0;
            near(Network::bled(air_jet, 1.225, s).flows(2_000.0).0 / plain, want, 6.0e-4);
        }
    }
}

#[test]
fn air_jet_alone_does_not_flatten_the_mixture() {
    source("scaling of the network with sqrt(D): fuel share 0.5215 at 500, 2000 and 8000 Pa, air 1.2 kg/m3, computed");
    for d in [500.0, 2_000.0, 8_000.0] {
        let plain = Network::bled(0.0, 1.2, 1.0).flows(d).0;
        near(Network::bled(0.6e-3, 1.2, 1.0).flows(d).0 / plain, 0.5215, 6.0e-5);
    }
}

#[test]
fn bleed_weakens_the_dependence_on_altitude() {
    source("exponent n in AFR ~ sigma^n, venturi air ~ sqrt(sigma D), computed");
    for (air_jet, homogeneous, slipping) in
        [(0.0, 0.500, 0.500), (0.6e-3, 0.317, 0.446), (1.0e-3, 0.284, 0.407), (1.5e-3, 0.277, 0.392)]
    {
        for (slips, want) in [(false, homogeneous), (true, slipping)] {
            let fuel = |sigma: f64| {
                let air = 1.225 * sigma;
                let slip = if slips { zivi_slip(FUEL, 1.225) } else { 1.0 };
                Network::bled(air_jet, air, slip).flows(2_000.0).0
            };
            let exponent = 0.5 - libm::log(fuel(0.742) / fuel(1.0)) / libm::log(0.742);
            println!("air jet {air_jet}: exponent {exponent:.4}, printed {want}");
            near(exponent, want, 6.0e-4);
        }
    }
}

#[test]
fn bleed_network_answers_in_the_right_direction() {
    source("monotonic consequences of the network; closed air jet is the series of the two holes, exact");
    for slip in [1.0, 8.45] {
        let fuel = |air_jet: f64, outlet: f64| {
            Network { outlet: 0.7 * outlet, ..Network::bled(air_jet, 1.225, slip) }.flows(2_000.0).0
        };
        assert!(fuel(1.0e-3, 1.5e-6) < fuel(0.6e-3, 1.5e-6));
        assert!(fuel(0.6e-3, 2.0e-6) > fuel(0.6e-3, 1.5e-6));
        let closed = mass_flow(series(0.8 * circle(1.2e-3), 0.7 * 1.5e-6), FUEL, 2_000.0);
        close(fuel(0.0, 1.5e-6), closed, 1.0e-9);
    }
}
