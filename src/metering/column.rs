//! A column of fuel between the bowl and an outlet: it has inertia, a sign, and it may run back.
//!
//! `I dQ/dt = dp - loss(Q)` with the inertance `I = rho sum(L/A)` of the passages in series [kg/m4] and the signed
//! loss of jets and annulus. A wave that puts the outlet above the bowl slows the column; if it runs back, its
//! front leaves the outlet and the empty length must be filled again before fuel is delivered. The
//! front's fall lowers the head it has to be lifted by.
//!
//! Not modelled: the small change of inertance with the front, surface tension, the mass of air that follows
//! the front. Source: momentum of an incompressible column, exact for one passage.

use crate::media::atmosphere::G0;

/// A column of fuel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// Volume flow towards the outlet [m3/s].
    pub flow: f64,
    /// Empty volume between the front and the outlet [m3], 0 when full.
    pub void: f64,
    /// Area of the passage that the front moves in [m2].
    pub area: f64,
    /// Height of the outlet above the level in the bowl [m].
    pub lift: f64,
    /// Gravity along that height [m/s2]: `G0` on a machine that stands level.
    pub gravity: f64,
    /// Largest empty volume: the whole passage [m3].
    pub passage_volume: f64,
    /// Density of the fuel [kg/m3].
    pub density: f64,
}

/// What one step of a column did.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ColumnStep {
    /// Volume drawn from the bowl, negative when it ran back [m3].
    pub drawn: f64,
    /// Volume delivered at the outlet [m3], never negative.
    pub delivered: f64,
    /// Whether the front was blown back to the jet and held there.
    pub emptied: bool,
}

impl Column {
    /// A full column at rest.
    #[must_use]
    pub fn full(area: f64, length: f64, lift: f64, density: f64) -> Self {
        Self { flow: 0.0, void: 0.0, area, lift, gravity: G0, passage_volume: area * length, density }
    }

    /// Fuel missing from the full passage [kg].
    #[must_use]
    pub fn missing(&self) -> f64 {
        self.density * self.void
    }

    /// Pressure that gravity takes from the bowl to the front [Pa].
    #[must_use]
    pub fn head(&self) -> f64 {
        self.density * self.gravity * (self.lift - self.void / self.area)
    }

    /// One step of `dt` [s].
    ///
    /// `drive` is bowl pressure minus outlet pressure [Pa]; `loss` gives the signed loss [Pa] and its slope
    /// [Pa s/m3] at a flow; `inertance` [kg/m4]. Linearly implicit midpoint,
    /// `dQ = dt (dp - loss)/(I + dt/2 loss')`: second order, stable for any `dt`.
    pub fn step(&mut self, dt: f64, drive: f64, inertance: f64, loss: impl Fn(f64) -> (f64, f64)) -> ColumnStep {
        let (drop, slope) = loss(self.flow);
        let change = dt * (drive - self.head() - drop) / (inertance + 0.5 * dt * slope);
        let mean = self.flow + 0.5 * change;
        self.flow += change;
        let volume = mean * dt;
        let void = self.void - volume;
        if void <= 0.0 {
            self.void = 0.0;
            return ColumnStep { drawn: volume, delivered: -void, emptied: false };
        }
        if void > self.passage_volume {
            let drawn = self.void - self.passage_volume;
            self.void = self.passage_volume;
            self.flow = 0.0;
            return ColumnStep { drawn, delivered: 0.0, emptied: true };
        }
        self.void = void;
        ColumnStep { drawn: volume, delivered: 0.0, emptied: false }
    }
}
