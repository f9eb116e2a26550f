//! Thermodynamics of the gas in the machine: moist air, burnt gas and fuel vapour, each an ideal gas.
//!
//! The heat capacity of each is a NASA 7-coefficient polynomial, mixed from its species by composition; the three
//! gases mix by mass. Not modelled here: dissociation (burnt gas above about 2000 K holds more energy; the cylinder takes it from
//! [`super::burnt_gas`]), and the real-gas behaviour of the vapour.

use super::atmosphere::FreeAir;
use super::blend::Blend as FuelBlend;
use super::fuel::Fuel;
use super::species::{self, Species};

/// Gas constant of dry air [J/(kg K)]. Source: ISO 2533.
pub const R_DRY_AIR: f64 = 287.052_87;
/// Universal gas constant [J/(kmol K)]. Source: SI, exact since 2019, rounded.
pub const R_UNIVERSAL: f64 = 8_314.462_618;
/// Temperature at which the sensible enthalpy of each gas is zero [K].
pub const T_REFERENCE: f64 = 298.15;
/// Where the two ranges of a polynomial meet [K].
pub const T_SPLIT: f64 = 1_000.0;
/// Lowest and highest temperature of the polynomials [K]; outside, the heat capacity keeps its value at the end
/// and the enthalpy continues linearly.
pub const T_RANGE: (f64, f64) = (200.0, 3_500.0);
/// Lowest and highest temperature that the inverse returns [K].
pub const T_BOUNDS: (f64, f64) = (50.0, 5_000.0);

/// Step below which the inverse of the internal energy has converged [K].
const T_TOLERANCE: f64 = 1.0e-9;
/// Bound on the steps of the inverse; a bisection of `T_BOUNDS` to the tolerance needs 43.
const MAX_STEPS: u32 = 60;

/// Mole fraction of oxygen in dry air [-]. Source: ISO 2533.
const OXYGEN: f64 = 0.209_46;
/// Mole fraction of argon in dry air [-]. Source: ISO 2533. The rest counts as nitrogen.
const ARGON: f64 = 0.009_34;

/// Heat capacity [J/(kg K)] as a polynomial in temperature, lowest power first, and the enthalpy's constant [J/kg].
#[derive(Debug, Clone, Copy, PartialEq)]
struct Polynomial {
    cp: [f64; 5],
    /// The same integrated: each over one more than its power.
    integral: [f64; 5],
    constant: f64,
}

impl Polynomial {
    const ZERO: Self = Self { cp: [0.0; 5], integral: [0.0; 5], constant: 0.0 };

    fn new(cp: [f64; 5], constant: f64) -> Self {
        Self { cp, integral: std::array::from_fn(|i| cp[i] / (i + 1) as f64), constant }
    }

    #[inline(always)]
    fn cp(&self, t: f64) -> f64 {
        let c = &self.cp;
        c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * c[4])))
    }

    #[inline(always)]
    fn enthalpy(&self, t: f64) -> f64 {
        let c = &self.integral;
        self.constant + t * (c[0] + t * (c[1] + t * (c[2] + t * (c[3] + t * c[4]))))
    }

    /// `self + share other`.
    fn plus(&self, share: f64, other: &Self) -> Self {
        Self::new(std::array::from_fn(|i| self.cp[i] + share * other.cp[i]), self.constant + share * other.constant)
    }

    fn minus(&self, other: &Self) -> Self {
        Self::new(std::array::from_fn(|i| self.cp[i] - other.cp[i]), self.constant - other.constant)
    }
}

/// One range of temperature: moist air, and what burnt gas and vapour differ from it by.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Range {
    air: Polynomial,
    burnt: Polynomial,
    vapour: Polynomial,
}

impl Range {
    #[inline(always)]
    fn cp(&self, t: f64, yb: f64, yv: f64) -> f64 {
        self.air.cp(t) + yb * self.burnt.cp(t) + yv * self.vapour.cp(t)
    }

    #[inline(always)]
    fn enthalpy(&self, t: f64, yb: f64, yv: f64) -> f64 {
        self.air.enthalpy(t) + yb * self.burnt.enthalpy(t) + yv * self.vapour.enthalpy(t)
    }
}

/// A mixture of moist air, burnt gas and fuel vapour as a function of temperature and composition.
///
/// In every method `yb` and `yv` are the mass fractions of burnt gas and of fuel vapour [-]; the rest is moist air.
/// Enthalpy and internal energy are sensible: the heat released by burning is a matter of the cylinder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GasModel {
    r_air: f64,
    r_burnt: f64,
    r_vapour: f64,
    low: Range,
    high: Range,
    dissociates: bool,
}

/// A mixture by moles: cp/R as low and high polynomials.
struct Blend {
    low: [f64; 5],
    high: [f64; 5],
}

impl Blend {
    fn of(parts: &[(f64, &Species)]) -> Self {
        let total: f64 = parts.iter().map(|(x, _)| x).sum();
        let sum = |pick: fn(&Species) -> &[f64; 5]| {
            std::array::from_fn(|i| parts.iter().map(|(x, s)| x * pick(s)[i]).sum::<f64>() / total)
        };
        Self { low: sum(|s| &s.low), high: sum(|s| &s.high) }
    }

    /// Both ranges [J/(kg K)] for a gas of gas constant `r`: enthalpy zero at `T_REFERENCE`, continuous at `T_SPLIT`.
    fn polynomials(&self, r: f64) -> (Polynomial, Polynomial) {
        let mut low = Polynomial::new(self.low.map(|a| r * a), 0.0);
        low.constant = -low.enthalpy(T_REFERENCE);
        let mut high = Polynomial::new(self.high.map(|a| r * a), 0.0);
        high.constant = low.enthalpy(T_SPLIT) - high.enthalpy(T_SPLIT);
        (low, high)
    }
}

/// Moles of burnt gas from one mole of CHyOz and dry air in the stoichiometric ratio: CO2, H2O, N2, Ar.
fn burnt_moles(fuel: &FuelBlend) -> [(f64, &'static Species); 4] {
    let (hydrogen, oxygen) = fuel.hydrogen_and_oxygen();
    let air = (1.0 + 0.25 * hydrogen - 0.5 * oxygen) / OXYGEN;
    [
        (1.0, &species::CARBON_DIOXIDE),
        (0.5 * hydrogen, &species::WATER),
        (air * (1.0 - OXYGEN - ARGON), &species::NITROGEN),
        (air * ARGON, &species::ARGON),
    ]
}

/// Heat of the vapour of `fuel` per kilogram, both ranges: its parts weighted by mass, isooctane for petrol.
fn vapour_polynomials(fuel: &FuelBlend) -> (Polynomial, Polynomial) {
    let parts =
        [(fuel.petrol(), &species::ISOOCTANE), (fuel.ethanol, &species::ETHANOL), (fuel.methanol, &species::METHANOL)];
    parts.into_iter().fold((Polynomial::ZERO, Polynomial::ZERO), |(low, high), (share, part)| {
        let (l, h) = Blend::of(&[(1.0, part)]).polynomials(R_UNIVERSAL / part.molar_mass);
        (low.plus(share, &l), high.plus(share, &h))
    })
}

/// `t` held inside `T_RANGE`.
#[inline(always)]
fn hold(t: f64) -> f64 {
    let t = if t > T_RANGE.0 { t } else { T_RANGE.0 };
    if t < T_RANGE.1 { t } else { T_RANGE.1 }
}

impl GasModel {
    /// The gases of a machine that breathes `air` and burns `fuel`.
    ///
    /// * moist air: nitrogen, oxygen, argon and the water of `air`, with the gas constant of `air`;
    /// * burnt gas: the stoichiometric products of `fuel` with dry air (CO2, H2O, N2, Ar);
    /// * vapour: the cp per kg of isooctane for petrol and of the alcohols in it, and the gas constant `fuel.vapour_gas_constant`.
    #[must_use]
    pub fn new(air: &FreeAir, fuel: &Fuel) -> Self {
        let water = air.vapour_pressure() / air.pressure;
        let dry = 1.0 - water;
        let moist = Blend::of(&[
            (dry * (1.0 - OXYGEN - ARGON), &species::NITROGEN),
            (dry * OXYGEN, &species::OXYGEN),
            (dry * ARGON, &species::ARGON),
            (water, &species::WATER),
        ]);
        let products = burnt_moles(&fuel.blend);
        let moles: f64 = products.iter().map(|(x, _)| x).sum();
        let mass: f64 = products.iter().map(|(x, s)| x * s.molar_mass).sum();
        let r_air = air.gas_constant();
        let r_burnt = R_UNIVERSAL * moles / mass;

        let (air_low, air_high) = moist.polynomials(r_air);
        let (burnt_low, burnt_high) = Blend::of(&products).polynomials(r_burnt);
        let (vapour_low, vapour_high) = vapour_polynomials(&fuel.blend);
        let range = |air: Polynomial, burnt: Polynomial, vapour: Polynomial| Range {
            air,
            burnt: burnt.minus(&air),
            vapour: vapour.minus(&air),
        };
        Self {
            r_air,
            r_burnt,
            r_vapour: fuel.vapour_gas_constant,
            low: range(air_low, burnt_low, vapour_low),
            high: range(air_high, burnt_high, vapour_high),
            dissociates: true,
        }
    }

    /// Three equal gases of gas constant `r` [J/(kg K)] and constant ratio of heat capacities `gamma` [-], above 1.
    #[must_use]
    pub fn constant(r: f64, gamma: f64) -> Self {
        let cp = gamma * r / (gamma - 1.0);
        let air = Polynomial::new([cp, 0.0, 0.0, 0.0, 0.0], -cp * T_REFERENCE);
        let range = Range { air, burnt: Polynomial::ZERO, vapour: Polynomial::ZERO };
        Self { r_air: r, r_burnt: r, r_vapour: r, low: range, high: range, dissociates: false }
    }

    /// Whether burnt gas in the cylinder dissociates: not where a perfect gas stands for it.
    #[must_use]
    pub fn dissociates(&self) -> bool {
        self.dissociates
    }

    /// Gas constant [J/(kg K)].
    #[must_use]
    #[inline]
    pub fn r(&self, yb: f64, yv: f64) -> f64 {
        self.r_air + yb * (self.r_burnt - self.r_air) + yv * (self.r_vapour - self.r_air)
    }

    /// Heat capacity at constant pressure [J/(kg K)] at `t` [K].
    #[must_use]
    #[inline]
    pub fn cp(&self, t: f64, yb: f64, yv: f64) -> f64 {
        self.range(t).cp(hold(t), yb, yv)
    }

    /// The range that `t` [K] is in.
    #[inline]
    fn range(&self, t: f64) -> &Range {
        if t < T_SPLIT { &self.low } else { &self.high }
    }

    /// As [`Self::cp`], the same bits, for a loop over cells: both ranges are evaluated and one result is chosen, so that without a
    /// branch or a look-up the compiler can take several cells at once.
    #[must_use]
    #[inline(always)]
    pub(crate) fn cp_without_branch(&self, t: f64, yb: f64, yv: f64) -> f64 {
        let held = hold(t);
        let (low, high) = (self.low.cp(held, yb, yv), self.high.cp(held, yb, yv));
        if t < T_SPLIT { low } else { high }
    }

    /// Ratio of heat capacities [-] at `t` [K]: `cp / (cp - R)`.
    #[must_use]
    #[inline]
    pub fn gamma(&self, t: f64, yb: f64, yv: f64) -> f64 {
        let cp = self.cp(t, yb, yv);
        cp / (cp - self.r(yb, yv))
    }

    /// Sensible enthalpy [J/kg] at `t` [K], zero at `T_REFERENCE` for each gas.
    #[must_use]
    #[inline]
    pub fn enthalpy(&self, t: f64, yb: f64, yv: f64) -> f64 {
        self.enthalpy_at(t, yb, yv, self.cp(t, yb, yv))
    }

    /// The same where the heat capacity `cp` at `t` is known already, in half the time.
    #[inline]
    pub(crate) fn enthalpy_at(&self, t: f64, yb: f64, yv: f64, cp: f64) -> f64 {
        let held = hold(t);
        self.range(t).enthalpy(held, yb, yv) + cp * (t - held)
    }

    /// As [`Self::enthalpy_at`] for a loop over cells, see [`Self::cp_without_branch`].
    #[inline(always)]
    pub(crate) fn enthalpy_without_branch(&self, t: f64, yb: f64, yv: f64, cp: f64) -> f64 {
        let held = hold(t);
        let (low, high) = (self.low.enthalpy(held, yb, yv), self.high.enthalpy(held, yb, yv));
        let inside = if t < T_SPLIT { low } else { high };
        inside + cp * (t - held)
    }

    /// Enthalpy of liquid `fuel` at its temperature as its vapour counts it [J/kg]: what evaporates brings this along.
    #[must_use]
    pub fn liquid_enthalpy(&self, fuel: &Fuel) -> f64 {
        self.enthalpy(fuel.temperature, 0.0, 1.0) - fuel.latent_heat
    }

    /// Sensible internal energy [J/kg] at `t` [K]: enthalpy less `R t`, so `-R T_REFERENCE` at `T_REFERENCE`.
    #[must_use]
    #[inline]
    pub fn internal_energy(&self, t: f64, yb: f64, yv: f64) -> f64 {
        self.enthalpy(t, yb, yv) - self.r(yb, yv) * t
    }

    /// Temperature [K] at which the internal energy is `e` [J/kg], sought from `guess` [K].
    ///
    /// Newton's method inside a shrinking bracket that starts as `T_BOUNDS`; an energy beyond the bounds gives
    /// the bound. Energy rises with temperature (cp > R), so the bracket always holds the root and the search ends.
    /// An energy that is not a number gives not a number.
    #[must_use]
    pub fn temperature_from_internal_energy(&self, e: f64, yb: f64, yv: f64, guess: f64) -> f64 {
        if e.is_nan() {
            return f64::NAN;
        }
        let (mut lo, mut hi) = T_BOUNDS;
        let r = self.r(yb, yv);
        let mut t = if guess > lo && guess < hi { guess } else { T_REFERENCE };
        for _ in 0..MAX_STEPS {
            let range = if t < T_SPLIT { &self.low } else { &self.high };
            let held = hold(t);
            let cp = range.cp(held, yb, yv);
            let excess = range.enthalpy(held, yb, yv) + cp * (t - held) - r * t - e;
            if excess > 0.0 {
                hi = t;
            } else {
                lo = t;
            }
            let newton = t - excess / (cp - r);
            let next = if newton >= lo && newton <= hi {
                newton
            } else if newton < T_BOUNDS.0 && lo <= T_BOUNDS.0 {
                T_BOUNDS.0
            } else if newton > T_BOUNDS.1 && hi >= T_BOUNDS.1 {
                T_BOUNDS.1
            } else {
                0.5 * (lo + hi)
            };
            let step = (next - t).abs();
            t = next;
            if step < T_TOLERANCE {
                break;
            }
        }
        t
    }
}
