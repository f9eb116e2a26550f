//! Ends of a duct in steady flow: what an inlet loses, how an outlet leaves.
//!
//! A pipe of 300 mm in cells of 10 mm, smooth walls, some 10 m/s between free air and a pressure 100 Pa lower. Loss
//! coefficients on the head in the pipe: bell mouth 0.03 (Idelchik), flush sharp edge 0.5, plain pipe 1.0 (Borda). With them the
//! discharge coefficient is `1/sqrt(1 + zeta)`.

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::laws::nozzle;

use super::bench::{GAMMA, R_AIR, STILL, air, free, mass_flow, pipe, settle, smooth, still_temperature, total};
use super::{close, found};

const AREA: f64 = 4.5e-4;
const DROP: f64 = 100.0;

/// Steady flow from `inlet` to `outlet`, along +x or against it.
fn steady(inlet: End, outlet: End, back: bool) -> DuctCells {
    let ends = if back { [outlet, inlet] } else { [inlet, outlet] };
    let mut run = LoneDuct::new(air(), smooth(&[pipe(0.3, AREA)], 1e-2), ends);
    settle(&mut run);
    assert_eq!(run.cells.cell(15).1 < 0.0, back);
    run.cells
}

#[test]
fn inlets_lose_their_heads_and_have_their_discharge_coefficients() {
    for (name, zeta) in [("bell mouth", 0.03), ("flush", 0.5), ("plain", 1.0)] {
        for back in [false, true] {
            let duct = steady(End::Open(free(STILL), zeta), End::Open(free(STILL - DROP), 0.0), back);
            // Next to the inlet and in the middle.
            for i in [if back { 29 } else { 0 }, 15] {
                let (rho, u, p) = duct.cell(i);
                let loss = (STILL - total((rho, u, p))) / (total((rho, u, p)) - p);
                let ideal = nozzle::mass_flow(AREA, STILL, still_temperature(), R_AIR, GAMMA, p);
                let discharge = mass_flow(&duct, i).abs() / ideal;
                let want = 1.0 / (1.0 + zeta).sqrt();
                found(
                    &format!(
                        "{name} inlet, cell {i}, back {back}, loss [heads] of {zeta}, discharge coefficient of {want:.4}"
                    ),
                    &format!("{loss:.5} {discharge:.5} at {u:.2} m/s"),
                );
                close("loss", loss, zeta, 0.02);
                close("discharge", discharge, want, 0.02);
            }
        }
    }
}

#[test]
fn outflow_leaves_at_the_pressure_of_the_air_outside() {
    // Jet into free air, common practice. A second reading: all of the drop is inlet loss and the head of the jet.
    for zeta in [0.03, 1.0] {
        for back in [false, true] {
            let duct = steady(End::Open(free(STILL), zeta), End::Open(free(STILL - DROP), 0.7), back);
            let last = duct.cell(if back { 0 } else { 29 });
            let over = last.2 - (STILL - DROP);
            let heads = DROP / (total(last) - last.2);
            found(
                &format!(
                    "outlet, back {back}: pressure over that outside over the drop; drop in heads of {}",
                    1.0 + zeta
                ),
                &format!("{:.1e} {heads:.5}", over / DROP),
            );
            assert!(over.abs() < 1e-3 * DROP, "{over}");
            close("heads", heads, 1.0 + zeta, 0.02);
        }
    }
}

#[test]
fn orifice_at_the_end_passes_the_ideal_flow_of_its_area() {
    // From the total pressure in the duct to that outside; and into the duct from that of the air, whose jet then spreads
    // (Borda-Carnot). Both at an effective area of 0.4 of the duct's.
    let share = 0.4;
    for back in [false, true] {
        let out = steady(End::Open(free(STILL), 0.0), End::Orifice(free(STILL - 500.0), share * AREA), back);
        let last = if back { 0 } else { 29 };
        let p0 = total(out.cell(last));
        let ideal = nozzle::mass_flow(share * AREA, p0, still_temperature(), R_AIR, GAMMA, STILL - 500.0);
        let outward = mass_flow(&out, last).abs() / ideal;
        let inward = steady(End::Orifice(free(STILL), share * AREA), End::Open(free(STILL - 500.0), 0.0), back);
        let first = inward.cell(if back { 29 } else { 0 });
        let heads = (STILL - total(first)) / (total(first) - first.2);
        let want = (1.0 / share - 1.0) * (1.0 / share - 1.0);
        found(
            &format!(
                "orifice of {share} of the duct, back {back}: flow over the ideal one outward; loss over Borda-Carnot's inward"
            ),
            &format!("{outward:.5} {:.5}", heads / want),
        );
        close("outward", outward, 1.0, 0.002);
        close("inward", heads, want, 0.02);
    }
}
