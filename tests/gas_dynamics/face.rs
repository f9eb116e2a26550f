//! The face between two sides: slide, orifice, open end.

use bellmouth::gas::face::{loss_area, restriction};
use bellmouth::gas::trace::{Side, Trace, Vessel};
use bellmouth::laws::nozzle;
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

use super::bench::total;
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
        let loss = (f.p0 - total((d.rho, d.u, d.p))) / (total((d.rho, d.u, d.p)) - d.p);
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
    // Exact: m = C A p0 / sqrt(R T0), C = sqrt(g) (2/(g+1))^((g+1)/(2(g-1))): 0.684731 at gamma 1.4; 1.25 is burnt gas. From
    // vessels and ducts into vessels and ducts, both ways; p0 and T0 are those behind the wave that leaves a duct.
    let mut worst: f64 = 0.0;
    for gamma in [1.4_f64, 1.25] {
        let want = gamma.sqrt() * libm::pow(2.0 / (gamma + 1.0), 0.5 * (gamma + 1.0) / (gamma - 1.0));
        let at = |side: Side| match side {
            Side::Duct(t) => Side::Duct(Trace { gamma, ..t }),
            Side::Vessel(v) => Side::Vessel(Vessel { gamma, ..v }),
        };
        for ratio in [0.45, 0.3, 0.05] {
            for high in [vessel(2e5, 350.0), duct(2e5, 350.0, 20.0, 5.0 * AREA)] {
                for low in [vessel(ratio * 2e5, 300.0), duct(ratio * 2e5, 300.0, 10.0, 9.0 * AREA)] {
                    let (high, low) = (at(high), at(low));
                    for f in [restriction(&high, &low, AREA, 0.0, 0.0), restriction(&low, &high, 0.0, AREA, 0.9)] {
                        assert!(f.choked && f.throat_mach_squared >= 1.0, "{f:?}");
                        let coefficient = f.mass_flow / (AREA * (f.p0 * f.rho0).sqrt());
                        worst = worst.max((coefficient / want - 1.0).abs());
                        if gamma > 1.3 {
                            assert!((coefficient - 0.684_731).abs() < 6e-7, "{coefficient}");
                        }
                    }
                }
            }
        }
        found(
            &format!("choked coefficient at gamma {gamma}, closed form {want:.7}"),
            &format!("largest relative difference {worst:.1e}"),
        );
    }
    assert!(worst < 1e-12);
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
fn hardly_open_throat_leaves_a_duct_as_a_shut_one_does() {
    // Exact in the limit of no area: pressure and momentum at the duct's end go to those of a shut end, as the area does, choked
    // or not, both ways.
    let mut worst: f64 = 0.0;
    for high in [1.2e5, 6e5] {
        for (a, b) in
            [(vessel(high, 1500.0), duct(1e5, 300.0, 12.0, AREA)), (duct(high, 900.0, 30.0, AREA), vessel(1e5, 300.0))]
        {
            let shut = restriction(&a, &b, 0.0, 0.0, 0.0);
            assert!(shut.from_a);
            for power in 3..20 {
                let share = libm::pow(10.0, -f64::from(power));
                let f = restriction(&a, &b, share * AREA, share * AREA, 0.0);
                assert!(f.choked == (high > 5e5) && f.mass_flow > 0.0, "{share} {f:?}");
                for (open, still) in [(f.upstream, shut.upstream), (f.downstream, shut.downstream)] {
                    let push = open.p + open.rho * open.u * open.u;
                    worst = worst.max(((push / still.p - 1.0).abs() - 1e-14) / share);
                }
            }
        }
    }
    found(
        "pressure at a hardly open end over that at a shut one, less one, over the share of the area",
        &format!("{worst:.2}"),
    );
    // The choked stream, 0.5787 rho0 c0 of the throat at gamma 1.4, sends a wave of g/c times its speed in the duct: 10.9 at a ratio of
    // pressures of 6 and of temperatures of 5.
    assert!(worst < 11.0);
}

#[test]
fn nothing_flows_at_equal_pressures_or_through_no_area() {
    // Any pair of sides, both ways, from any start of the solve.
    let sides =
        [vessel(1e5, 300.0), vessel(1e5, 900.0), duct(1e5, 300.0, 0.0, AREA), duct(1e5, 1500.0, 0.0, 3.0 * AREA)];
    let mut most: f64 = 0.0;
    for a in sides {
        for b in sides {
            for guess in [0.0, 0.3, 1.0] {
                for area in [1e-4 * AREA, 0.6 * AREA, AREA] {
                    let f = restriction(&a, &b, area, 0.5 * area, guess);
                    most = most.max(f.mass_flow).max(f.upstream.u).max(f.downstream.u);
                }
            }
        }
    }
    let f = restriction(&duct(2e5, 300.0, 50.0, AREA), &vessel(1e5, 900.0), 0.0, AREA, 0.3);
    most = most.max(f.mass_flow).max(f.upstream.u).max(f.downstream.u);
    found("flow and speeds at equal pressures, and with no area [kg/s, m/s]", &format!("{most:e}"));
    assert!(most <= 0.0);
}
