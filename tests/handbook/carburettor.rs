//! Textbook carburettors, each by its own book's convention.
//!
//! GUP: H. N. Gupta, Fundamentals of Internal Combustion Engines, ch. 9. MS: Mathur & Sharma, Internal Combustion Engine,
//! ch. 11. RAJ: R. K. Rajput, A Textbook of Internal Combustion Engines, ch. 11. All read as public worked notebooks.

use bellmouth::laws::nozzle;
use bellmouth::laws::orifice::{effective_area, mass_flow, pressure_difference, starting_speed};
use bellmouth::numeric::root;

use super::{circle, near, source};

const G: f64 = 9.81;
const R: f64 = 287.0;
const K: f64 = 1.4;

fn diameter(area: f64) -> f64 {
    (4.0 * area / std::f64::consts::PI).sqrt()
}

fn density(bar: f64, kelvin: f64) -> f64 {
    1.0e5 * bar / (R * kelvin)
}

struct Plain {
    throat: f64,
    cda: f64,
    jet: f64,
    cdf: f64,
    lip: f64,
    air: f64,
    fuel: f64,
    dp: f64,
    g: f64,
}

impl Plain {
    fn air_flow(&self) -> f64 {
        mass_flow(self.cda * circle(self.throat), self.air, self.dp)
    }

    fn ratio(&self, lip: f64) -> f64 {
        self.air_flow() / mass_flow(self.cdf * circle(self.jet), self.fuel, self.dp - self.fuel * self.g * lip)
    }

    fn check(&self, plain: f64, with_lip: f64, start: f64, digits: f64) {
        near(self.ratio(0.0), plain, digits);
        near(self.ratio(self.lip), with_lip, 6.0e-4);
        near(starting_speed(self.fuel, self.air, self.g, self.lip), start, 0.006);
    }
}

#[test]
fn plain_carburettor_of_gup_9_6_has_ratio_15_75() {
    source("GUP 9.6 (p. 287): 15.75, with lip 15.78, start 7.0 m/s");
    Plain { throat: 22.0e-3, cda: 0.82, jet: 1.2e-3, cdf: 0.70, lip: 4.0e-3, air: 1.2, fuel: 750.0, dp: 7_500.0, g: G }
        .check(15.749, 15.780, 7.004, 6.0e-4);
}

#[test]
fn plain_carburettor_of_ms_11_8_has_ratio_13_2() {
    source("MS 11.8: 13.2, with lip 13.223, start 7.83 m/s; g 9.806");
    Plain {
        throat: 20.0e-3,
        cda: 0.85,
        jet: 1.25e-3,
        cdf: 0.66,
        lip: 5.0e-3,
        air: 1.2,
        fuel: 750.0,
        dp: 7_000.0,
        g: 9.806,
    }
    .check(13.188, 13.223, 7.829, 6.0e-4);
}

#[test]
fn plain_carburettor_with_a_1_14_mm_jet_has_ratio_15_15() {
    source("Scilab companion no. 443 ex. 8.5 (inputs only, answer computed)");
    let plain = Plain {
        throat: 20.0e-3,
        cda: 0.80,
        jet: 1.14e-3,
        cdf: 0.65,
        lip: 5.0e-3,
        air: 1.2,
        fuel: 750.0,
        dp: 8_000.0,
        g: G,
    };
    plain.check(15.153, 15.188, 7.830, 6.0e-4);
    near(1.0e3 * plain.air_flow(), 34.825, 6.0e-4);
}

#[test]
fn four_cylinder_of_gup_9_4_needs_a_jet_of_1_953_mm() {
    source("GUP 9.4 (p. 285): depression 0.054 bar, jet 1.953 mm");
    let air = density(1.013, 298.0);
    let flow = 4.0 * circle(0.1) * 0.12 * 3_000.0 / 120.0 * 0.8 * air;
    let dp = pressure_difference(0.82 * circle(35.0e-3), air, flow);
    near(dp, 5_409.1, 0.06);
    let jet = effective_area(750.0, dp - 750.0 * G * 5.0e-3, flow / 15.0) / 0.7;
    near(1.0e3 * diameter(jet), 1.9531, 6.0e-5);
}

#[test]
fn gup_9_5_needs_a_throat_of_21_12_mm() {
    source("GUP 9.5 (p. 286): 351.6 mm of water, throat 21.12 mm, critical 4.9 m/s (which includes the venturi's 0.8)");
    let (air, fuel) = (density(1.013, 294.0), 6.0 / 3_600.0);
    let dp = pressure_difference(0.65 * circle(1.2e-3), 750.0, fuel) + 750.0 * G * 3.0e-3;
    near(dp, 3_448.8, 0.06);
    near(dp / G, 351.6, 0.06);
    near(1.0e3 * diameter(effective_area(air, dp, 15.3 * fuel) / 0.8), 21.118, 6.0e-4);
    let start = starting_speed(750.0, air, G, 3.0e-3);
    near(start, 6.064, 6.0e-4);
    near(0.8 * start, 4.851, 6.0e-4);
}

#[test]
fn raj_11_3_needs_a_jet_of_1_32_mm() {
    source("RAJ 11.3 (p. 401): jet 1.32 mm");
    let (air, fuel) = (density(1.013, 300.0), 7.2 / 3_600.0);
    let dp = pressure_difference(0.8 * circle(24.0e-3), air, 15.0 * fuel);
    near(dp, 2_920.1, 0.06);
    near(1.0e3 * diameter(effective_area(750.0, dp - 750.0 * G * 4.2e-3, fuel) / 0.7), 1.3219, 6.0e-5);
}

#[test]
fn raj_11_4_has_a_throat_of_2_86_cm() {
    source("RAJ 11.4 (p. 402): 7.67 cm of water, 2.86 cm, 8.34 m/s");
    let fuel = 5.45 / 3_600.0;
    let dp = pressure_difference(0.75 * 2.0e-6, 720.0, fuel) + 720.0 * G * 6.35e-3;
    near(dp, 752.2, 0.06);
    near(100.0 * dp / (1_000.0 * G), 7.668, 6.0e-4);
    near(100.0 * diameter(effective_area(1.29, dp, 15.0 * fuel) / 0.8), 2.864, 6.0e-4);
    near(starting_speed(720.0, 1.29, G, 6.35e-3), 8.339, 6.0e-4);
}

#[test]
fn raj_11_1_has_a_depression_of_4448_pa() {
    source("RAJ 11.1 (p. 399): 4447.61 Pa");
    let flow = 4.0 * circle(0.1) * 0.12 * 1_800.0 / 120.0 * 0.75 * 1.2;
    near(1.0e3 * flow, 50.894, 6.0e-4);
    near(pressure_difference(0.8 * circle(28.0e-3), 1.2, flow), 4_447.61, 0.006);
}

/// Throat pressure [Pa] at which the frictionless speed is `speed` [m/s], and the flow per area [kg/(m2 s)] there.
///
/// The books take cp = 1005 J/(kg K); a gas of R 287 and k 1.4 has 1004.5, so that pressure drops differ by 0.05 %.
fn throat(p1: f64, t1: f64, speed: f64) -> (f64, f64) {
    let residual = |p: f64| {
        let ratio = p / p1;
        nozzle::mass_flow(1.0, p1, t1, R, K, p) / (p1 / (R * t1) * libm::pow(ratio, 1.0 / K)) - speed
    };
    let p = root::find(residual, 0.6 * p1, p1, 1.0e-7).unwrap().x;
    (p, nozzle::mass_flow(1.0, p1, t1, R, K, p))
}

/// K, L, P: the area follows from the actual speed, which is the coefficient times the frictionless one.
fn choke(air_per_minute: f64, kelvin: f64, speed: f64, cv: f64) -> (f64, f64) {
    let (p, per_area) = throat(1.013e5, kelvin, speed / cv);
    (p, diameter(air_per_minute / 60.0 / (cv * per_area)))
}

#[test]
fn compressible_choke_of_gup_9_1_is_3_251_cm() {
    source("GUP 9.1 (p. 279), MS 11.1: choke 3.251 cm, jet 2.2 mm; jet under 0.75 of the depression");
    let (p2, d2) = choke(5.0, 300.0, 90.0, 0.8);
    near(p2, 94_051.6, 5.0); // cp 1005 against 1004.5
    near(100.0 * d2, 3.2505, 3.0e-4);
    let jet = effective_area(780.0, 0.75 * (1.013e5 - p2), 0.4 / 60.0) / 0.6;
    near(1.0e3 * diameter(jet), 2.2041, 6.0e-4);
}

#[test]
fn compressible_choke_of_ms_11_2_is_3_526_cm() {
    source("MS 11.2, RAJ 11.7: choke 3.526 cm, jet 2.34 mm");
    let (p2, d2) = choke(6.0, 300.0, 92.0, 0.8);
    near(p2, 93_734.9, 5.0);
    near(100.0 * d2, 3.5261, 3.0e-4);
    let jet = effective_area(740.0, 0.75 * (1.013e5 - p2), 0.45 / 60.0) / 0.6;
    near(1.0e3 * diameter(jet), 2.3436, 6.0e-4);
}

#[test]
fn compressible_choke_of_gup_9_2_is_22_89_mm() {
    source(
        "GUP 9.2 (p. 281): two carburettors, emulsion tube 0.4 D, choke 22.89, jet 1.26 mm; 100 m/s is frictionless",
    );
    let air = density(1.013, 288.0);
    let flow = 2.0e-3 * 4_500.0 / 120.0 * 0.75 / 2.0 * air;
    near(1.0e3 * flow, 34.469, 6.0e-4);
    let (p2, per_area) = throat(1.013e5, 288.0, 100.0);
    near(p2, 95_306.4, 5.0);
    let d = diameter(flow / (0.85 * per_area) / (1.0 - 0.4 * 0.4));
    near(1.0e3 * d, 22.888, 2.0e-3);
    let jet = effective_area(750.0, 1.013e5 - p2 - 750.0 * G * 6.0e-3, flow / 14.0) / 0.66;
    near(1.0e3 * diameter(jet), 1.2609, 3.0e-4);
}

#[test]
fn compressible_choke_of_raj_11_6_is_3_cm() {
    source("RAJ 11.6 (p. 403): 0.03 m (rounded)");
    let (p2, d2) = choke(4.6, 298.0, 80.0, 0.8);
    near(p2, 95_500.4, 5.0);
    near(1.0e3 * d2, 32.779, 3.0e-3);
}

/// Ratio at height `h` [m] by the books' own atmosphere: `t = ts - 0.0065 h`, `h = 19200 log10(1.013/p)`, zero at 273 K.
fn at_height(ratio: f64, h: f64, celsius: f64) -> f64 {
    let p = 1.013 * libm::pow(10.0, -h / 19_200.0);
    let (low, high) = (density(1.013, celsius + 273.0), density(p, celsius - 0.0065 * h + 273.0));
    // the same depression at both heights: air goes with the root of its density, fuel stays
    ratio * mass_flow(1.0, high, 1.0) / mass_flow(1.0, low, 1.0)
}

#[test]
fn altitude_enriches_as_in_gup_9_7_and_ms_11_7() {
    source("GUP 9.7 (p. 289): 12.11 at 4000 m; MS 11.7: 10.99 at 5000 m");
    near(at_height(14.7, 4_000.0, 22.0), 12.112, 2.0e-3);
    near(at_height(14.0, 5_000.0, 27.0), 10.985, 2.0e-3);
}

#[test]
fn a_lip_weakens_the_enrichment_of_altitude_at_small_depressions() {
    source(
        "sigma 0.742 (3000 m), lip 5 mm of petrol 740, depression at sea level 100, 200, 2000 Pa; plain sqrt .8614; computed",
    );
    let sigma = 0.742;
    // the same air speed: depression and air mass go with the density, fuel with the root of what the lip leaves
    let over = |dp: f64, lip: f64| {
        let fuel = |dp: f64| mass_flow(1.0, 740.0, dp - 740.0 * G * lip);
        sigma * fuel(dp) / fuel(sigma * dp)
    };
    for (dp, want) in [(100.0, 0.9619), (200.0, 0.8967), (2_000.0, 0.8642)] {
        near(over(dp, 5.0e-3), want, 1.0e-4);
        near(over(dp, 0.0), 0.8614, 1.0e-4);
    }
}

/// Ratio when a cleaner takes `cleaner` [Pa] and the bowl is vented outside it.
fn cleaned(ratio: f64, depression: f64, cleaner: f64) -> f64 {
    ratio * mass_flow(1.0, 750.0, depression) / mass_flow(1.0, 750.0, depression + cleaner)
}

#[test]
fn cleaner_enriches_when_the_bowl_is_vented_outside_it() {
    source("GUP 9.8 (p. 289): .775 bar, 12.887; MS 11.9: .794, 12.66; RAJ 11.5 (p. 403): .76, 13.69");
    near(cleaned(14.5, 0.188e5, 37.5 / 750.0 * 1.0e5), 12.887, 6.0e-4);
    near(cleaned(14.0, 0.179e5, 30.0 / 750.0 * 1.0e5), 12.657, 6.0e-4);
    let cleaner = 13_600.0 * G * 0.030;
    near(0.8 - 1.0e-5 * cleaner, 0.75998, 6.0e-6);
    near(cleaned(15.0, 0.2e5, cleaner), 13.692, 6.0e-4);
}

#[test]
fn stoichiometry_with_flow_of_gup_9_3() {
    source("GUP 9.3 (p. 283): AFR_st 15.304 by 23 % oxygen by mass; printed fuel .00379 kg/s, 102.5 m/s, 24.75 mm");
    let ratio = (0.84 * 32.0 / 12.0 + 0.16 * 8.0) / 0.23 * 0.95; // "5 % rich" taken as 0.95 of the ratio
    let air = density(1.0, 298.0);
    let volume = 4.0 * circle(80.0e-3) * 90.0e-3 * 4_000.0 / 120.0 * 0.8;
    // the mixture fills the cylinders: air at 298 K and vapour of R 98 share the volume
    let vapour = 1.0e5 / (98.0 * 298.0);
    let fuel = volume / (ratio / air + 1.0 / vapour);
    near(1.0e3 * fuel, 3.7916, 6.0e-4);
    let (p2, per_area) = throat(1.0e5, 298.0, 102.451);
    near(p2, 0.94e5, 3.0); // depression 0.06 bar; cp 1005 against 1004.5
    near(1.0e3 * diameter(fuel * ratio / per_area), 24.747, 2.0e-3);
}
