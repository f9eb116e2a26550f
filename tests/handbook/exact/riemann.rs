//! The Riemann problem: published states and speeds, and the identities its waves obey.

use bellmouth::exact::riemann::{Riemann, Wave};
use bellmouth::exact::state::State;

use super::super::{close, near, source};
use super::refusal;

const G: f64 = 1.4;

fn solve(l: (f64, f64, f64), r: (f64, f64, f64)) -> Riemann {
    Riemann::new(l.into(), r.into(), G).unwrap()
}

/// Name, left, right, then p, u, densities left and right of the contact with the half of their last digit.
type Row = (&'static str, (f64, f64, f64), (f64, f64, f64), [(f64, f64); 4]);

const TABLE: [Row; 7] = [
    (
        "Sod",
        (1.0, 0.0, 1.0),
        (0.125, 0.0, 0.1),
        [(0.303_130_18, 6e-9), (0.927_452_62, 6e-9), (0.426_319_43, 6e-9), (0.265_573_71, 6e-9)],
    ),
    (
        "Toro 1, sonic rarefaction",
        (1.0, 0.75, 1.0),
        (0.125, 0.0, 0.1),
        [(0.466_294, 6e-7), (1.360_91, 6e-6), (0.579_867, 6e-7), (0.339_700, 6e-7)],
    ),
    (
        "Toro 2, near vacuum",
        (1.0, -2.0, 0.4),
        (1.0, 2.0, 0.4),
        [(0.001_893_87, 6e-9), (0.0, 1e-15), (0.021_852_1, 6e-8), (0.021_852_1, 6e-8)],
    ),
    (
        "Toro 3",
        (1.0, 0.0, 1000.0),
        (1.0, 0.0, 0.01),
        [(460.894, 6e-4), (19.5975, 6e-5), (0.575_062, 6e-7), (5.999_24, 6e-6)],
    ),
    // its own data have five or six digits, hence a share of 1e-5
    (
        "collision",
        (5.999_24, 19.5975, 460.894),
        (5.992_42, -6.196_33, 46.0950),
        [(1691.65, 1.7e-2), (8.689_77, 8.7e-5), (14.2823, 1.5e-4), (31.0426, 3.2e-4)],
    ),
    // the data have seven digits: so little is left of u that rounding of them shows
    (
        "Toro 5, slow contact",
        (1.0, -19.597_45, 1000.0),
        (1.0, -19.597_45, 0.01),
        [(460.894, 6e-4), (0.0, 6e-5), (0.575_062, 6e-7), (5.999_24, 6e-6)],
    ),
    (
        "Lax",
        (0.445, 0.698, 3.528),
        (0.5, 0.0, 0.571),
        [(2.466_098, 6e-7), (1.528_723, 6e-7), (0.344_568, 6e-7), (1.304_085, 6e-7)],
    ),
];

#[test]
fn states_between_the_waves_are_the_published_ones() {
    source("Toro 2009 ch. 4, Lax 1954 (from memory), recomputed to 1e-14 by other code");
    for (name, l, r, want) in TABLE {
        let e = solve(l, r);
        println!("{name}: {e:?}");
        for (got, (want, tolerance)) in [e.p, e.u, e.rho_l, e.rho_r].into_iter().zip(want) {
            near(got, want, tolerance);
        }
    }
}

#[test]
fn waves_of_the_sod_tube_run_at_the_published_speeds() {
    source("Toro 2009 ch. 4 (from memory), recomputed");
    let sod = solve((1.0, 0.0, 1.0), (0.125, 0.0, 0.1));
    let Wave::Rarefaction { head, tail } = sod.wave_l else { panic!("{:?}", sod.wave_l) };
    let Wave::Shock { speed } = sod.wave_r else { panic!("{:?}", sod.wave_r) };
    near(head, -1.183_215_96, 6e-9);
    near(tail, -0.070_272_81, 6e-9);
    near(sod.u, 0.927_452_62, 6e-9);
    near(speed, 1.752_155_73, 6e-9);
}

/// Flux of mass, momentum and energy.
fn flux(s: State) -> [f64; 3] {
    let energy = s.p / (G - 1.0) + 0.5 * s.rho * s.u * s.u;
    [s.rho * s.u, s.rho * s.u * s.u + s.p, s.u * (energy + s.p)]
}

fn conserved(s: State) -> [f64; 3] {
    [s.rho, s.rho * s.u, s.p / (G - 1.0) + 0.5 * s.rho * s.u * s.u]
}

#[test]
fn shocks_conserve_and_fans_keep_entropy_and_the_other_characteristic() {
    source("Rankine and Hugoniot's conditions, Riemann's invariants: identities");
    for (name, l, r, _) in TABLE {
        let e = solve(l, r);
        for (wave, k, sign) in [(e.wave_l, e.l, -1.0), (e.wave_r, e.r, 1.0)] {
            let star = State { rho: if sign < 0.0 { e.rho_l } else { e.rho_r }, u: e.u, p: e.p };
            match wave {
                Wave::Shock { speed } => {
                    for i in 0..3 {
                        let jump = speed * (conserved(star)[i] - conserved(k)[i]);
                        let scale = flux(star)[i].abs() + flux(k)[i].abs() + (speed * conserved(star)[i]).abs();
                        near(flux(star)[i] - flux(k)[i], jump, 1e-12 * scale);
                    }
                    assert!(star.p > k.p, "{name}: a shock expands");
                }
                Wave::Rarefaction { head, tail } => {
                    close(head, k.u + sign * k.sound(G), 1e-14);
                    close(tail, star.u + sign * star.sound(G), 1e-12);
                    for share in [0.0, 0.3, 0.7, 1.0] {
                        let s = head + share * (tail - head);
                        let here = e.at(s);
                        close(here.p / libm::pow(here.rho, G), k.p / libm::pow(k.rho, G), 1e-12);
                        let scale = here.sound(G) + here.u.abs();
                        near(here.u + sign * here.sound(G), s, 1e-12 * scale);
                        let invariant = |a: State| a.u - sign * 2.0 / (G - 1.0) * a.sound(G);
                        near(invariant(here), invariant(k), 1e-12 * (scale + k.sound(G)) * 10.0);
                    }
                }
            }
        }
    }
}

#[test]
fn mirrored_problem_has_the_mirrored_solution() {
    source("identity");
    for (_, l, r, _) in TABLE {
        let (a, b) = (solve(l, r), solve((r.0, -r.1, r.2), (l.0, -l.1, l.2)));
        let scale = a.u.abs() + a.l.sound(G);
        for i in -40..=40 {
            // rays beside the jumps: on a jump itself the two sides are equally right
            let s = (f64::from(i) + 0.137) * 0.1 * scale;
            let (p, q) = (a.at(s), b.at(-s).mirrored());
            close(p.rho, q.rho, 1e-11);
            close(p.p, q.p, 1e-11);
            near(p.u, q.u, 1e-11 * scale);
        }
    }
}

#[test]
fn uniform_gas_stays_and_units_do_not_matter() {
    source("identity; similarity");
    let same = solve((1.2, 30.0, 1e5), (1.2, 30.0, 1e5));
    close(same.p, 1e5, 1e-14);
    close(same.u, 30.0, 1e-12);
    let (one, si) = (solve((1.0, 0.0, 1.0), (0.125, 0.0, 0.1)), solve((1.2, 0.0, 1e5), (0.15, 0.0, 1e4)));
    close(si.p, 1e5 * one.p, 1e-13);
    close(si.u, one.u * (1e5_f64 / 1.2).sqrt(), 1e-13);
}

#[test]
fn gases_that_part_too_fast_or_cannot_exist_are_refused() {
    source("condition of vacuum, Toro 2009 section 4.3.1 (from memory)");
    let gas = |u: f64| State { rho: 1.0, u, p: 1.0 };
    let limit = 2.0 * gas(0.0).sound(G) / (G - 1.0);
    assert!(Riemann::new(gas(-0.999 * limit), gas(0.999 * limit), G).is_ok());
    assert!(refusal(Riemann::new(gas(-1.001 * limit), gas(1.001 * limit), G)).contains("vacuum"));
    assert!(refusal(Riemann::new(State { rho: 0.0, ..gas(0.0) }, gas(0.0), G)).contains("rho"));
    assert!(refusal(Riemann::new(gas(f64::NAN), gas(0.0), G)).contains('u'));
    assert!(refusal(Riemann::new(gas(0.0), gas(0.0), 1.0)).contains("gamma"));
}
