//! Laval nozzle between gas at rest and a back pressure, against the exact flow.

use bellmouth::exact::nozzle_flow::{Local, NozzleFlow, Part, Regime};
use bellmouth::exact::nozzle_one;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::plot::comparison::{Chart, Comparison, Scale};

use super::bench::{GAMMA, Outcome, air, along, chart, curve, mach, pair, steady};

const CELLS: usize = 200;
/// Stagnation pressure [Pa] and temperature [K] upstream.
const REST: (f64, f64) = (1e5, 300.0);

fn at(flow: &NozzleFlow, x: f64) -> Outcome<Local> {
    let (area, part) = nozzle_one::area(x)?;
    Ok(flow.at(area, part)?)
}

/// Mach number and pressure along the nozzle at the back pressure `back` over that upstream.
fn charts(back: f64, name: &str) -> Outcome<[Chart; 2]> {
    let flow = nozzle_one::nozzle(GAMMA)?.flow(back)?;
    let area = |x: f64| nozzle_one::area(x).map_or(f64::NAN, |a| a.0);
    let duct = DuctCells::of_profile(nozzle_one::LENGTH, CELLS, area, &air(), back * REST.0, REST.1);
    let duct = steady(duct, REST, back * REST.0)?;
    let end = nozzle_one::LENGTH;
    let places = 1000;
    let mut charts = [
        chart(
            &format!("{name}: Mach number"),
            "x [-]",
            Scale::new("Mach number [-]"),
            pair("computed", along(&duct, mach), "exact", curve(0.0, end, places, |x| Ok(at(&flow, x)?.mach))?),
        ),
        chart(
            &format!("{name}: pressure"),
            "x [-]",
            Scale::new("p / p0 [-]"),
            pair(
                "computed",
                along(&duct, |s| s.p / REST.0),
                "exact",
                curve(0.0, end, places, |x| Ok(at(&flow, x)?.p))?,
            ),
        ),
    ];
    for chart in &mut charts {
        if let Regime::Shock { area, .. } = flow.regime {
            let place = nozzle_one::place(area, Part::Divergent)?;
            chart.uprights = Some((vec![place], format!("exact shock, x = {place:.3}")));
        }
    }
    Ok(charts)
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    let [mach_a, pressure_a] = charts(0.89, "Back pressure 0.89")?;
    let [mach_b, pressure_b] = charts(0.75, "Back pressure 0.75")?;
    Ok(Comparison {
        title: "Laval nozzle, subsonic and with a shock, on 200 cells".to_owned(),
        caption: "Areas 2.5, 1 and 1.5 over a length of 10 (any one unit), heat-capacity ratio 1.4, from gas at rest \
                  to a back pressure of 0.89 and 0.75 of the stagnation pressure upstream; run until nothing \
                  changes. Exact: isentropic but for a normal shock. Source: shape of the converging-diverging \
                  verification case of the NASA NPARC archive; Liepmann & Roshko, 1957, chapter 5."
            .to_owned(),
        rows: vec![vec![mach_a, mach_b], vec![pressure_a, pressure_b]],
        height: 420.0,
    })
}
