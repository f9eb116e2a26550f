//! Straight ducts with wall friction alone and wall heat alone, against Fanno's and Rayleigh's relations.

use bellmouth::exact::branch::Branch;
use bellmouth::exact::{fanno, isentropic, rayleigh};
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::hardware::duct::Piece;
use bellmouth::numeric::ode::{Accuracy, integrate};
use bellmouth::plot::comparison::{Chart, Comparison, Scale};
use nalgebra::SVector;

use super::bench::{GAMMA, Outcome, Points, R, air, along, chart, mach, pair, pipe, steady, worst};

const CELLS: u32 = 100;
/// Stagnation pressure [Pa] and temperature [K] upstream.
const REST: (f64, f64) = (1e5, 300.0);
/// Bore of both ducts [m].
const BORE: f64 = 10e-3;
/// Mach numbers at the inlet and, with friction, at the outlet [-].
const FRICTION: (f64, f64) = (0.3, 0.6);
const HEAT: f64 = 0.25;
/// Length of the heated duct [m], temperature of its wall [K] and factor on the wall heat of a long straight pipe [-].
const HEATED: (f64, f64, f64) = (0.5, 1000.0, 2.0);

/// Darcy factor of a smooth pipe: `f = max(64/Re, 0.316 Re^-1/4)` (Blasius; White, *Fluid Mechanics*, from memory),
/// with the line for the viscosity of air that `gas::walls` states. The Reynolds number follows the temperature, since
/// the mass flux is uniform.
fn darcy(inlet: f64, t: f64) -> Outcome<f64> {
    let flux = isentropic::flow(inlet, GAMMA)? * REST.0 / (R * REST.1).sqrt();
    let re = flux * BORE / (1.72e-5 + 4.3e-8 * (t - 273.15));
    Ok((64.0 / re).max(0.316 / libm::pow(re, 0.25)))
}

/// Solution of `dy/dx = slope(y)` from `y0` at each of `places`.
fn follow(y0: f64, places: &[f64], slope: impl Fn(f64) -> f64) -> Outcome<Points> {
    let rhs = |_: f64, y: &SVector<f64, 1>| SVector::from([slope(y[0])]);
    let at = |x: &f64| -> Outcome<(f64, f64)> {
        let run = integrate(rhs, 0.0, *x, SVector::from([y0]), Accuracy::default(), |_, _| false)?;
        Ok((*x, run.last().ok_or("no step was taken")?.1[0]))
    };
    places.iter().map(at).collect()
}

fn temperature(m2: f64) -> f64 {
    REST.1 / (1.0 + 0.5 * (GAMMA - 1.0) * m2)
}

fn middles(duct: &DuctCells) -> Vec<f64> {
    (0..duct.cells()).map(|i| duct.middle(i)).collect()
}

/// Mach number and pressure over that of the sonic end, with the largest differences in the legend.
fn charts(name: &str, duct: &DuctCells, star_p: f64, machs: Points, pressures: Points) -> [Chart; 2] {
    let (m, p) = (along(duct, mach), along(duct, |s| s.p / star_p));
    let named = |got: &Points, want: &Points| format!("computed, within {:.2} %", 100.0 * worst(got, want));
    let (m_name, p_name) = (named(&m, &machs), named(&p, &pressures));
    [
        chart(
            &format!("{name}: Mach number"),
            "x [m]",
            Scale::new("Mach number [-]"),
            pair(&m_name, m, "exact", machs),
        ),
        chart(&format!("{name}: pressure"), "x [m]", Scale::new("p / p* [-]"), pair(&p_name, p, "exact", pressures)),
    ]
}

/// Friction alone: `d(M^2)/dx = g M^4 (1 + (g-1)/2 M^2)/(1 - M^2) f/D`. Source: Shapiro, *Compressible Fluid Flow*,
/// 1953, chapter 6 (from memory). The state follows from the Mach number by Fanno's relations.
fn friction() -> Outcome<[Chart; 2]> {
    let (inlet, outlet) = FRICTION;
    let factor = |m2: f64| darcy(inlet, temperature(m2)).unwrap_or(f64::NAN);
    let growth = |m2: f64| GAMMA * m2 * m2 * (1.0 + 0.5 * (GAMMA - 1.0) * m2) / (1.0 - m2) * factor(m2) / BORE;
    let over = |m2: f64, _: &SVector<f64, 1>| SVector::from([1.0 / growth(m2)]);
    let start = SVector::from([0.0]);
    let whole = integrate(over, inlet * inlet, outlet * outlet, start, Accuracy::default(), |_, _| false)?;
    let length = whole.last().ok_or("no step was taken")?.1[0];
    let star_p = REST.0 * isentropic::at(inlet, GAMMA)?.p / fanno::at(inlet, GAMMA)?.p;
    let back = star_p * fanno::at(outlet, GAMMA)?.p;
    let duct = DuctCells::new(&[pipe(length, BORE)], length / f64::from(CELLS), &air(), back, REST.1)?;
    let duct = steady(duct.with_walls(true, false), REST, back)?;
    let machs: Points =
        follow(inlet * inlet, &middles(&duct), growth)?.into_iter().map(|(x, m2)| (x, m2.sqrt())).collect();
    let pressure = |(x, m): &(f64, f64)| -> Outcome<(f64, f64)> { Ok((*x, fanno::at(*m, GAMMA)?.p)) };
    let pressures = machs.iter().map(pressure).collect::<Outcome<_>>()?;
    Ok(charts("Friction (Fanno)", &duct, star_p, machs, pressures))
}

/// Heat alone: `dT0/dx = (4 St/D) (T_w - T)` with Stanton number `St = f/8` (Reynolds analogy). The state follows from
/// the stagnation temperature by Rayleigh's relations.
fn heat() -> Outcome<[Chart; 2]> {
    let (length, wall, heat_factor) = HEATED;
    let (rest, first) = (isentropic::at(HEAT, GAMMA)?, rayleigh::at(HEAT, GAMMA)?);
    let mach_of = |t0: f64| rayleigh::mach_from_stagnation_temperature(t0 * first.t0 / REST.1, GAMMA, Branch::Subsonic);
    let slope = |t0: f64| {
        let m = mach_of(t0).unwrap_or(f64::NAN);
        let t = t0 / (1.0 + 0.5 * (GAMMA - 1.0) * m * m);
        heat_factor * darcy(HEAT, t).unwrap_or(f64::NAN) / (2.0 * BORE) * (wall - t)
    };
    let star_p = REST.0 * rest.p / first.p;
    let last = follow(REST.1, &[length], slope)?[0].1;
    let back = star_p * rayleigh::at(mach_of(last)?, GAMMA)?.p;
    let piece = Piece { heat_factor, wall_temperature: wall, ..pipe(length, BORE) };
    let duct = DuctCells::new(&[piece], length / f64::from(CELLS), &air(), back, REST.1)?;
    let duct = steady(duct.with_walls(false, true), REST, back)?;
    let heated = follow(REST.1, &middles(&duct), slope)?;
    let machs: Points = heated.iter().map(|(x, t0)| Ok((*x, mach_of(*t0)?))).collect::<Outcome<_>>()?;
    let pressure = |(x, m): &(f64, f64)| -> Outcome<(f64, f64)> { Ok((*x, rayleigh::at(*m, GAMMA)?.p)) };
    let pressures = machs.iter().map(pressure).collect::<Outcome<_>>()?;
    Ok(charts("Wall heat (Rayleigh)", &duct, star_p, machs, pressures))
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    let ([mach_a, pressure_a], [mach_b, pressure_b]) = (friction()?, heat()?);
    Ok(Comparison {
        title: "A duct with friction, a duct with a hot wall, on 100 cells".to_owned(),
        caption: "Bore 10 mm, from gas at rest at 100 kPa, 300 K; friction alone from Mach 0.3 to 0.6, and heat \
                  alone from a wall of 1000 K (twice the heat of a long pipe). p* is the pressure of the sonic end. \
                  Exact: the equations of friction and of heat, integrated with the Darcy factor of the local \
                  Reynolds number (Blasius), and the relations of Fanno and of Rayleigh. Source: Shapiro, \
                  Compressible Fluid Flow, 1953; Anderson, Modern Compressible Flow, chapter 3."
            .to_owned(),
        rows: vec![vec![mach_a, mach_b], vec![pressure_a, pressure_b]],
        height: 420.0,
    })
}
