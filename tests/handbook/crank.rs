//! The slider-crank with pin offset, against the linkage solved by itself.

use std::f64::consts::PI;

use bellmouth::hardware::crank::Crank;
use bellmouth::numeric::root;

use super::{close, near, source};

fn crank(offset: f64) -> Crank {
    Crank { bore: 0.088, stroke: 0.082, rod_length: 0.1476, pin_offset: offset, compression_ratio: 9.0 }
}

/// Height of the wrist pin over the crank's centre with the crank `b` [rad] past the cylinder's line: the root of the rod's length,
/// the crank turning away from the thrust side at the top, the pin `pin_offset` towards it.
fn height(c: &Crank, b: f64) -> f64 {
    let a = 0.5 * c.stroke;
    let (x, y) = (a * libm::sin(b), a * libm::cos(b));
    let missing = |pin: f64| {
        let (dx, dy) = (-c.pin_offset - x, pin - y);
        dx * dx + dy * dy - c.rod_length * c.rod_length
    };
    root::find(missing, y, y + 2.0 * c.rod_length, 1e-15).unwrap().x
}

/// Place [rad] and value of the largest of `f` between two angles, by dividing in the golden ratio.
fn largest(f: impl Fn(f64) -> f64, mut lo: f64, mut hi: f64) -> (f64, f64) {
    let g = 0.5 * (5.0_f64.sqrt() - 1.0);
    while hi - lo > 1e-9 {
        let (p, q) = (hi - g * (hi - lo), lo + g * (hi - lo));
        if f(p) > f(q) { hi = q } else { lo = p }
    }
    (0.5 * (lo + hi), f(0.5 * (lo + hi)))
}

#[test]
fn crank_with_pin_offset_moves_as_the_linkage_solved_numerically() {
    source(
        "the rod's length as the only equation, solved by bisection; highest position searched, no closed form used",
    );
    for offset in [-4.1e-3, -1.0e-3, 0.0, 0.5e-3, 1.0e-3, 4.1e-3] {
        let c = crank(offset);
        let (top_at, top) = largest(|b| height(&c, b), -0.5, 0.5);
        let (_, bottom) = largest(|b| -height(&c, b), PI - 0.5, PI + 0.5);
        // The flat top limits the search of its place to the root of the round-off.
        near(top_at, -libm::asin(offset / (0.1476 + 0.041)), 1e-7);
        near(c.piston_stroke(), top + bottom, 1e-13);
        for i in 0..=144 {
            let theta = 4.0 * PI * f64::from(i) / 144.0 - PI;
            near(c.travel(theta), top - height(&c, theta + top_at), 2e-9);
            assert!(c.volume(theta) >= c.clearance_volume(), "{offset} {theta}");
        }
        near(c.travel(0.0), 0.0, 1e-16);
        near(c.volume(0.0) / c.clearance_volume(), 1.0, 1e-14);
        let lowest = (0..3600).map(|i| c.volume(f64::from(i) * PI / 1800.0)).fold(0.0, f64::max);
        close(lowest / c.clearance_volume(), 9.0, 1e-6);
    }
}

#[test]
fn crank_without_offset_moves_by_the_usual_formula_and_with_a_long_rod_as_a_sine() {
    source("slider-crank without offset, Heywood 1988 eq. 2.5 (from memory); limit of an endless rod a (1 - cos t)");
    let c = crank(0.0);
    close(c.swept_volume(), super::circle(0.088) * 0.082, 1e-15);
    close(c.mean_piston_speed(6000.0), 2.0 * 0.082 * 100.0, 1e-15);
    for i in 0..72 {
        let t = f64::from(i) * PI / 36.0;
        let s = 0.041 * libm::sin(t);
        let usual = 0.1476 + 0.041 - (0.041 * libm::cos(t) + (0.1476 * 0.1476 - s * s).sqrt());
        near(c.travel(t), usual, 1e-16);
        let long = Crank { rod_length: 1e4, pin_offset: 4e-3, ..c };
        // The rod's lean leaves a^2 / 2l; the sum with the rod's length the round-off of 1e4.
        near(long.travel(t), 0.041 * (1.0 - libm::cos(t)), 0.041 * 0.041 / 2e4 + 1e-11);
    }
}

#[test]
fn pin_offset_to_one_side_is_offset_to_the_other_with_the_crank_running_backwards() {
    source("mirror image of the linkage");
    for i in 0..72 {
        let t = f64::from(i) * PI / 36.0;
        near(crank(2e-3).travel(t), crank(-2e-3).travel(-t), 1e-16);
    }
    // Towards the thrust side the rod leans more on the way down, so that the piston is ahead of the centred one half way down.
    assert!(crank(2e-3).travel(0.5 * PI) > crank(0.0).travel(0.5 * PI));
}
