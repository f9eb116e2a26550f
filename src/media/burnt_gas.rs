//! Burnt petrol and air with dissociation: internal energy and gas constant by lambda, temperature and pressure.
//!
//! In chemical equilibrium above 1700 K, frozen below, where an expanding charge cools faster than it reacts. The composition is
//! that of the whole burnt charge: with excess air when lean, with carbon monoxide and hydrogen when rich.
//!
//! Source: computed with Cantera 3.2.0 and the NASA gas database by `tests/handbook/data/burnt_gas.py`, which writes
//! `burnt_gas.csv`. Between its values straight lines; lambda 0.6 to 1.6, 200 to 3600 K, 1 to 80 bar; pressure and lambda
//! are held inside, temperature is continued linearly. Not modelled: slow nitric oxide, soot, fuels other than CH1.87.

use std::sync::LazyLock;

/// First temperature of the table [K] and the step between two [K].
const T_FIRST: f64 = 200.0;
const T_STEP: f64 = 50.0;
/// Temperature up to which the composition is frozen [K].
pub const T_FROZEN: f64 = 1700.0;
/// Number of temperatures.
const N_T: usize = 69;
/// Number of them that are frozen.
const N_FROZEN: usize = 31;
/// Pressures of the table [Pa].
const PRESSURES: [f64; 4] = [1e5, 5e5, 20e5, 80e5];
/// First lambda of the table [-] and the step between two [-].
const L_FIRST: f64 = 0.6;
const L_STEP: f64 = 0.025;
/// Number of lambdas.
const N_L: usize = 41;

/// Internal energy [J/kg] and gas constant [J/(kg K)] at each pressure and temperature.
type Page = [[[f64; 2]; N_T]; PRESSURES.len()];

/// The whole table, one page and the share of the heating value released for each lambda.
static TABLE: LazyLock<Vec<(Page, f64)>> = LazyLock::new(|| {
    let mut pages = vec![([[[0.0; 2]; N_T]; PRESSURES.len()], 0.0); N_L];
    for line in include_str!("burnt_gas.csv").lines().skip(1) {
        let v: Vec<f64> = line.split(',').filter_map(|x| x.parse().ok()).collect();
        let [lambda, t, p, u, r, eta] = v[..] else { panic!("a row of burnt_gas.csv has six numbers: {line}") };
        let (page, share) = &mut pages[((lambda - L_FIRST) / L_STEP).round() as usize];
        let k = ((t - T_FIRST) / T_STEP).round() as usize;
        *share = eta;
        for (column, at) in page.iter_mut().zip(PRESSURES) {
            if p <= 0.0 || (p / at - 1.0).abs() < 1e-9 {
                column[k] = [u, r];
            }
        }
    }
    pages
});

/// Burnt gas of one lambda.
#[derive(Debug, Clone, PartialEq)]
pub struct BurntGas {
    /// Lambda that it is of [-].
    pub lambda: f64,
    page: Box<Page>,
}

/// Internal energy [J/kg], its growth with temperature [J/(kg K)], gas constant [J/(kg K)].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BurntState {
    /// Sensible internal energy and that of dissociation [J/kg]; `-R T` at 298.15 K.
    pub u: f64,
    /// Its growth with temperature [J/(kg K)].
    pub cv: f64,
    /// Gas constant [J/(kg K)].
    pub r: f64,
}

/// Lower page and how far `lambda` [-] lies towards the next.
fn pages(lambda: f64) -> (usize, f64) {
    let x = ((lambda - L_FIRST) / L_STEP).clamp(0.0, (N_L - 1) as f64);
    let i = (x as usize).min(N_L - 2);
    (i, x - i as f64)
}

/// Share of the fuel's lower heating value that has been released when the burnt gas of `lambda` [-] is frozen.
#[must_use]
pub fn released(lambda: f64) -> f64 {
    let (i, s) = pages(lambda);
    TABLE[i].1 + s * (TABLE[i + 1].1 - TABLE[i].1)
}

impl BurntGas {
    /// The gas of `lambda` [-], held between 0.6 and 1.6.
    #[must_use]
    pub fn new(lambda: f64) -> Self {
        let (i, s) = pages(lambda);
        let (low, high) = (&TABLE[i].0, &TABLE[i + 1].0);
        let mut page = Box::new([[[0.0; 2]; N_T]; PRESSURES.len()]);
        for (column, (l, h)) in page.iter_mut().zip(low.iter().zip(high)) {
            for (out, (l, h)) in column.iter_mut().zip(l.iter().zip(h)) {
                *out = [l[0] + s * (h[0] - l[0]), l[1] + s * (h[1] - l[1])];
            }
        }
        Self { lambda, page }
    }

    /// State at `t` [K] and `p` [Pa].
    #[must_use]
    pub fn at(&self, t: f64, p: f64) -> BurntState {
        let x = (t - T_FIRST) / T_STEP;
        let k = (x.max(0.0) as usize).min(N_T - 2);
        let s = x - k as f64;
        let column = |j: usize| {
            let (a, b) = (self.page[j][k], self.page[j][k + 1]);
            BurntState { u: a[0] + s * (b[0] - a[0]), cv: (b[0] - a[0]) / T_STEP, r: a[1] + s * (b[1] - a[1]) }
        };
        if k + 1 < N_FROZEN {
            return column(0);
        }
        let last = PRESSURES.len() - 1;
        let p = p.clamp(PRESSURES[0], PRESSURES[last]);
        let j = (1..last).take_while(|j| p >= PRESSURES[*j]).count();
        let w = libm::log(p / PRESSURES[j]) / libm::log(PRESSURES[j + 1] / PRESSURES[j]);
        let (a, b) = (column(j), column(j + 1));
        BurntState { u: a.u + w * (b.u - a.u), cv: a.cv + w * (b.cv - a.cv), r: a.r + w * (b.r - a.r) }
    }
}
