//! The cylinder's step: first law of one zone.
//!
//! `dU = sum(h0 dm) + Q_fuel - L dm_evap + Q_wall - (p + p')/2 dV`, each term booked as it is used, so that the first
//! law closes to round-off; the mean pressure of the step makes the work second order.
//!
//! Burnt gas dissociates ([`super::mixture`]). Not modelled: blow-by, crevices but for the fuel they keep, a second zone.

use super::burn::Burn;
use super::charge::{Charge, ValveFlow};
use super::mixture::{Expansion, Mixture};
use crate::hardware::crank::{Crank, CrankMotion};
use crate::hardware::engine::{Engine, Walls};
use crate::laws::heat_transfer::{self, Reference};
use crate::media::blend::Blend;
use crate::media::burnt_gas::BurntGas;
use crate::media::fuel::Fuel;
use crate::media::gas::GasModel;
use crate::numeric::parabola;
use crate::numeric::power::power;

/// Time in which liquid fuel in the cylinder evaporates by a factor e [s]. Common practice, no source: drops of 20 to 40 um
/// live 8 to 38 ms in cool air and far shorter in a charge heated by walls, residual gas and compression. Alcohols slow
/// down as the charge nears saturation ([`Blend::evaporation_drive`]).
pub const EVAPORATION_TIME: f64 = 3e-3;
/// Polytropic exponent of the motored pressure in the heat-transfer law [-]. Common practice.
const MOTORED_EXPONENT: f64 = 1.3;

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
    motion: CrankMotion,
    walls: Walls,
    fuel_latent: f64,
    fuel_heating: f64,
    /// [`GasModel::liquid_enthalpy`] [J/kg].
    liquid_enthalpy: f64,
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
    /// Temperature [K] and pressure [Pa] a step and two steps ago: the search for the next ones draws them on.
    before: [(f64, f64); 2],
}

impl Cylinder {
    /// A cylinder full of air at `p` [Pa], `t` [K], the crank at `theta` [rad].
    #[must_use]
    pub fn new(engine: &Engine, fuel: &Fuel, gas: &GasModel, p: f64, t: f64, theta: f64) -> Self {
        let crank = engine.crank;
        let volume = crank.volume(theta);
        Self {
            crank,
            motion: crank.motion(),
            walls: engine.walls,
            fuel_latent: fuel.latent_heat,
            fuel_heating: fuel.heating_value,
            liquid_enthalpy: gas.liquid_enthalpy(fuel),
            fuel_blend: fuel.blend,
            charge: Charge::of_air(gas, p, t, volume),
            burn: Burn::none(),
            burnt_gas: BurntGas::new(&fuel.blend, 1.0),
            excess: 0.0,
            books: CylinderBooks::default(),
            volume,
            peak_pressure: p,
            before: [(t, p); 2],
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
        let taken = evaporated * self.liquid_enthalpy;
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
        let travel = self.motion.travel(theta);
        if self.walls.heat_factor > 0.0 {
            let heat = self.walls.heat_factor * self.wall_heat(theta, travel, rpm, valves_shut) * dt;
            energy += heat;
            self.books.wall_heat += heat;
        }
        self.expand(gas, travel, energy, p_old);
    }

    /// Heat flow from the walls into the gas [W], the piston `travel` [m] from its top.
    fn wall_heat(&self, theta: f64, travel: f64, rpm: f64, valves_shut: bool) -> f64 {
        let c = &self.charge;
        let sp = self.motion.mean_piston_speed(rpm);
        let burning = valves_shut && self.burn.under_way(theta);
        let (c1, c2) = if valves_shut {
            (heat_transfer::C1_CLOSED, if burning { heat_transfer::C2_BURNING } else { 0.0 })
        } else {
            (heat_transfer::C1_GAS_EXCHANGE, 0.0)
        };
        let pm = if burning {
            self.reference.pressure * power(self.reference.volume / self.volume, MOTORED_EXPONENT)
        } else {
            c.pressure
        };
        let w = heat_transfer::gas_velocity(c1, sp, c2, &self.reference, c.pressure, pm);
        let h = heat_transfer::coefficient(self.crank.bore, c.pressure, c.temperature, w);
        h * self.motion.wall_area(travel) * (self.walls.temperature - c.temperature)
    }

    /// Moves the piston by `travel` [m] from its top: `U' = U - (p + p')/2 (V' - V)` with `p'` from `U'`.
    fn expand(&mut self, gas: &GasModel, travel: f64, energy: f64, p_old: f64) {
        let volume = self.motion.volume(travel);
        let x = Expansion { energy, pressure: p_old, growth: volume - self.volume };
        let c = &mut self.charge;
        let now = (c.temperature, p_old);
        let mixture = Mixture::new(gas, &self.burnt_gas, c, self.excess, volume);
        let (t, p) = mixture.after(&x, drawn_on(now, self.before));
        self.before = [now, self.before[0]];
        let work = x.work(p);
        c.energy = energy - work;
        c.temperature = t;
        c.pressure = p;
        self.volume = volume;
        self.books.work += work;
        self.peak_pressure = self.peak_pressure.max(p);
    }
}

/// Where temperature [K] and pressure [Pa] are expected after `now`, from one step and two steps `before`: their
/// parabola is drawn on, unless it leads far.
fn drawn_on(now: (f64, f64), before: [(f64, f64); 2]) -> (f64, f64) {
    let next = |a: f64, b: f64, c: f64| {
        let x = parabola::next(a, b, c);
        if x > 0.5 * a && x < 2.0 * a { x } else { a }
    };
    let [(t1, p1), (t2, p2)] = before;
    (next(now.0, t1, t2), next(now.1, p1, p2))
}
