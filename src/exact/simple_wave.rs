//! Isentropic simple wave of finite strength into a uniform gas, before it breaks.
//!
//! All of the wave runs one way. The velocity `v` above that of the undisturbed gas stays constant along
//! `dx/dt = u_0 + v + c` (to the right) or `u_0 + v - c` (to the left), with `c = c_0 + (g-1)/2 v` or `c = c_0 - (g-1)/2 v`. So
//! each point of the start travels at a constant speed `u_0 +- c_0 + (g+1)/2 v`: crests overtake troughs, and the wave
//! breaks at `t = 2 / ((g+1) max(-dv/dx))`. Pressure and density follow from `c/c_0`, isentropic.
//!
//! Limits: until it breaks; `c > 0` everywhere (no vacuum). Source: Liepmann & Roshko, *Elements of Gasdynamics*, 1957,
//! chapter 3; Whitham, *Linear and Nonlinear Waves*, 1974, chapter 6 (both from memory).

use crate::numeric::root;

use super::error::{Error, need, need_gamma};
use super::state::State;

/// Which way the wave runs through the gas.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// Along +x.
    Right,
    /// Against x.
    Left,
}

/// A simple wave.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SimpleWave<F> {
    gamma: f64,
    rest: State,
    direction: Direction,
    start: F,
    least: f64,
    most: f64,
    steepest_fall: f64,
}

/// Error of the place of origin, over the reach of the wave, at which the search ends [-].
const TOLERANCE: f64 = 1.0e-16;

impl<F: Fn(f64) -> f64> SimpleWave<F> {
    /// A wave into the gas `rest` that starts as the velocity `start(x)` [m/s] above that of the gas.
    ///
    /// `least` and `most` [m/s] bound `start`; `steepest_fall` [1/s] is the largest of `-d(start)/dx`, or 0 if it falls nowhere.
    /// The caller answers for these three: a start outside them gives an error or a wrong wave later.
    ///
    /// # Errors
    /// A gas that cannot exist, `gamma` not above 1, bounds in the wrong order, a wave strong enough for a vacuum.
    pub fn new(
        gamma: f64,
        rest: State,
        direction: Direction,
        start: F,
        (least, most): (f64, f64),
        steepest_fall: f64,
    ) -> Result<Self, Error> {
        need_gamma(gamma)?;
        rest.check()?;
        need(least <= most && (most - least).is_finite(), "least", least, "a finite number not above `most`")?;
        need(steepest_fall >= 0.0, "steepest_fall", steepest_fall, "0 or more")?;
        let wave = Self { gamma, rest, direction, start, least, most, steepest_fall };
        for v in [least, most] {
            need(wave.sound_at(v) > 0.0, "start", v, "a speed of sound above 0 everywhere in the wave")?;
        }
        Ok(wave)
    }

    /// Time [s] at which the wave breaks; infinite for one that only expands.
    pub fn breaking_time(&self) -> f64 {
        2.0 / ((self.gamma + 1.0) * self.steepest_fall)
    }

    /// State at `x` [m] and `t` [s].
    ///
    /// # Errors
    /// A time before the start or not before the wave breaks; a start that leaves its stated bounds.
    pub fn at(&self, x: f64, t: f64) -> Result<State, Error> {
        need(t >= 0.0 && t < self.breaking_time(), "t", t, "0 or more, and less than the breaking time")?;
        let (near, far) = (x - self.speed(self.most) * t, x - self.speed(self.least) * t);
        let reach = far - near;
        let arrives = |origin: f64| origin - x + self.speed((self.start)(origin)) * t;
        // a margin, so that rounding at a bound of the start does not lose the root
        let margin = 1.0e-9 * reach + 4.0 * f64::EPSILON * (x.abs() + near.abs() + far.abs());
        let origin = root::find(arrives, near - margin, far + margin, TOLERANCE * reach)?.x;
        Ok(self.state((self.start)(origin)))
    }

    fn sign(&self) -> f64 {
        match self.direction {
            Direction::Right => 1.0,
            Direction::Left => -1.0,
        }
    }

    fn sound_at(&self, v: f64) -> f64 {
        self.rest.sound(self.gamma) + self.sign() * 0.5 * (self.gamma - 1.0) * v
    }

    fn speed(&self, v: f64) -> f64 {
        self.rest.u + self.sign() * self.rest.sound(self.gamma) + 0.5 * (self.gamma + 1.0) * v
    }

    fn state(&self, v: f64) -> State {
        let (g, hotter) = (self.gamma, self.sound_at(v) / self.rest.sound(self.gamma));
        State {
            rho: self.rest.rho * libm::pow(hotter, 2.0 / (g - 1.0)),
            u: self.rest.u + v,
            p: self.rest.p * libm::pow(hotter, 2.0 * g / (g - 1.0)),
        }
    }
}
