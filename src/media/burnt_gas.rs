//! Burnt fuel and air with dissociation: internal energy and gas constant by lambda, temperature and pressure.
//!
//! In chemical equilibrium above 1700 K, frozen below, where an expanding charge cools faster than it reacts. The composition is
//! that of the whole burnt charge: with excess air when lean, with carbon monoxide and hydrogen when rich.
//!
//! Source: computed with Cantera 3.2.0 and the NASA gas database by `tests/handbook/data/burnt_gas.py`, which writes
//! `burnt_gas.csv` for petrol CH1.87 and `burnt_gas_methanol.csv`. Between its values straight lines; lambda 0.6 to 1.6, 200 to 3600 K, 1 to 80 bar; pressure and lambda
//! are held inside, temperature is continued linearly. Not modelled: slow nitric oxide, soot.
//!
//! An alcohol is a hydrocarbon with water bound in it: ethanol C2H6O has the elements of methanol CH4O and CH2. So the burnt gas of a fuel
//! with ethanol or methanol in it stands between burnt petrol and burnt methanol of the same lambda, mixed by mass so that oxygen per carbon of
//! the fuel is right; its hydrogen is then 2 % short at most (ethanol). Against Cantera at lambda 0.7 to 1.4, 600 to 3200 K: internal energy
//! of ethanol within 0.25 %, gas constant within 0.20 %. Taking burnt petrol in its place would be off by 3 to 8 % for ethanol and 5 to
//! 14 % for methanol in the energy, 2 to 6 % in the gas constant.

use std::f64::consts::LN_2;
use std::sync::LazyLock;

use super::alcohol::METHANOL;
use super::blend::Blend;
use super::fuel::{HEATING_VALUE_PETROL, STOICHIOMETRIC_PETROL};

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
/// One over the logarithm of the ratio of two pressures of the table that follow each other [-].
const LOG_STEPS: [f64; 3] = [1.0 / LN_5, 0.5 / LN_2, 0.5 / LN_2];
/// Natural logarithm of 5 [-].
const LN_5: f64 = 1.609_437_912_434_100_3;
/// First lambda of the table [-] and the step between two [-].
const L_FIRST: f64 = 0.6;
const L_STEP: f64 = 0.025;
/// Number of lambdas.
const N_L: usize = 41;
/// Last lambda [-].
const L_LAST: f64 = L_FIRST + L_STEP * (N_L - 1) as f64;

/// Internal energy [J/kg] and gas constant [J/(kg K)] at each pressure and temperature.
type Page = [[[f64; 2]; N_T]; PRESSURES.len()];

/// A whole table, one page and the share of the heating value released for each lambda.
type Table = Vec<(Page, f64)>;

static PETROL_TABLE: LazyLock<Table> = LazyLock::new(|| table(include_str!("burnt_gas.csv")));
static METHANOL_TABLE: LazyLock<Table> = LazyLock::new(|| table(include_str!("burnt_gas_methanol.csv")));

fn table(text: &str) -> Table {
    let mut pages = vec![([[[0.0; 2]; N_T]; PRESSURES.len()], 0.0); N_L];
    for line in text.lines().skip(1) {
        let v: Vec<f64> = line.split(',').filter_map(|x| x.parse().ok()).collect();
        let [lambda, t, p, u, r, eta] = v[..] else { panic!("a row of burnt gas has six numbers: {line}") };
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
}

/// Burnt gas of one lambda.
#[derive(Debug, Clone, PartialEq)]
pub struct BurntGas {
    /// Lambda that it is of [-].
    pub lambda: f64,
    page: Box<Page>,
}

/// Internal energy [J/kg] and gas constant [J/(kg K)], and how both grow with temperature and pressure.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BurntState {
    /// Sensible internal energy and that of dissociation [J/kg]; `-R T` at 298.15 K.
    pub u: f64,
    /// Its growth with temperature [J/(kg K)].
    pub cv: f64,
    /// Gas constant [J/(kg K)].
    pub r: f64,
    /// Its growth with temperature [J/(kg K2)].
    pub r_by_t: f64,
    /// Growth of the internal energy with the logarithm of pressure [J/kg].
    pub u_by_log_p: f64,
    /// Growth of the gas constant with the logarithm of pressure [J/(kg K)].
    pub r_by_log_p: f64,
}

/// Lower page and how far `lambda` [-] lies towards the next.
fn pages(lambda: f64) -> (usize, f64) {
    let x = ((lambda - L_FIRST) / L_STEP).clamp(0.0, (N_L - 1) as f64);
    let i = (x as usize).min(N_L - 2);
    (i, x - i as f64)
}

/// Mass of burnt gas from fuel that holds a kmol of carbon [kg/kmol]: petrol CH1.87 and methanol CH4O.
fn burnt_mass(lambda: f64) -> (f64, f64) {
    let mass = |molar: f64, stoichiometric: f64| molar * (1.0 + lambda * stoichiometric);
    let petrol = 12.011 + 1.008 * super::blend::PETROL_HYDROGEN;
    (mass(petrol, STOICHIOMETRIC_PETROL), mass(METHANOL.vapour.molar_mass, Blend::METHANOL.stoichiometric()))
}

/// Mass share of burnt methanol in what stands for the burnt gas of `fuel` at `lambda` [-].
fn methanol_share(fuel: &Blend, lambda: f64) -> f64 {
    let (_, oxygen) = fuel.hydrogen_and_oxygen();
    let (petrol, methanol) = burnt_mass(lambda);
    oxygen * methanol / (oxygen * methanol + (1.0 - oxygen) * petrol)
}

/// Share of the lower heating value of `fuel` that has been released when the burnt gas of `lambda` [-] is frozen.
#[must_use]
pub fn released(fuel: &Blend, lambda: f64) -> f64 {
    let (i, s) = pages(lambda);
    let share = |table: &Table| table[i].1 + s * (table[i + 1].1 - table[i].1);
    let petrol = share(&PETROL_TABLE);
    if fuel.is_petrol() {
        return petrol;
    }
    // Heat that carbon monoxide and hydrogen keep, per kilogram of burnt gas, mixes by mass.
    let held = lambda.clamp(L_FIRST, L_LAST);
    let kept = |released: f64, heating_value: f64, stoichiometric: f64| {
        (1.0 - released) * heating_value / (1.0 + held * stoichiometric)
    };
    let petrol = kept(petrol, HEATING_VALUE_PETROL, STOICHIOMETRIC_PETROL);
    let methanol = kept(share(&METHANOL_TABLE), METHANOL.heating_value, Blend::METHANOL.stoichiometric());
    let mixed = petrol + methanol_share(fuel, held) * (methanol - petrol);
    1.0 - mixed * (1.0 + held * fuel.stoichiometric()) / fuel.heating_value()
}

impl BurntGas {
    /// The gas of `fuel` at `lambda` [-], held between 0.6 and 1.6.
    #[must_use]
    pub fn new(fuel: &Blend, lambda: f64) -> Self {
        let mut page = page_at(&PETROL_TABLE, lambda);
        if !fuel.is_petrol() {
            let held = lambda.clamp(L_FIRST, L_LAST);
            blend_into(&mut page, &page_at(&METHANOL_TABLE, lambda), methanol_share(fuel, held));
        }
        Self { lambda, page }
    }

    /// State at `t` [K] and `p` [Pa].
    #[must_use]
    pub fn at(&self, t: f64, p: f64) -> BurntState {
        let x = (t - T_FIRST) / T_STEP;
        let k = (x.max(0.0) as usize).min(N_T - 2);
        let s = x - k as f64;
        // Energy and gas constant with their growth by a step of temperature.
        let column = |j: usize| {
            let (a, b) = (self.page[j][k], self.page[j][k + 1]);
            let (du, dr) = (b[0] - a[0], b[1] - a[1]);
            [a[0] + s * du, a[1] + s * dr, du, dr]
        };
        if k + 1 < N_FROZEN {
            let [u, r, du, dr] = column(0);
            return BurntState { u, cv: du / T_STEP, r, r_by_t: dr / T_STEP, u_by_log_p: 0.0, r_by_log_p: 0.0 };
        }
        let last = PRESSURES.len() - 1;
        let held = p.clamp(PRESSURES[0], PRESSURES[last]);
        let j = usize::from(held >= PRESSURES[1]) + usize::from(held >= PRESSURES[2]);
        let per_log = LOG_STEPS[j];
        let w = libm::log(held / PRESSURES[j]) * per_log;
        let (a, b) = (column(j), column(j + 1));
        let [u, r, du, dr]: [f64; 4] = std::array::from_fn(|i| a[i] + w * (b[i] - a[i]));
        let (cv, r_by_t) = (du / T_STEP, dr / T_STEP);
        let slope = if p > PRESSURES[0] && p < PRESSURES[last] { per_log } else { 0.0 };
        BurntState { u, cv, r, r_by_t, u_by_log_p: slope * (b[0] - a[0]), r_by_log_p: slope * (b[1] - a[1]) }
    }
}

/// A page at `lambda` [-], between two of `table`.
fn page_at(table: &Table, lambda: f64) -> Box<Page> {
    let (i, s) = pages(lambda);
    let mut page = Box::new(table[i].0);
    blend_into(&mut page, &table[i + 1].0, s);
    page
}

/// Moves `page` by `share` of the way to `other`.
fn blend_into(page: &mut Page, other: &Page, share: f64) {
    let values = page.iter_mut().flatten().flatten();
    for (value, other) in values.zip(other.iter().flatten().flatten()) {
        *value += share * (other - *value);
    }
}
