//! Shock tubes against the exact solution of their Riemann problem.

use bellmouth::exact::riemann::Riemann;
use bellmouth::exact::state::State;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::media::gas::GasModel;
use bellmouth::plot::comparison::{Chart, Comparison, Kind, Scale, Series};

use super::bench::{GAMMA, Outcome, Points, along, chart, curve, fill, pair, unphysical};

const CELLS: usize = 200;
/// Place of the membrane in a tube of unit length.
const MEMBRANE: f64 = 0.5;

/// A tube of unit length, in any consistent set of units. Data: Toro 2009, chapters 4 and 10; Lax 1954 (from memory).
struct Tube {
    name: &'static str,
    l: (f64, f64, f64),
    r: (f64, f64, f64),
    /// Time of comparison.
    t: f64,
    /// Whether the pressures differ by powers of ten.
    steep: bool,
}

const TUBES: [Tube; 3] = [
    Tube { name: "Sod", l: (1.0, 0.0, 1.0), r: (0.125, 0.0, 0.1), t: 0.2, steep: false },
    Tube { name: "Lax", l: (0.445, 0.698, 3.528), r: (0.5, 0.0, 0.571), t: 0.13, steep: false },
    Tube { name: "Toro 3", l: (1.0, 0.0, 1000.0), r: (1.0, 0.0, 0.01), t: 0.012, steep: true },
];

impl Tube {
    fn solve(&self) -> Outcome<DuctCells> {
        let gas = GasModel::constant(1.0, GAMMA);
        let mut duct = DuctCells::of_profile(1.0, CELLS, |_| 1.0, &gas, 1.0, 1.0);
        fill(&mut duct, &gas, |x| if x < MEMBRANE { self.l.into() } else { self.r.into() });
        // no wave reaches an end before the time of comparison
        let given = |(rho, u, p)| End::Given(rho, u, p);
        let mut run = LoneDuct::new(gas, duct, [given(self.l), given(self.r)]);
        run.run_to(self.t).map_err(unphysical)?;
        Ok(run.cells)
    }

    fn at(&self, exact: &Riemann, x: f64) -> State {
        exact.at((x - MEMBRANE) / self.t)
    }

    /// Density less its exact cell mean, over the largest exact one, and the mean of its size.
    fn error(&self, duct: &DuctCells, exact: &Riemann) -> (Points, f64) {
        let (parts, dx) = (40, 1.0 / CELLS as f64);
        let largest = [self.l.0, self.r.0, exact.rho_l, exact.rho_r].into_iter().fold(0.0, f64::max);
        let off = |i: usize| {
            let place = |k: i32| duct.middle(i) + dx * ((f64::from(k) + 0.5) / f64::from(parts) - 0.5);
            let mean = (0..parts).map(|k| self.at(exact, place(k)).rho).sum::<f64>() / f64::from(parts);
            (duct.middle(i), (duct.cell(i).0 - mean) / largest)
        };
        let all: Points = (0..duct.cells()).map(off).collect();
        let mean = all.iter().map(|e| e.1.abs()).sum::<f64>() / CELLS as f64;
        (all, mean)
    }

    /// Density, velocity, pressure and the error of density along the tube.
    fn charts(&self) -> Outcome<[Chart; 4]> {
        let (duct, exact) = (self.solve()?, Riemann::new(self.l.into(), self.r.into(), GAMMA)?);
        let show = |what: &str, y: Scale, figure: fn(State) -> f64| -> Outcome<Chart> {
            let want = curve(0.0, 1.0, 4000, |x| Ok(figure(self.at(&exact, x))))?;
            let series = pair("computed", along(&duct, figure), "exact", want);
            Ok(chart(&format!("{}: {what}", self.name), "x [-]", y, series))
        };
        let pressure = Scale::new("p [-]");
        let (error, mean) = self.error(&duct, &exact);
        let name = format!("mean of its size {:.2} %", 100.0 * mean);
        let error = error.into_iter().map(|(x, e)| (x, 100.0 * e)).collect();
        Ok([
            show("density", Scale::new("\u{3c1} [-]"), |s| s.rho)?,
            show("velocity", Scale::new("u [-]"), |s| s.u)?,
            show("pressure", if self.steep { pressure.in_ratios() } else { pressure }, |s| s.p)?,
            chart(
                &format!("{}: error of density", self.name),
                "x [-]",
                Scale::new("error [% of largest]"),
                vec![Series::new(&name, Kind::Computed, 0, error)],
            ),
        ])
    }
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    let [sod, lax, toro] = [TUBES[0].charts()?, TUBES[1].charts()?, TUBES[2].charts()?];
    let rows = sod.into_iter().zip(lax).zip(toro).map(|((a, b), c)| vec![a, b, c]).collect();
    Ok(Comparison {
        title: "Shock tubes on 200 cells over the exact solution".to_owned(),
        caption: "Tubes of unit length in consistent units, heat-capacity ratio 1.4, membrane in the middle, at \
                  times 0.2 (Sod), 0.13 (Lax) and 0.012 (Toro 3). Exact: Riemann problem solved to round-off. Source \
                  of the data: Toro, Riemann Solvers and Numerical Methods for Fluid Dynamics, 2009, chapters 4 and \
                  10; Lax, Comm. Pure Appl. Math. 7 (1954) 159."
            .to_owned(),
        rows,
        height: 330.0,
    })
}
