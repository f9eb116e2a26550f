//! The face between two sides: slide, orifice, open end.

use bellmouth::gas::face::{FaceFlow, loss_area, restriction};
use bellmouth::gas::trace::{Side, Trace, Vessel};
use bellmouth::laws::nozzle;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

use super::{close, found};

const R: f64 = 287.05;
const GAMMA: f64 = 1.4;
const AREA: f64 = 1e-3;

fn duct(p: f64, t: f64, u: f64, area: f64) -> Side {
    Side::Duct(Trace { rho: p / (R * t), u, p, gamma: GAMMA, composition: Composition::default(), area })
}

fn vessel(p: f64, t: f64) -> Side {
    Side::Vessel(Vessel::new(&GasModel::constant(R, GAMMA), p, t, Composition::default()))
}

/// Total pressure of a moving gas.
fn total(rho: f64, u: f64, p: f64) -> f64 {
    let m2 = u * u * rho / (GAMMA * p);
    p * libm::pow(1.0 + 0.5 * (GAMMA - 1.0) * m2, GAMMA / (GAMMA - 1.0))
}

#[test]
fn sudden_expansion_loses_what_borda_and_carnot_say() {
    // Exact for incompressible flow: (1 - s)^2 heads of the narrow side; at Mach 0.03 compressibility is below 0.1 %.
    for s in [0.25, 0.5, 0.75] {
        for step in [true, false] {
            // A step between two ducts, and a throat between two equal ones.
            let first = if step { s * AREA } else { AREA };
            let (up, down) = (duct(100_100.0, 300.0, 8.0, first), duct(100_000.0, 300.0, -8.0 * s, AREA));
            let f = restriction(&up, &down, s * AREA, s * AREA, 0.0);
            assert!(f.from_a && !f.choked && f.mass_flow > 0.0);
            let head = f.p0 - f.throat_p;
            let loss = (f.p0 - total(f.downstream.rho, f.downstream.u, f.downstream.p)) / head;
            found(
                "sudden expansion, loss over (1-s)^2, Borda-Carnot",
                &format!("s {s} {:.5}", loss / (1.0 - s) / (1.0 - s)),
            );
            close("loss", loss, (1.0 - s) * (1.0 - s), 0.01);
            assert!(f.throat_mach_squared.sqrt() < 0.1);
        }
    }
}

#[test]
fn open_end_loses_its_coefficient_of_the_pipes_head() {
    // Bell mouth 0.03, flush 0.5, plain pipe 1.0 (Idelchik; Borda): loss on the head in the pipe at low speed.
    for zeta in [0.03, 0.5, 1.0] {
        let f = restriction(
            &vessel(100_000.0, 300.0),
            &duct(99_930.0, 300.0, -5.0, AREA),
            loss_area(AREA, zeta),
            AREA,
            0.0,
        );
        assert!(f.from_a);
        let d = f.downstream;
        let loss = (f.p0 - total(d.rho, d.u, d.p)) / (total(d.rho, d.u, d.p) - d.p);
        found("open end, loss coefficient", &format!("zeta {zeta} {loss:.5} at {:.1} m/s", d.u));
        close("zeta", loss, zeta, 0.01);
    }
}

#[test]
fn outflow_through_an_open_end_leaves_at_the_pressure_of_free_air() {
    // Jet into free air, common practice: the pressure in the mouth is that outside, whatever the wave.
    let f = restriction(&vessel(100_000.0, 300.0), &duct(101_000.0, 320.0, 30.0, AREA), 0.5 * AREA, AREA, 0.0);
    assert!(!f.from_a && !f.choked);
    found("outflow from an open end, pressure in the mouth over that outside", &format!("{}", f.upstream.p / 1e5));
    close("mouth", f.upstream.p, 1e5, 1e-9);
}

#[test]
fn open_end_reflects_a_weak_wave_with_minus_one_and_a_shut_one_with_plus_one() {
    // Exact for a weak wave: the velocity doubles at an open end, the pressure at a shut one.
    let p0 = 1e5;
    let (t0, c0) = (300.0, (GAMMA * R * 300.0_f64).sqrt());
    let s: f64 = 1.000_01;
    let p = p0 * libm::pow(s, 2.0 * GAMMA / (GAMMA - 1.0));
    let u = 2.0 * c0 * (s - 1.0) / (GAMMA - 1.0);
    let wave = duct(p, t0 * s * s, u, AREA);
    let open = restriction(&vessel(p0, t0), &wave, AREA, AREA, 0.0);
    let shut = restriction(&vessel(p0, t0), &wave, 0.0, 0.0, 0.0);
    let (a, b) = (open.upstream.u / u, (shut.p0 - p0) / (p - p0));
    found(
        "weak wave at an open and at a shut end, velocity and pressure over the incident ones",
        &format!("{a:.5} {b:.5}"),
    );
    close("open", a, 2.0, 1e-3);
    close("shut", b, 2.0, 1e-3);
    assert!(shut.mass_flow.abs() < 1e-15);
}

#[test]
fn choked_face_passes_the_choked_flow() {
    // Exact: 0.684731 at gamma 1.4.
    for ratio in [0.52, 0.3, 0.05] {
        let f = restriction(&vessel(2e5, 350.0), &vessel(ratio * 2e5, 300.0), AREA, AREA, 0.0);
        assert!(f.choked);
        let coefficient = f.mass_flow * (R * 350.0_f64).sqrt() / (AREA * 2e5);
        found("choked coefficient", &format!("{coefficient:.7}"));
        assert!((coefficient - 0.684_731).abs() < 6e-7);
    }
}

#[test]
fn face_between_vessels_is_the_isentropic_nozzle() {
    // Heywood 1988, eqs C.8 and C.9 (from memory): an independent formula of the same flow.
    let mut worst: f64 = 0.0;
    for k in 1..100 {
        let ratio = 1.0 - 1e-6 * libm::pow(10.0, 6.0 * f64::from(k) / 100.0);
        let want = nozzle::mass_flow(AREA, 1.2e5, 310.0, R, GAMMA, ratio * 1.2e5);
        let f = restriction(&vessel(1.2e5, 310.0), &vessel(ratio * 1.2e5, 290.0), AREA, 0.5 * AREA, 0.0);
        worst = worst.max((f.mass_flow / want - 1.0).abs());
        let back = restriction(&vessel(ratio * 1.2e5, 290.0), &vessel(1.2e5, 310.0), AREA, 0.5 * AREA, 0.0);
        assert!(!back.from_a);
        close("half the area the other way", back.mass_flow, 0.5 * want, 1e-6);
    }
    found("vessel to vessel against the isentropic nozzle, largest relative difference", &format!("{worst:.2e}"));
    // The solve ends at 1e-12 of the pressure: 1e-6 of the smallest drop tried (1e-6), half of that in flow.
    assert!(worst < 1e-6);
    let f = restriction(
        &vessel(101_325.0, 288.15),
        &vessel(0.95 * 101_325.0, 288.15),
        0.25 * std::f64::consts::PI * 24e-3 * 24e-3,
        1.0,
        0.0,
    );
    close("24 mm bore at 5 %, 49.0326 g/s", 1e3 * f.mass_flow, 49.0326, 2e-6);
}

#[test]
fn small_hole_in_a_wide_duct_is_the_isentropic_nozzle_too() {
    // The approach speed and the waves die out with the hole: its flow goes to that between vessels. The two waves take
    // `rho c u` each, about 0.6 share of the pressure, at a drop of a fifth: some 2 shares of the flow.
    for (share, tolerance) in [(1e-2, 3e-2), (1e-3, 3e-3), (1e-4, 3e-4)] {
        let f =
            restriction(&duct(1e5, 300.0, 0.0, AREA), &duct(0.8e5, 300.0, 0.0, AREA), share * AREA, share * AREA, 0.0);
        let want = nozzle::mass_flow(share * AREA, 1e5, 300.0, R, GAMMA, 0.8e5);
        found("slide with a small opening against the nozzle", &format!("{share} {:.6}", f.mass_flow / want));
        close("flow", f.mass_flow, want, tolerance);
    }
}

#[test]
fn nothing_flows_at_equal_pressures_or_through_no_area() {
    let still = [
        restriction(&vessel(1e5, 300.0), &vessel(1e5, 900.0), AREA, AREA, 0.0),
        restriction(&duct(1e5, 300.0, 0.0, AREA), &duct(1e5, 900.0, 0.0, AREA), AREA, AREA, 0.3),
        restriction(&duct(2e5, 300.0, 50.0, AREA), &vessel(1e5, 900.0), 0.0, AREA, 0.3),
    ];
    found("flow at equal pressures, and with no area [kg/s]", &format!("{:?}", still.map(|f| f.mass_flow)));
    assert!(still.iter().all(|f| f.mass_flow <= 0.0 && f.upstream.u <= 0.0 && f.downstream.u <= 0.0));
}

/// Numerical Recipes' quick generator (constants from memory): the same bits everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.roll()
    }

    fn side(&mut self, gas: &GasModel) -> Side {
        let (p, t) = (2e4 * libm::pow(20.0, self.roll()), self.between(250.0, 1500.0));
        let y = Composition { burnt: self.roll(), vapour: 0.1 * self.roll(), liquid: 0.0 };
        let v = Vessel::new(gas, p, t, y);
        if self.roll() < 0.3 {
            return Side::Vessel(v);
        }
        let u = self.between(-0.6, 0.6) * (v.gamma * v.p / v.rho).sqrt();
        let area = AREA * libm::pow(10.0, self.between(-1.0, 0.5));
        Side::Duct(Trace { rho: v.rho, u, p, gamma: v.gamma, composition: y, area })
    }
}

fn throat(dice: &mut Dice) -> f64 {
    AREA * libm::pow(10.0, dice.between(-4.0, 0.7))
}

fn bits(f: &FaceFlow) -> Vec<u64> {
    let (a, b) = (f.upstream, f.downstream);
    [f.mass_flow, a.rho, a.u, a.p, b.rho, b.u, b.p, f.p0, f.rho0, f.throat_p, f.throat_u].map(f64::to_bits).to_vec()
}

#[test]
fn face_looks_the_same_from_both_sides() {
    // Exact: swapping the sides and their areas swaps the direction and nothing else.
    let gas = super::rest::real_gas();
    let mut dice = Dice(7);
    for _ in 0..10_000 {
        let (a, b) = (dice.side(&gas), dice.side(&gas));
        let (ab, ba) = (throat(&mut dice), throat(&mut dice));
        let (f, g) = (restriction(&a, &b, ab, ba, 0.0), restriction(&b, &a, ba, ab, 0.0));
        assert_eq!(bits(&f), bits(&g));
        assert_ne!(f.from_a, g.from_a);
    }
    found("swapped sides, 10 000 pairs", "same bits");
}

#[test]
fn face_solves_every_pair_of_states_and_keeps_mass_energy_and_entropy() {
    // Identities of the model: mass and total enthalpy pass unchanged, momentum across the expansion, entropy does not
    // fall. States that the model does not cover (supersonic or thermally choked outlet) are flagged, and few.
    let gas = super::rest::real_gas();
    let mut dice = Dice(20_261_125);
    let (mut clipped, mut choked, mut evaluations, mut most) = (0, 0, 0_u64, 0);
    let (mut mass, mut energy, mut momentum, mut wave) = (0.0_f64, 0.0_f64, 0.0_f64, 0.0_f64);
    for k in 0..100_000 {
        let (a, b) = (dice.side(&gas), dice.side(&gas));
        let (ab, ba) = (throat(&mut dice), throat(&mut dice));
        let guess = if k % 2 == 0 { 0.0 } else { dice.roll() };
        let f = restriction(&a, &b, ab, ba, guess);
        let (up, down) = if f.from_a { (a, b) } else { (b, a) };
        let (u, d, g) = (f.upstream, f.downstream, f.gamma);
        let all = [f.mass_flow, u.rho, u.u, u.p, d.rho, d.u, d.p, f.p0, f.rho0, f.throat_p, f.throat_u];
        assert!(all.iter().all(|x| x.is_finite() && *x >= 0.0), "pair {k}: {f:?}");
        assert!(u.rho > 0.0 && u.p > 0.0 && f.throat_p > 0.0, "pair {k}: {f:?}");
        evaluations += u64::from(f.evaluations);
        most = most.max(f.evaluations);
        choked += u32::from(f.choked);
        if f.clipped {
            clipped += 1;
            continue;
        }
        if f.mass_flow <= 0.0 {
            continue;
        }
        let h0 = g / (g - 1.0) * f.p0 / f.rho0;
        let enthalpy = |e: bellmouth::gas::face::EndState| (g / (g - 1.0) * e.p / e.rho + 0.5 * e.u * e.u) / h0 - 1.0;
        let entropy = |p: f64, rho: f64| libm::log(p) - g * libm::log(rho);
        if let Side::Duct(t) = up {
            mass = mass.max((u.rho * u.u * t.area / f.mass_flow - 1.0).abs());
            energy = energy.max(enthalpy(u).abs());
            // The wave that leaves: J and entropy unchanged.
            let c = (g * u.p / u.rho).sqrt();
            let j = (u.u + 2.0 * c / (g - 1.0)) / (t.u + 2.0 * t.sound() / (g - 1.0)) - 1.0;
            wave = wave.max(j.abs()).max((entropy(u.p, u.rho) - entropy(t.p, t.rho)).abs());
        }
        if let Side::Duct(t) = down {
            mass = mass.max((d.rho * d.u * t.area / f.mass_flow - 1.0).abs());
            energy = energy.max(enthalpy(d).abs());
            let gain = entropy(d.p, d.rho) - entropy(f.p0, f.rho0);
            assert!(gain > -1e-9, "pair {k}: entropy falls by {gain}: {f:?}");
            let s = 1.0 + 0.5 * (t.gamma - 1.0) * (d.u + t.u) / t.sound();
            let asked = t.p * libm::pow(s, 2.0 * t.gamma / (t.gamma - 1.0));
            wave = wave.max((d.p / asked - 1.0).abs());
            if !f.choked {
                let before = f.throat_p * t.area + f.mass_flow * f.throat_u;
                momentum = momentum.max(((d.p * t.area + f.mass_flow * d.u) / before - 1.0).abs());
            }
        }
    }
    found(
        "100 000 random faces: mass, total enthalpy, momentum, waves (largest relative defects), clipped, choked, evaluations mean and most",
        &format!(
            "{mass:.1e} {energy:.1e} {momentum:.1e} {wave:.1e} {clipped} {choked} {:.1} {most}",
            evaluations as f64 / 1e5
        ),
    );
    assert!(mass < 1e-9 && energy < 1e-9 && momentum < 1e-9 && wave < 1e-8);
    assert!(most <= 84, "{most}");
    assert!(clipped < 5_000, "{clipped}");
    assert!(choked > 1_000, "the sweep should choke now and then: {choked}");
}
