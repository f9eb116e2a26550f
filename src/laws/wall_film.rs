//! The film of fuel on the walls of the inlet: what lands there and when it leaves.
//!
//! ```text
//! dm/dt = X mi - m/tau       mo = (1 - X) mi + m/tau
//! ```
//!
//! `mi` [kg/s] is metered, the share `X` of it lands on the wall, the film `m` [kg] leaves with the time constant `tau`
//! [s], `mo` goes on to the cylinder. In a steady state `mo = mi` and `m = X tau mi`: a film changes nothing in the
//! mean. After a step of `mi` by `d` the response is `d (1 - X exp(-t/tau))`: at once `(1 - X) d`, the rest late.
//!
//! Sources: Aquino, SAE 810494 (1981); Hires and Overington, SAE 810495 (1981). Values: throttle-body and carburettor
//! engines, warm, `X` 0.3 to 0.6 and `tau` 0.4 to 2 s, cold 5 to 30 s; port injection `X` 0.2 to 0.4, `tau` 0.2 to 0.7
//! s (both from memory).
//!
//! One lumped film: not modelled are its thickness and speed along the wall, light ends that leave first, and what a
//! single's deep pulses tear off.

/// Shares that were measured on engines with a carburettor or a throttle body [-]; the fit is held inside them.
pub const SHARES: (f64, f64) = (0.3, 0.6);
/// Times that were measured on such engines, warm to cold [s]; the fit is held inside them.
pub const TIMES: (f64, f64) = (0.4, 30.0);
/// Wall temperature of the warm engines that were measured [K]: 80 degrees Celsius, that of their coolant. Common
/// practice, no source.
pub const WARM_WALL: f64 = 353.15;

/// Share that lands on the wall, and time constant of the film.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WallFilm {
    /// Share of the metered fuel that lands on the wall [-].
    pub share: f64,
    /// Time constant of the film [s].
    pub time: f64,
}

/// A film whose values were held inside their limits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// The film.
    pub film: WallFilm,
    /// Whether the share met a limit.
    pub share_held: bool,
    /// Whether the time met a limit.
    pub time_held: bool,
}

/// Share and time of a warm engine at the mean pressure `p` in the manifold [Pa] and `rpm`, as fitted, without limits:
/// `X = 0.68 - 0.277 p - 0.055 n`, `tau = 1.35 (1.68 - 0.672 n)(p - 0.825)^2 + 0.71 - 0.06 n` in bar and 1000 rpm.
///
/// Source: Hendricks and Sorenson, SAE 900616 (1990), from memory; a four-cylinder engine with throttle-body injection.
/// Outside its range it is not to be trusted: `tau` goes negative near 6000 rpm and 0.4 bar.
#[must_use]
pub fn fitted(p: f64, rpm: f64) -> WallFilm {
    let (p, n) = (1e-5 * p, 1e-3 * rpm);
    let below = p - 0.825;
    WallFilm {
        share: -0.277 * p - 0.055 * n + 0.68,
        time: 1.35 * (-0.672 * n + 1.68) * below * below + (-0.06 * n + 0.15) + 0.56,
    }
}

/// How many times longer the film lasts on a wall at `t` [K] than on that of a warm engine [-]: the vapour pressure
/// that drives it off goes by Clausius and Clapeyron, `exp(L/R (1/t - 1/t_warm))`, with `latent_over_r` the latent heat
/// over the vapour's gas constant [K].
///
/// For petrol from a warm engine to 15 degrees Celsius a factor of 19, which takes 0.5 s to 10 s, inside what was
/// measured cold. Not modelled: a share that grows with cold, beyond the limit of what is liquid.
#[must_use]
pub fn longer_when_cold(latent_over_r: f64, t: f64) -> f64 {
    libm::exp(latent_over_r * (1.0 / t - 1.0 / WARM_WALL))
}

impl WallFilm {
    /// The same held inside what was measured, and inside what is liquid: a film takes no more than `liquid` of the
    /// fuel [-].
    #[must_use]
    pub fn held(self, liquid: f64) -> Held {
        // A fit that went below its range has no better value than the end of it.
        let share = self.share.clamp(SHARES.0, SHARES.1).min(liquid.max(0.0));
        let time = self.time.clamp(TIMES.0, TIMES.1);
        let differs = |a: f64, b: f64| (a - b).abs() > 0.0 || a.is_nan();
        let film = Self { share, time };
        Held { film, share_held: differs(share, self.share), time_held: differs(time, self.time) }
    }

    /// Film that a steady flow of metered fuel [kg/s] keeps up [kg]: `X tau mi`.
    #[must_use]
    pub fn steady(&self, metered: f64) -> f64 {
        self.share * self.time * metered
    }

    /// What goes on to the cylinder a time `t` [s] after a step of the metered fuel, over the step [-]: `1 - X
    /// exp(-t/tau)`.
    #[must_use]
    pub fn response(&self, t: f64) -> f64 {
        1.0 - self.share * libm::exp(-t / self.time)
    }

    /// One step of `dt` [s] of a film of `mass` [kg] on which `landed` [kg] comes down evenly; returns what leaves
    /// [kg].
    ///
    /// Exact for an even rate: `out = m (1 - e) + landed (1 - (1 - e) tau/dt)`, `e = exp(-dt/tau)`. Never more than
    /// there is.
    #[must_use]
    pub fn leaves(&self, mass: f64, landed: f64, dt: f64) -> f64 {
        let gone = -libm::expm1(-dt / self.time);
        let late = if dt > 0.0 { 1.0 - gone * self.time / dt } else { 0.0 };
        mass * gone + landed * late
    }
}
