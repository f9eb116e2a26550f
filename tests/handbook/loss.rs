use bellmouth::laws::loss::*;

use super::{near, source};

#[test]
fn bell_mouth_follows_the_handbook_table() {
    source("Fried & Idelchik, Flow Resistance, 1989, p. 52, as in a public table");
    for (r, zeta, cd) in [
        (0.02, 0.37, 0.854),
        (0.04, 0.26, 0.891),
        (0.06, 0.20, 0.913),
        (0.08, 0.15, 0.933),
        (0.12, 0.09, 0.958),
        (0.16, 0.06, 0.971),
        (0.20, 0.03, 0.985),
        (0.50, 0.03, 0.985),
    ] {
        near(bell_mouth(r), zeta, 1.0e-12);
        near(inflow_discharge(bell_mouth(r)), cd, 6.0e-4);
    }
    near(inflow_discharge(FLUSH_PIPE), 0.816, 6.0e-4);
    near(inflow_discharge(PLAIN_PIPE), 0.707, 2.0e-4);
    let mut last = 1.0;
    for i in 0..60 {
        let zeta = bell_mouth(0.005 * f64::from(i));
        assert!(zeta <= last && zeta > 0.0);
        last = zeta;
    }
}

#[test]
fn plain_pipe_follows_the_handbook_table() {
    source("Borda (exact) for a thin wall; Idelchik's method, as in a public table, for a wall with thickness");
    for (t, zeta) in [(0.0, 1.0), (0.004, 0.94), (0.01, 0.86), (0.02, 0.72), (0.05, 0.50), (0.2, 0.50)] {
        near(plain_pipe(t), zeta, 1.0e-12);
    }
    let mut last = plain_pipe(0.0);
    for i in 1..60 {
        let zeta = plain_pipe(0.001 * f64::from(i));
        assert!(zeta <= last && zeta >= FLUSH_PIPE);
        last = zeta;
    }
}

#[test]
fn area_steps_lose_the_textbook_heads() {
    source(
        "Borda-Carnot (exact); Idelchik diagram 3-9, newer editions (from memory), checked near 0.343 of Rennels at 0.5",
    );
    for (s, expansion, contraction) in [(0.25, 0.5625, 0.403), (0.5, 0.25, 0.297), (0.75, 0.0625, 0.177)] {
        near(sudden_expansion(s), expansion, 1.0e-12);
        near(sudden_contraction(s), contraction, 6.0e-4);
    }
    near(sudden_contraction(0.5), 0.343, 0.05);
    near(sudden_expansion(1.0) + sudden_contraction(1.0), 0.0, 1.0e-300);
}
