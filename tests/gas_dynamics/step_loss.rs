//! What a step of area and a slide cost: total pressure before and behind, at low Mach number.
//!
//! Sudden expansion from a share `s` of the area: `(1 - s)^2` heads of the narrow side (Borda-Carnot, exact for uniform
//! profiles and constant density). Sudden contraction to a share `s`: `0.5 (1 - s)^0.75` heads of the narrow side (Idelchik,
//! diagram 3-9, from memory). Both within 1 % below Mach 0.06, where compressibility counts for 0.1 %.

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::face::{FaceFlow, restriction};
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::step::Step;
use bellmouth::gas::trace::{Side, Trace};
use bellmouth::media::composition::Composition;

use super::bench::{GAMMA, R_AIR, STILL, air, free, pipe, settle, smooth, still_temperature, total};
use super::{close, found};

const WIDE: f64 = 1e-3;
const SHARES: [f64; 3] = [0.25, 0.5, 0.75];

fn trace(p: f64, u: f64, area: f64) -> Trace {
    let rho = p / (R_AIR * still_temperature());
    Trace { rho, u, p, gamma: GAMMA, composition: Composition::default(), area }
}

/// Loss of total pressure through the face [Pa].
fn lost(f: &FaceFlow) -> f64 {
    f.p0 - total((f.downstream.rho, f.downstream.u, f.downstream.p))
}

#[test]
fn slide_loses_what_borda_and_carnot_say_both_ways() {
    // The throat takes the share s of two equal ducts; the stream that leaves it fills the next duct.
    for s in SHARES {
        for back in [false, true] {
            let (up, down) = (trace(100_200.0, 8.0 * s, WIDE), trace(100_000.0, -8.0 * s, WIDE));
            let (a, b) = if back { (down, up) } else { (up, down) };
            let f = restriction(&Side::Duct(a), &Side::Duct(b), s * WIDE, s * WIDE, 0.0);
            assert!(f.from_a != back && !f.choked && f.throat_mach_squared < 0.06 * 0.06);
            let loss = lost(&f) / (f.p0 - f.throat_p);
            let want = (1.0 - s) * (1.0 - s);
            found(
                &format!("slide open to {s}, back {back}, loss over (1-s)^2, Borda-Carnot"),
                &format!("{:.5}", loss / want),
            );
            close("loss", loss, want, 0.01);
        }
    }
}

#[test]
fn step_of_area_loses_what_its_face_should_both_ways() {
    for s in SHARES {
        for (widening, back) in [(true, false), (true, true), (false, false), (false, true)] {
            let (before, behind) = if widening { (s * WIDE, WIDE) } else { (WIDE, s * WIDE) };
            let speed = |area: f64| 12.0 * s * WIDE / area;
            let (up, down) = (trace(100_100.0, speed(before), before), trace(100_000.0, -speed(behind), behind));
            let mut step = if back { Step::new(7, behind, before) } else { Step::new(7, before, behind) };
            let (_, _, f) = if back { step.solve(down, up) } else { step.solve(up, down) };
            assert!(f.from_a != back && !f.choked && !f.clipped && f.throat_mach_squared < 0.1 * 0.1);
            let (narrow, want) =
                if widening { (f.upstream, (1.0 - s) * (1.0 - s)) } else { (f.downstream, contraction(s)) };
            let loss = lost(&f) / (total((narrow.rho, narrow.u, narrow.p)) - narrow.p);
            found(
                &format!("face of a step, s {s}, {}, back {back}, loss over the handbook's", kind(widening)),
                &format!("{:.5}", loss / want),
            );
            close("loss", loss, want, 0.01);
        }
    }
}

fn kind(widening: bool) -> &'static str {
    if widening { "expansion" } else { "contraction" }
}

fn contraction(s: f64) -> f64 {
    0.5 * libm::pow(1.0 - s, 0.75)
}

/// A duct that steps half-way from `before` to `behind`, 20 cells of 10 mm on each side, in steady flow between free air
/// and a back pressure.
fn steady(before: f64, behind: f64, back: bool) -> DuctCells {
    let duct = smooth(&[pipe(0.2, before), pipe(0.2, behind)], 1e-2);
    let (near, far) = if back { (STILL - 100.0, STILL) } else { (STILL, STILL - 100.0) };
    let mut run = LoneDuct::new(air(), duct, [End::Open(free(near), 0.0), End::Open(free(far), 0.0)]);
    settle(&mut run);
    run.cells
}

#[test]
fn step_inside_a_duct_loses_what_it_should_in_steady_flow_both_ways() {
    for s in SHARES {
        for (widening, back) in [(true, false), (true, true), (false, false), (false, true)] {
            // Along the flow the duct widens or narrows.
            let (before, behind) = if widening == back { (WIDE, s * WIDE) } else { (s * WIDE, WIDE) };
            let duct = steady(before, behind, back);
            let (up, down) = if back { (30, 10) } else { (10, 30) };
            let (upstream, downstream) = (duct.cell(up), duct.cell(down));
            let (narrow, want) =
                if widening { (upstream, (1.0 - s) * (1.0 - s)) } else { (downstream, contraction(s)) };
            assert_eq!(upstream.1 < 0.0, back);
            let loss = (total(upstream) - total(downstream)) / (total(narrow) - narrow.2);
            found(
                &format!(
                    "steady flow through a step, s {s}, {}, back {back}, loss over the handbook's",
                    kind(widening)
                ),
                &format!("{:.5} at {:.1} m/s", loss / want, narrow.1),
            );
            close("loss", loss, want, 0.01);
            // The two cells at the step see the same as the middle of each part.
            let (at, behind) = if back { (20, 19) } else { (19, 20) };
            close(
                "at the step",
                total(duct.cell(at)) - total(duct.cell(behind)),
                total(upstream) - total(downstream),
                1e-3,
            );
            assert_eq!(duct.fallbacks().clipped_steps, 0);
        }
    }
}
