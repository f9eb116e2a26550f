//! Laval nozzle between a reservoir and a static pressure, subsonic and with a shock, against the exact flow.

use bellmouth::exact::nozzle_flow::{NozzleFlow, Part, Regime};
use bellmouth::exact::nozzle_one;
use bellmouth::gas::duct_cells::DuctCells;

use super::steady::{GAMMA, P0, Steady, T0, gas};
use super::{close, found};

/// Share of the mass flow by which it may differ along the nozzle.
const MASS: f64 = 1e-10;

fn exact(back: f64) -> NozzleFlow {
    nozzle_one::nozzle(GAMMA).unwrap().flow(back).unwrap()
}

/// The nozzle in `n` cells at the back pressure `back` over that upstream.
fn run(n: usize, back: f64) -> Steady {
    let area = |x: f64| nozzle_one::area(x).unwrap().0;
    Steady::run(DuctCells::of_profile(nozzle_one::LENGTH, n, area, &gas(), back * P0, T0), back * P0)
}

/// Mean absolute difference of the pressure to the exact cell means (Simpson's rule), over the stagnation pressure.
fn pressure_error(s: &Steady, flow: &NozzleFlow) -> f64 {
    let (n, dx) = (s.cells(), s.duct.cell_length(0));
    let p = |x: f64| {
        let (area, part) = nozzle_one::area(x.clamp(0.0, nozzle_one::LENGTH)).unwrap();
        flow.at(area, part).unwrap().p
    };
    let off = |i: usize| {
        let x = s.duct.middle(i);
        s.pressure(i) / P0 - (p(x - 0.5 * dx) + 4.0 * p(x) + p(x + 0.5 * dx)) / 6.0
    };
    (0..n).map(|i| off(i).abs()).sum::<f64>() / n as f64
}

#[test]
fn subsonic_nozzle_is_the_exact_one_and_converges_with_second_order() {
    // NASA NPARC nozzle, areas 2.5, 1 and 1.5, exit pressure 0.89 of the reservoir's. The inlet's throat of 0.999 of
    // its area costs `(1/0.999 - 1)^2` = 1e-6 velocity heads: nothing here.
    let flow = exact(0.89);
    let runs = [50, 100, 200, 400].map(|n| run(n, 0.89));
    for s in &runs {
        assert!(s.spread < MASS, "mass flow differs by {:e} after {} steps", s.spread, s.steps);
    }
    let s = &runs[2];
    let throat = |figure| s.at_face(s.cells() / 2, figure);
    let figures = [
        ("exit Mach number", s.at_end(true, Steady::mach), 0.411_436, flow.exit_mach),
        ("throat Mach number", throat(Steady::mach), 0.804_983, flow.throat_mach),
        ("throat p/p0", throat(Steady::pressure) / P0, 0.652_776, flow.at(1.0, Part::Divergent).unwrap().p),
        ("inlet p/p0", s.at_end(false, Steady::pressure) / P0, 0.963_651, flow.at(2.5, Part::Convergent).unwrap().p),
    ];
    for (what, got, printed, want) in figures {
        // Half of the last digit printed.
        close(what, want, printed, 1e-6);
        found(&format!("subsonic nozzle on 200 cells, {what}, exact {printed}"), &format!("{got:.6}"));
        // `(dx/L)^2` of 200 cells is 2.5e-5; the pressure bends some ten times over the length.
        close(what, got, want, 2.5e-4);
    }
    let errors = runs.each_ref().map(|s| pressure_error(s, &flow));
    let rates: Vec<f64> = errors.windows(2).map(|e| libm::log2(e[0] / e[1])).collect();
    let order = libm::log2(errors[0] / errors[3]) / 3.0;
    let spread = runs.iter().map(|s| s.spread).fold(0.0, f64::max);
    let printed = errors.map(|e| format!("{e:.2e}")).join(" ");
    let figure = format!("{printed} rates {rates:.3?}, all {order:.3}; mass flow along x within {spread:.1e}");
    found("subsonic nozzle, L1 of p/p0 on 50, 100, 200, 400 cells", &figure);
    // The wall's curvature jumps in the throat and the end cells have one-sided slopes: a little less than 2 on coarse
    // cells.
    assert!(order >= 1.9 && rates.iter().all(|&r| r >= 1.85), "{rates:?}");
}

#[test]
fn shock_in_the_nozzle_stands_where_it_should_and_loses_what_it_should() {
    // Exit pressure 0.75 of the reservoir's. On some numbers of cells (50, 100, 400) the shock does not come to rest
    // within its cell but keeps the flow behind it moving, 0.4 to 2 % in mass; in front of it nothing moves. On 200
    // cells it rests.
    let flow = exact(0.75);
    let Regime::Shock { area, shock } = flow.regime else { panic!("no shock: {:?}", flow.regime) };
    let place = nozzle_one::place(area, Part::Divergent).unwrap();
    let s = run(200, 0.75);
    let dx = s.duct.cell_length(0);
    assert!(s.spread < MASS, "mass flow differs by {:e} after {} steps", s.spread, s.steps);
    // The largest Mach number stands in front of the shock; it is where the flow becomes subsonic behind that.
    let peak = (0..200).max_by(|&a, &b| s.mach(a).total_cmp(&s.mach(b))).unwrap();
    let behind = (peak..200).find(|&i| s.mach(i) < 1.0).unwrap();
    let (a, b) = (s.mach(behind - 1), s.mach(behind));
    let found_place = s.duct.middle(behind - 1) + dx * (a - 1.0) / (a - b);
    let p0 = s.at_end(true, Steady::stagnation_pressure) / P0;
    let exit = s.at_end(true, Steady::mach);
    // The last whole cell in front is up to a cell and a half away from the shock; the Mach number grows by this much
    // in one.
    let growth = (s.mach(peak - 2) - s.mach(peak - 4)) / 2.0;
    for (what, got, printed, want, tolerance) in [
        ("place", found_place, 7.5623, place, dx),
        ("Mach number in front", s.mach(peak), 1.611_728, shock.mach_1, 1.5 * growth),
        ("exit Mach number", exit, 0.501_915, flow.exit_mach, 0.005 * flow.exit_mach),
        ("stagnation pressure left", p0, 0.890_798, flow.exit_stagnation_pressure, 0.005 * shock.p0),
    ] {
        close(what, want, printed, 1e-5);
        found(&format!("shock in the nozzle on 200 cells, {what}, exact {printed}"), &format!("{got:.6}"));
        assert!((got - want).abs() <= tolerance, "{what}: {got}, exact {want} within {tolerance}");
    }
    let figure = format!("{:.1e} after {} steps, p/p0 in L1 {:.1e}", s.spread, s.steps, pressure_error(&s, &flow));
    found("shock in the nozzle, mass flow along x, shock included, within", &figure);
}
