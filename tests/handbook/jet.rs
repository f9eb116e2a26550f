use bellmouth::laws::jet::{JetLaw, RE_HIGHEST, discharge};
use bellmouth::laws::orifice;
use bellmouth::numeric::root;

use super::{circle, close, near, source};

const SLENDERNESS: [f64; 8] = [0.5, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0];
const TABLE: [(f64, [f64; 8]); 8] = [
    (10.0, [0.1830, 0.1295, 0.0817, 0.0597, 0.0470, 0.0330, 0.0254, 0.0207]),
    (30.0, [0.3799, 0.2951, 0.2040, 0.1559, 0.1261, 0.0913, 0.0715, 0.0588]),
    (100.0, [0.6096, 0.5343, 0.4284, 0.3575, 0.3067, 0.2388, 0.1955, 0.1654]),
    (300.0, [0.7370, 0.6954, 0.6248, 0.5671, 0.5191, 0.4438, 0.3874, 0.3435]),
    (1_000.0, [0.7952, 0.7776, 0.7446, 0.7142, 0.6860, 0.6354, 0.5914, 0.5526]),
    (3_000.0, [0.8141, 0.8059, 0.7899, 0.7743, 0.7592, 0.7302, 0.7027, 0.6766]),
    (10_000.0, [0.8212, 0.8169, 0.8081, 0.7994, 0.7906, 0.7732, 0.7558, 0.7385]),
    (20_000.0, [0.8219, 0.8176, 0.8088, 0.8001, 0.7914, 0.7739, 0.7566, 0.7392]),
];

#[test]
fn discharge_coefficient_follows_lichtarowicz_duggins_and_markland() {
    source("Lichtarowicz, Duggins & Markland 1965, table computed from the constants of two public codes");
    for (re, row) in TABLE {
        for (l, want) in SLENDERNESS.into_iter().zip(row) {
            near(discharge(re, l), want, 1.0e-4); // four printed digits
        }
    }
}

#[test]
fn discharge_coefficient_gives_the_documented_values_of_a_public_library() {
    source("doc-test values of the public library `fluids` (C. Bell)");
    near(discharge(100.0, 2.0), 0.428_415_5, 1.0e-7);
    near(discharge(20_000.0, 2.0), 0.808_816_6, 1.0e-7);
}

#[test]
fn thin_plate_lies_outside_the_correlation() {
    source("potential-flow contraction of a thin plate 0.611; the law's documented extrapolation");
    assert!(discharge(20_000.0, 0.5) > 0.8);
    near(discharge(1.0e6, 2.0), discharge(RE_HIGHEST, 2.0), 1.0e-15);
}

/// Bore [mm], length over bore, pressure [Pa], Re_h, Cd, flow [g/s].
const JETS: [(f64, f64, f64, f64, f64, f64); 12] = [
    (0.35, 4.0, 200.0, 429.0, 0.579, 0.0303),
    (0.35, 4.0, 1_000.0, 959.0, 0.682, 0.0798),
    (0.35, 4.0, 5_000.0, 2_144.0, 0.742, 0.1943),
    (0.50, 4.0, 200.0, 613.0, 0.631, 0.0674),
    (0.50, 4.0, 1_000.0, 1_370.0, 0.713, 0.1703),
    (0.50, 4.0, 5_000.0, 3_063.0, 0.760, 0.4060),
    (1.00, 2.0, 200.0, 1_225.0, 0.756, 0.3231),
    (1.00, 2.0, 1_000.0, 2_740.0, 0.787, 0.7523),
    (1.00, 2.0, 5_000.0, 6_127.0, 0.805, 1.7194),
    (1.30, 2.0, 200.0, 1_593.0, 0.769, 0.5550),
    (1.30, 2.0, 1_000.0, 3_562.0, 0.794, 1.2825),
    (1.30, 2.0, 5_000.0, 7_965.0, 0.807, 2.9147),
];

#[test]
fn jets_of_a_carburettor_pass_the_computed_flow() {
    source("computed from Lichtarowicz, Duggins & Markland for petrol of 740 kg/m3 and 0.60 mm2/s");
    let (rho, nu) = (740.0, 0.60e-6);
    for (bore, l, dp, re, cd, grams) in JETS {
        let bore = 1.0e-3 * bore;
        let law = JetLaw::new(bore, l * bore, rho, nu);
        near(bore / nu * (2.0 * dp / rho).sqrt(), re, 1.0);
        near(law.cd_at(dp), cd, 6.0e-4); // three printed digits
        near(1.0e3 * rho * law.flow(dp), grams, 6.0e-5); // four printed digits
        near(law.flow(-dp), -law.flow(dp), 1.0e-20);
    }
}

#[test]
fn warm_petrol_flows_faster_through_a_pilot_jet_and_slower_through_a_large_one() {
    source("computed: 0.38 mm pilot jet at 1500 Pa, 0 and 40 degrees Celsius; SAE 710207 for the dependence on Re");
    let (cold, warm) = ((757.0, 0.78e-6), (722.0, 0.48e-6));
    let flow =
        |bore: f64, l: f64, dp: f64, (rho, nu): (f64, f64)| 1.0e3 * rho * JetLaw::new(bore, l * bore, rho, nu).flow(dp);
    near(flow(0.38e-3, 4.0, 1_500.0, cold), 0.1167, 6.0e-5);
    near(flow(0.38e-3, 4.0, 1_500.0, warm), 0.1210, 6.0e-5);
    // above Re 2e4 the coefficient is constant and the flow goes with the square root of density: -2.34 %
    let ratio = flow(5.0e-3, 2.0, 20_000.0, warm) / flow(5.0e-3, 2.0, 20_000.0, cold);
    close(ratio, (722.0_f64 / 757.0).sqrt(), 1.0e-9);
    assert!(ratio < 0.98);
}

#[test]
fn pressure_loss_is_the_inverse_of_flow_within_3e_6_from_creeping_to_turbulent() {
    source("inverse pair; the flow is explicit in the head-based Reynolds number");
    for l in [0.5, 2.0, 4.0, 10.0, 20.0] {
        let law = JetLaw::new(0.4e-3, l * 0.4e-3, 740.0, 0.60e-6);
        let mut dp = 1.0e-6;
        while dp < 1.0e8 {
            let q = law.flow(dp);
            close(law.pressure_loss(q), dp, 3.0e-6);
            close(law.pressure_loss(-q), -dp, 3.0e-6);
            dp *= 1.173;
        }
    }
}

#[test]
fn slope_of_the_jet_law_is_its_derivative_and_never_zero() {
    source("calculus identity; laminar limit Re/(20 (1 + 2.25 l)) of the correlation");
    let (bore, l, rho, nu) = (0.4e-3, 4.0, 740.0, 0.60e-6);
    let law = JetLaw::new(bore, l * bore, rho, nu);
    let laminar =
        0.5 * rho * (nu / bore) * (nu / bore) * 20.0 * (1.0 + 2.25 * l) * 4.0 / (std::f64::consts::PI * bore * nu);
    close(law.slope(0.0), laminar, 1.0e-12);
    let mut q = 1.0e-13;
    while q < 1.0e-4 {
        let d = 1.0e-5 * q;
        let difference = (law.pressure_loss(q + d) - law.pressure_loss(q - d)) / (2.0 * d);
        close(law.slope(q), difference, 1.0e-4); // cubics between nodes, differences of doubles
        close(law.slope(-q), law.slope(q), 1.0e-15);
        assert!(law.slope(q) > 0.0);
        q *= 1.37;
    }
    assert!(law.pressure_loss(f64::NAN).is_nan());
}

#[test]
fn shut_jet_passes_next_to_nothing_and_stays_finite() {
    source("documented limit of the law");
    let law = JetLaw::new(0.0, 1.0e-3, 740.0, 0.60e-6);
    assert!(law.pressure_loss(1.0e-12).is_finite() && law.flow(1.0e5) < 1.0e-12);
}

#[test]
fn needle_gap_and_main_jet_in_series_hand_over_gradually() {
    source("series of holes 1/(CdA)^2 = 1/(CdA)_1^2 + 1/(CdA)_2^2, ratios computed for a 1.30 mm jet");
    let jet_area = circle(1.30e-3);
    close(jet_area, 1.3273e-6, 1.0e-4);
    for (gap, want) in [(0.2, 0.149), (0.5, 0.353), (1.0, 0.602), (1.5, 0.749), (2.0, 0.833)] {
        let gap = 1.0e-6 * gap;
        near(orifice::series(0.8 * jet_area, 0.8 * gap) / (0.8 * jet_area), want, 6.0e-4);
        // the same through two jet laws of one slenderness, at a Reynolds number where both coefficients are constant
        let bore = (4.0 * gap / std::f64::consts::PI).sqrt();
        let (a, b) = (JetLaw::new(1.30e-3, 2.6e-3, 740.0, 1.0e-9), JetLaw::new(bore, 2.0 * bore, 740.0, 1.0e-9));
        let dp = 2_000.0;
        let q = root::find(|q| a.pressure_loss(q) + b.pressure_loss(q) - dp, 0.0, a.flow(dp), 1.0e-16).unwrap();
        near(q.x / a.flow(dp), want, 6.0e-4);
    }
}
