//! A weak pulse at a shut end, at an open end and at a step of area.
//!
//! Exact for a weak wave: a shut end reflects its pressure with +1, an ideal open end with -1, a step from `A1` to `A2` with
//! `R = (A1 - A2)/(A1 + A2)`, and lets `T = 2 A1/(A1 + A2)` pass. Source: Kinsler, Frey, Coppens & Sanders, *Fundamentals of
//! Acoustics*, chapter 10 (from memory).
//!
//! The pulse is `cos^2` in pressure and 0.1 % high, a simple wave that runs along +x through cells of 5 mm. At 0.1 % the
//! terms beyond the linear ones are some 0.1 % of it: velocity heads at mouths and steps, and steepening.
//!
//! Two widths. 80 cells from foot to foot (40 at half height): what comes back is measured against what was sent. 30 cells from
//! foot to foot: there the limiter flattens the crest by some 3 % on the way of 200 cells, end or no end; what comes back is
//! measured against a pulse that has gone as far along a straight pipe, so that the end alone is seen.

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::hardware::duct::Piece;
use bellmouth::media::composition::Composition;

use super::bench::{GAMMA, SOUND, STILL, air, free, pipe, smooth};
use super::found;

const CELL: f64 = 5e-3;
/// Width of the two pulses, foot to foot [cells].
const WIDE: f64 = 80.0;
const NARROW: f64 = 30.0;
const CENTRE: f64 = 0.5;
const AREA: f64 = 5e-4;
/// Height of the pulse over the pressure of the still air [-].
const HEIGHT: f64 = 1e-3;

/// Peak [Pa] and integral over the length [Pa m] of a pulse.
#[derive(Debug, Clone, Copy)]
struct Pulse {
    peak: f64,
    integral: f64,
}

/// A duct with a pulse of `sign`, `cells` wide, whose middle is at `CENTRE`, on its way along +x.
fn with_pulse(pieces: &[Piece], cells: f64, sign: f64) -> DuctCells {
    let mut duct = smooth(pieces, CELL);
    let rho = GAMMA * STILL / (SOUND * SOUND);
    duct.fill(&air(), |x| {
        let s = (x - CENTRE) / (cells * CELL);
        let rise = if s.abs() < 0.5 { libm::pow(libm::cos(std::f64::consts::PI * s), 2.0) } else { 0.0 };
        let ratio = 1.0 + sign * HEIGHT * rise;
        // Simple wave: u - 2 c/(g-1) and the entropy are those of the still air.
        let c = SOUND * libm::pow(ratio, 0.5 * (GAMMA - 1.0) / GAMMA);
        let u = 2.0 * (c - SOUND) / (GAMMA - 1.0);
        (rho * libm::pow(ratio, 1.0 / GAMMA), u, STILL * ratio, Composition::default())
    });
    duct
}

/// What stands between `from` and `to` [m]; the peak by the parabola through the highest cell and its neighbours.
fn measure(duct: &DuctCells, from: f64, to: f64) -> Pulse {
    let over = |i: usize| duct.cell(i).2 - STILL;
    let inside: Vec<usize> = (0..duct.cells()).filter(|&i| duct.middle(i) > from && duct.middle(i) < to).collect();
    let integral = inside.iter().map(|&i| over(i) * duct.cell_length(i)).sum();
    let top = inside.iter().copied().max_by(|&i, &k| over(i).abs().total_cmp(&over(k).abs())).unwrap();
    let (a, b, c) = (over(top - 1), over(top), over(top + 1));
    Pulse { peak: b + 0.125 * (c - a) * (c - a) / (2.0 * b - a - c), integral }
}

/// The pulse in the metre of pipe before `x` = 1, before and after it has gone a metre, and the duct then.
fn run(pieces: &[Piece], far: End, cells: f64, sign: f64) -> (Pulse, Pulse, DuctCells) {
    let duct = with_pulse(pieces, cells, sign);
    let before = measure(&duct, 0.0, 1.0);
    let mut run = LoneDuct::new(air(), duct, [End::Shut, far]);
    run.run_to(1.0 / SOUND).unwrap();
    assert_eq!((run.cells.fallbacks().first_order, run.cells.fallbacks().clipped_steps), (0, 0));
    (before, measure(&run.cells, 0.0, 1.0), run.cells)
}

/// What the returning and the passing pulse are compared with.
fn reference(cells: f64, sign: f64) -> Pulse {
    let (sent, _, duct) = run(&[pipe(2.0, AREA)], End::Shut, cells, sign);
    let straight = measure(&duct, 1.0, 2.0);
    if cells >= WIDE { sent } else { straight }
}

/// Says how much of the pulse came back or passed, and fails unless both measures are within 1 % of `want` times it.
fn expect(what: &str, cells: f64, sign: f64, after: Pulse, want: f64) {
    let before = reference(cells, sign);
    let (peak, integral) = (after.peak / before.peak, after.integral / before.integral);
    found(
        &format!("{what}, pulse of {:+.1} % over {cells} cells, pressure over the incident one", 100.0 * sign * HEIGHT),
        &format!("exact {want:+.4}: peak {peak:+.5} integral {integral:+.5}"),
    );
    for got in [peak, integral] {
        assert!((got - want).abs() <= 0.01 * want.abs(), "{what}: {got}, want {want}");
    }
}

fn pulses() -> impl Iterator<Item = (f64, f64)> {
    [WIDE, NARROW].into_iter().flat_map(|cells| [(cells, 1.0), (cells, -1.0)])
}

#[test]
fn pulse_keeps_its_integral_along_a_straight_pipe() {
    // Exact in the linear limit; a simple wave of 0.1 % steepens, which moves gas within the pulse only.
    for (cells, sign) in pulses() {
        let (sent, _, duct) = run(&[pipe(2.0, AREA)], End::Shut, cells, sign);
        let after = measure(&duct, 1.0, 2.0);
        let (peak, integral) = (after.peak / sent.peak, after.integral / sent.integral);
        found(
            &format!("straight pipe, pulse of {:+.1} % over {cells} cells after 200 cells", 100.0 * sign * HEIGHT),
            &format!("peak {peak:.5} integral {integral:.7}"),
        );
        assert!((integral - 1.0).abs() < 1e-4);
        assert!(cells < WIDE || (peak - 1.0).abs() < 0.01);
    }
}

#[test]
fn shut_end_reflects_a_pulse_with_plus_one() {
    for (cells, sign) in pulses() {
        let (_, back, _) = run(&[pipe(1.0, AREA)], End::Shut, cells, sign);
        expect("shut end", cells, sign, back, 1.0);
    }
}

#[test]
fn open_end_reflects_a_pulse_with_minus_one() {
    for (cells, sign) in pulses() {
        let (_, back, _) = run(&[pipe(1.0, AREA)], End::Open(free(STILL), 0.0), cells, sign);
        expect("open end without loss", cells, sign, back, -1.0);
    }
}

#[test]
fn step_of_area_splits_a_pulse_as_the_areas_say() {
    for ratio in [2.0, 0.5, 4.0] {
        for (cells, sign) in pulses() {
            let (_, back, duct) = run(&[pipe(1.0, AREA), pipe(1.0, ratio * AREA)], End::Shut, cells, sign);
            let passed = measure(&duct, 1.0, 2.0);
            let (r, t) = ((1.0 - ratio) / (1.0 + ratio), 2.0 / (1.0 + ratio));
            expect(&format!("step to {ratio} times the area, reflected"), cells, sign, back, r);
            expect(&format!("step to {ratio} times the area, transmitted"), cells, sign, passed, t);
        }
    }
}
