//! The cylinder's step: first law of one zone.
//!
//! `dU = sum(h0 dm) + Q_fuel - L dm_evap + Q_wall - (p + p')/2 dV`, each term booked as it is used, so that the first
//! law closes to round-off; the mean pressure of the step makes the work second order.
//!
//! Burnt gas dissociates ([`super::mixture`]). Not modelled: blow-by, crevices but for the fuel they keep, a second zone.

use super::burn::Burn;
use super::charge::{Charge, ValveFlow};
use super::mixture::Mixture;
use crate::hardware::crank::Crank;
use crate::hardware::engine::{Engine, Walls};
use crate::laws::heat_transfer::{self, Reference};
use crate::media::blend::Blend;
use crate::media::burnt_gas::BurntGas;
use crate::media::fuel::Fuel;
use crate::media::gas::GasModel;

/// Time in which liquid fuel in the cylinder evaporates by a factor e [s]. Common practice, no source: drops of 20 to 40 um
/// live 8 to 38 ms in cool air and far shorter in a charge heated by walls, residual gas and compression. Alcohols slow
/// down as the charge nears saturation ([`Blend::evaporation_drive`]).
pub const EVAPORATION_TIME: f64 = 3e-3;
/// Polytropic exponent of the motored pressure in the heat-transfer law [-]. Common practice.
const MOTORED_EXPONENT: f64 = 1.3;
/// Most repeats of the implicit work; each gains three digits.
const WORK_REPEATS: usize = 4;
/// Relative change of pressure after which another repeat changes the work by less than a part in 1e12 [-].
const WORK_TOLERANCE: f64 = 1e-9;

/// Energy and mass that the cylinder booked since the books were opened.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CylinderBooks {
    /// Enthalpy through the valves [J].
    pub enthalpy: f64,
    /// Heat of burning [J].
    pub fuel_heat: f64,
    /// Energy of evaporation, negative [J].
    pub evaporation: f64,
    /// Heat from the walls [J], negative when lost.
    pub wall_heat: f64,
    /// Work on the piston [J].
    pub work: f64,
    /// Moist air burnt [kg].
    pub air_burnt: f64,
    /// Fuel burnt [kg].
    pub fuel_burnt: f64,
}

/// The cylinder in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct Cylinder {
    crank: Crank,
    walls: Walls,
    fuel_latent: f64,
    fuel_heating: f64,
    fuel_temperature: f64,
    fuel_blend: Blend,
    /// What is in it.
    pub charge: Charge,
    /// The present burn.
    pub burn: Burn,
    /// What the last fired charge burns to, and the air that a kilogram of it has beside it [kg].
    burnt_gas: BurntGas,
    excess: f64,
    /// Books.
    pub books: CylinderBooks,
    /// Volume [m3].
    pub volume: f64,
    /// Highest pressure since it was last reset [Pa].
    pub peak_pressure: f64,
    reference: Reference,
    /// Pressure a step ago [Pa]: where the search for the next one starts from.
    pressure_before: f64,
}

impl Cylinder {
    /// A cylinder full of air at `p` [Pa], `t` [K], the crank at `theta` [rad].
    #[must_use]
    pub fn new(engine: &Engine, fuel: &Fuel, gas: &GasModel, p: f64, t: f64, theta: f64) -> Self {
        let crank = engine.crank;
        let volume = crank.volume(theta);
        Self {
            crank,
            walls: engine.walls,
            fuel_latent: fuel.latent_heat,
            fuel_heating: fuel.heating_value,
            fuel_temperature: fuel.temperature,
            fuel_blend: fuel.blend,
            charge: Charge::of_air(gas, p, t, volume),
            burn: Burn::none(),
            burnt_gas: BurntGas::new(&fuel.blend, 1.0),
            excess: 0.0,
            books: CylinderBooks::default(),
            volume,
            peak_pressure: p,
            pressure_before: p,
            reference: Reference { swept: crank.swept_volume(), volume, pressure: p, temperature: t },
        }
    }

    /// Takes the present state as the reference of the wall heat, when the inlet valve shuts.
    pub fn trap(&mut self) {
        self.reference = Reference {
            swept: self.crank.swept_volume(),
            volume: self.volume,
            pressure: self.charge.pressure,
            temperature: self.charge.temperature,
        };
    }

    /// Takes over the burn decided for the trapped charge; what burns from now on is of its lambda.
    pub fn ignite(&mut self, burn: Burn) {
        if burn.fired {
            self.burnt_gas = BurntGas::new(&self.fuel_blend, burn.lambda);
            // Lean: air beyond what the fuel takes, per kilogram of fuel and the air it takes.
            let per_fuel = burn.air_per_fuel;
            self.excess = (burn.lambda - 1.0).max(0.0) * per_fuel / (1.0 + per_fuel);
        }
        self.burn = burn;
    }

    /// One step of `dt` [s] to crank angle `theta` [rad after firing top centre] at `rpm`, with what came through the valves.
    pub fn step(&mut self, gas: &GasModel, dt: f64, theta: f64, rpm: f64, valves: [ValveFlow; 2], valves_shut: bool) {
        let c = &mut self.charge;
        let p_old = c.pressure;
        let mut energy = c.energy;
        for v in &valves {
            c.air += v.air();
            c.burnt += v.burnt;
            c.vapour += v.vapour;
            c.liquid += v.liquid;
            energy += v.enthalpy;
            self.books.enthalpy += v.enthalpy;
        }
        // Liquid evaporates; the vapour appears at the liquid's temperature and takes its latent heat along.
        let m = c.gas();
        let r = gas.r(c.burnt / m, c.vapour / m);
        let eager = dt * self.fuel_blend.evaporation_drive(c.temperature, p_old, r, c.vapour / m);
        let evaporated = c.liquid * (eager / (eager + EVAPORATION_TIME));
        c.liquid -= evaporated;
        c.vapour += evaporated;
        let taken = evaporated * (gas.enthalpy(self.fuel_temperature, 0.0, 1.0) - self.fuel_latent);
        energy += taken;
        self.books.evaporation += taken;
        // Burning turns air and fuel into burnt gas.
        let share = self.burn.advance(theta);
        if share > 0.0 {
            let (vapour, liquid) = (share * c.vapour, share * c.liquid);
            let fuel = vapour + liquid;
            let air = (fuel * self.burn.air_per_fuel).min(c.air);
            c.vapour -= vapour;
            c.liquid -= liquid;
            c.air -= air;
            c.burnt += fuel + air;
            // The heating value is that of the liquid; vapour has its latent heat besides.
            let heat = self.burn.efficiency * (fuel * self.fuel_heating + vapour * self.fuel_latent);
            energy += heat;
            self.books.fuel_heat += heat;
            self.books.fuel_burnt += fuel;
            self.books.air_burnt += air;
        }
        if self.walls.heat_factor > 0.0 {
            let heat = self.walls.heat_factor * self.wall_heat(theta, rpm, valves_shut) * dt;
            energy += heat;
            self.books.wall_heat += heat;
        }
        self.expand(gas, theta, energy, p_old);
    }

    /// Heat flow from the walls into the gas [W].
    fn wall_heat(&self, theta: f64, rpm: f64, valves_shut: bool) -> f64 {
        let c = &self.charge;
        let sp = self.crank.mean_piston_speed(rpm);
        let burning = valves_shut && self.burn.under_way(theta);
        let (c1, c2) = if valves_shut {
            (heat_transfer::C1_CLOSED, if burning { heat_transfer::C2_BURNING } else { 0.0 })
        } else {
            (heat_transfer::C1_GAS_EXCHANGE, 0.0)
        };
        let pm = if burning {
            self.reference.pressure * libm::pow(self.reference.volume / self.volume, MOTORED_EXPONENT)
        } else {
            c.pressure
        };
        let w = heat_transfer::gas_velocity(c1, sp, c2, &self.reference, c.pressure, pm);
        let h = heat_transfer::coefficient(self.crank.bore, c.pressure, c.temperature, w);
        h * self.crank.wall_area(theta) * (self.walls.temperature - c.temperature)
    }

    /// Moves the piston: `U' = U - (p + p')/2 (V' - V)` with `p'` from `U'`.
    fn expand(&mut self, gas: &GasModel, theta: f64, energy: f64, p_old: f64) {
        let volume = self.crank.volume(theta);
        let dv = volume - self.volume;
        let c = &mut self.charge;
        // The last step's ratio of pressures is drawn on.
        let mut p = p_old * (p_old / self.pressure_before);
        self.pressure_before = p_old;
        let mut t = c.temperature;
        let mut work = 0.0;
        if gas.dissociates() && c.burnt > 0.0 {
            let mixture = Mixture::new(gas, &self.burnt_gas, c, self.excess, volume);
            for _ in 0..WORK_REPEATS {
                work = 0.5 * (p_old + p) * dv;
                t = mixture.temperature(energy - work, p, t);
                let next = mixture.pressure(t, p);
                let before = std::mem::replace(&mut p, next);
                if (p - before).abs() <= WORK_TOLERANCE * p {
                    break;
                }
            }
        } else {
            let m = c.gas();
            let (yb, yv) = (c.burnt / m, c.vapour / m);
            let r = gas.r(yb, yv);
            for _ in 0..WORK_REPEATS {
                work = 0.5 * (p_old + p) * dv;
                t = gas.temperature_from_internal_energy((energy - work) / m, yb, yv, t);
                let before = std::mem::replace(&mut p, m * r * t / volume);
                if (p - before).abs() <= WORK_TOLERANCE * p {
                    break;
                }
            }
        }
        c.energy = energy - work;
        c.temperature = t;
        c.pressure = p;
        self.volume = volume;
        self.books.work += work;
        self.peak_pressure = self.peak_pressure.max(p);
    }
}
