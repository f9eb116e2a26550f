//! The vacuum piston in motion, with the gas in the chamber above it.
//!
//! ```text
//! m x'' = p_below (A - B) + p_under B - p_c A - (m g + F_0 + k (x - x_0)) - friction
//! V = V_0 + A (x_max - x),   p_c' = gamma/V (p_c A x' + R T m'),   m' through the holes, compressible
//! ```
//!
//! `A` is the whole area, `B` that of the lower end in the passage, `x` the lift between two inelastic stops. The chamber takes up and
//! gives back gas of the passage, no liquid; adiabatic, everything mixed at once, the piston's work counted. One step is the linearly
//! implicit midpoint of (x, x', p_c), of second order and stable while the air in the chamber is the stiffer spring,
//! `gamma p A^2/V` (some 10 kN/m against 0.1); what the expansion factor of the holes changes with the pressure is left out of its slope.
//!
//! Not modelled: heat through the walls of the chamber, tilt, the mass of the gas below the diaphragm (it is the free air's or the
//! air box's, whose pressure it has), oil in a damper.

use crate::gas::plenum::{Inflow, Plenum};
use crate::hardware::vacuum_piston::VacuumPiston;
use crate::laws::nozzle::compressibility;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Discharge coefficient of the holes into the chamber [-]. Common practice, no source: short holes in a thin wall.
pub const BLEED_DISCHARGE: f64 = 0.7;
/// Pressure drop below which the holes' law turns linear [Pa], as in the emulsion chambers.
const LAMINAR_DROP: f64 = 2.0;

/// The gas of the passage in front of the holes, and what pushes on the piston.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Passing {
    /// Pressure in the room under the diaphragm [Pa].
    pub below: f64,
    /// Pressure under the piston's lower end, where the holes are [Pa].
    pub under: f64,
    /// Density there [kg/m3].
    pub rho: f64,
    /// What the gas there is.
    pub composition: Composition,
    /// Its total enthalpy [J/kg].
    pub total_enthalpy: f64,
}

/// Lift and speed of the piston, and the gas above it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PistonMotion {
    /// Lift [m].
    pub lift: f64,
    /// Speed upwards [m/s].
    pub speed: f64,
    /// Gas in the chamber.
    pub chamber: Plenum,
}

/// Flow through the holes.
struct Bleed {
    /// Into the chamber [kg/s].
    rate: f64,
    /// Its slope by the drop [kg/(s Pa)].
    slope: f64,
    /// Its chord by the drop [kg/(s Pa)].
    chord: f64,
    /// Gas constant times temperature of where it comes from [J/kg].
    rt: f64,
}

impl Bleed {
    /// Through holes of effective `area` [m2] from `from` to `to` [Pa] of gas of density `rho` [kg/m3].
    fn new(area: f64, from: f64, to: f64, rho: f64, gamma: f64) -> Self {
        let d = from - to;
        let scale = area * (2.0 * rho).sqrt() * compressibility(to / from, gamma);
        let e = d + LAMINAR_DROP;
        let chord = scale / e.sqrt();
        Self { rate: chord * d, slope: chord * (d + 2.0 * LAMINAR_DROP) / (2.0 * e), chord, rt: from / rho }
    }
}

impl PistonMotion {
    /// The piston on its lower stop, the chamber full of air at `p` [Pa], `t` [K].
    #[must_use]
    pub fn at_rest(part: &VacuumPiston, gas: &GasModel, p: f64, t: f64) -> Self {
        let chamber = Plenum::new(gas, part.chamber(part.lowest), p, t, Composition::default());
        Self { lift: part.lowest, speed: 0.0, chamber }
    }

    /// One step of `dt` [s]; returns the gas that the chamber took from the passage, negative when it gave some back [kg].
    pub fn step(&mut self, part: &VacuumPiston, gas: &GasModel, dt: f64, at: &Passing) -> f64 {
        let (area, mass) = (part.area, part.mass);
        let volume = self.chamber.volume;
        let p = self.chamber.pressure;
        let inside = self.chamber.vessel(gas);
        let gamma = inside.gamma;
        let holes = BLEED_DISCHARGE * part.bleed_area();
        let b = if at.under >= p {
            Bleed::new(holes, at.under, p, at.rho, gamma)
        } else {
            let out = Bleed::new(holes, p, at.under, inside.rho, gamma);
            Bleed { rate: -out.rate, ..out }
        };
        let push = at.below * (area - part.bottom) + at.under * part.bottom - p * area;
        let a = (push - part.load(self.lift)) / mass;
        let (a_x, a_p) = (-part.spring_rate / mass, -area / mass);
        let g = gamma / volume * (p * area * self.speed + b.rt * b.rate);
        let g_x = g * area / volume;
        let g_v = gamma * p * area / volume;
        let g_p = gamma / volume * (area * self.speed - b.rt * b.slope);
        let h = 0.5 * dt;
        // [c11 c12; c21 c22] (dv, dp) = (b1, b2), the change of lift eliminated.
        let (c11, c12) = (1.0 - h * h * a_x, -h * a_p);
        // Holes so wide that the pressures meet within the step let them meet, and no more.
        let meet = dt * gamma / volume * b.rt * b.chord;
        let (c21, c22) = (-(h * g_v + h * h * g_x), (1.0 - h * g_p).max(meet));
        let (r1, r2) = (dt * (a + h * a_x * self.speed), dt * (g + h * g_x * self.speed));
        let dv = (r1 * c22 - c12 * r2) / (c11 * c22 - c12 * c21);
        let speed = rubbed(self.speed + dv, part.friction * dt / mass);
        let (lift, speed) = stopped(part, self.lift + h * (self.speed + speed), speed);
        let rise = lift - self.lift;
        // The chamber again, with the lift that came out.
        let middle = volume - 0.5 * area * rise;
        let per = gamma / middle;
        let moved = area * rise / dt;
        let stiff = dt * per * b.rt * b.chord;
        let held = (1.0 - h * per * (moved - b.rt * b.slope)).max(stiff);
        let dp = dt * per * (p * moved + b.rt * b.rate) / held;
        // What the pressure that came out asks for.
        let taken = (dp / per - dt * moved * (p + 0.5 * dp)) / b.rt;
        self.chamber.volume = volume - area * rise;
        self.chamber.energy += (p + 0.5 * dp) * area * rise;
        let flow = if taken >= 0.0 {
            Inflow { mass: taken, composition: at.composition, total_enthalpy: at.total_enthalpy }
        } else {
            self.chamber.leaving(gas, -taken)
        };
        self.chamber.step(gas, &[flow]);
        (self.lift, self.speed) = (lift, speed);
        taken
    }
}

/// `speed` after friction has taken up to `most` of it [m/s].
fn rubbed(speed: f64, most: f64) -> f64 {
    if speed.abs() <= most { 0.0 } else { speed - most.copysign(speed) }
}

/// Lift and speed after the stops, which give nothing back.
fn stopped(part: &VacuumPiston, lift: f64, speed: f64) -> (f64, f64) {
    if lift <= part.lowest {
        (part.lowest, speed.max(0.0))
    } else if lift >= part.highest {
        (part.highest, speed.min(0.0))
    } else {
        (lift, speed)
    }
}
