use bellmouth::laws::nozzle::*;

use super::{circle, close, near, source};

#[test]
fn critical_ratio_and_choked_coefficient_have_their_exact_values() {
    source("isentropic relations, Heywood 1988 app. C, computed");
    near(critical_ratio(1.4), 0.528_282, 5.0e-7);
    near(critical_ratio(1.35), 0.536_851, 5.0e-7);
    near(critical_ratio(1.3), 0.545_728, 5.0e-7);
    near(choked_coefficient(1.4), 0.684_731, 5.0e-7);
    close(flow_function(1.0, 1.33), choked_coefficient(1.33), 1.0e-14);
}

const BORE: [(f64, f64, f64); 7] = [
    (0.99, 22.4190, 0.99463),
    (0.98, 31.5331, 0.98923),
    (0.95, 49.0326, 0.97285),
    (0.90, 67.3520, 0.94492),
    (0.80, 89.3596, 0.88648),
    (0.70, 101.7367, 0.82406),
    (0.60, 107.8885, 0.75681),
];

#[test]
fn bore_of_24_mm_passes_the_computed_air() {
    source("Heywood 1988 eqs C.8 and C.9, computed for 101 325 Pa, 288.15 K, R 287.05");
    let flow = |ratio: f64| 1.0e3 * mass_flow(circle(24.0e-3), 101_325.0, 288.15, 287.05, 1.4, ratio * 101_325.0);
    for (ratio, grams, phi) in BORE {
        near(flow(ratio), grams, 6.0e-5);
        near(compressibility(ratio, 1.4), phi, 6.0e-6);
    }
    for ratio in [0.5282, 0.3, 0.0] {
        near(flow(ratio), 109.1343, 6.0e-5);
    }
    // continuous where it chokes, nothing without a drop
    close(flow(critical_ratio(1.4) + 1.0e-9), flow(critical_ratio(1.4)), 1.0e-12);
    near(flow(1.0) + flow(1.2), 0.0, 1.0e-300);
}

#[test]
fn compressibility_enriches_a_plain_carburettor_by_the_computed_share() {
    source("1/Phi of the isentropic restriction, computed");
    for (drop, want) in [(0.01, 1.005), (0.02, 1.011), (0.05, 1.028), (0.10, 1.058)] {
        near(1.0 / compressibility(1.0 - drop, 1.4), want, 6.0e-4);
    }
    near(compressibility(1.0, 1.4), 1.0, 1.0e-15);
}

#[test]
fn converging_nozzle_of_fox_example_12_2_gives_2_20_kg_s() {
    source("Fox & McDonald, Introduction to Fluid Mechanics, ch. 12 ex. 2 (public worked notebook)");
    near(mass_flow(0.001, 1.0e6, 333.0, 287.0, 1.4, 591.0e3), 2.1956, 6.0e-5);
    let mach = (5.0 * (libm::pow(1000.0 / 591.0, 0.4 / 1.4) - 1.0)).sqrt();
    near(mach, 0.900, 6.0e-4);
    close(
        flow_function(mach, 1.4) * 0.001 * 1.0e6 / (287.0 * 333.0_f64).sqrt(),
        mass_flow(0.001, 1.0e6, 333.0, 287.0, 1.4, 591.0e3),
        1.0e-12,
    );
}

#[test]
fn choked_nozzle_of_fox_example_12_3_gives_2_40_pounds_per_second() {
    source("Fox & McDonald ch. 12 ex. 3; in the book's units a pound-force is 32.2 lb ft/s2 and R 53.3 ft lbf/(lb R)");
    let (foot, rankine, pound) = (0.3048, 5.0 / 9.0, 0.453_592_37);
    let psi = 144.0 * 32.2 * pound / foot; // 6900.3 Pa, where the true pound-force gives 6894.8
    let r = 53.3 * 32.2 * foot * foot / rankine; // 287.00
    let mach: f64 = 0.52;
    let theta = 1.0 + 0.2 * mach * mach;
    let (p0, t0) = (60.0 * psi * libm::pow(theta, 3.5), 500.0 * rankine * theta);
    let area = 0.013 * foot * foot;
    let flow = flow_function(mach, 1.4) * area * p0 / (r * t0).sqrt();
    near(flow / pound, 2.4022, 6.0e-5);
    near(flow, 1.0896, 6.0e-5);
    let throat = flow / mass_flow(1.0, p0, t0, r, 1.4, 0.0);
    near(throat / (foot * foot), 0.00997, 6.0e-6);
    near(mach_from_flow_function(flow * (r * t0).sqrt() / (area * p0), 1.4), 0.52, 1.0e-12);
}

#[test]
fn converging_diverging_nozzle_of_fox_examples_12_4_and_12_5() {
    source("Fox & McDonald ch. 12 ex. 4 and 5");
    let (p0, t0, exit) = (1.0e6, 350.0, 0.001);
    let mach = |ratio: f64| (5.0 * (libm::pow(1.0 / ratio, 0.4 / 1.4) - 1.0)).sqrt();
    let exit_mach = mach(0.954);
    near(exit_mach, 0.26025, 6.0e-6);
    let throat = exit * flow_function(exit_mach, 1.4) / flow_function(0.68, 1.4);
    near(1.0e4 * throat, 4.793, 6.0e-4);
    near(mass_flow(throat, p0, t0, 287.0, 1.4, 87.5e3), 1.04, 0.006);
    let supersonic = mach(0.0875);
    near(supersonic, 2.24, 0.006);
    // the design point closes: choked throat and supersonic exit pass the same flow within the printed digits
    close(flow_function(2.24, 1.4) * exit, choked_coefficient(1.4) * throat, 0.005);
}

#[test]
fn bell_mouthed_tube_of_fox_example_12_6_gives_3_06_g_s() {
    source("Fox & McDonald ch. 12 ex. 6: metering at carburettor scale");
    near(mass_flow(circle(7.16e-3), 101.0e3, 296.0, 287.0, 1.4, 98.5e3), 0.00306, 6.0e-6);
    let mach = (5.0 * (libm::pow(101.0 / 98.5, 0.4 / 1.4) - 1.0)).sqrt();
    near(mach, 0.190, 6.0e-4);
}

#[test]
fn mach_number_is_the_inverse_of_the_flow_function() {
    source("inverse pair, exact to the search's tolerance");
    for gamma in [1.2, 1.3, 1.4] {
        for i in 1..1000 {
            let mach = f64::from(i) / 1000.0;
            // near Mach 1 the flow function is flat: rounding of 1e-16 moves the root by its square root
            let tolerance = 1.0e-12 + 1.0e-15 / (1.0 - mach);
            near(mach_from_flow_function(flow_function(mach, gamma), gamma), mach, tolerance);
        }
    }
    near(mach_from_flow_function(-1.0, 1.4), 0.0, 1e-300);
    near(mach_from_flow_function(0.7, 1.4), 1.0, 1e-300);
    assert!(mach_from_flow_function(f64::NAN, 1.4).is_nan());
}
