//! How the machine stands and is accelerated, and what that makes of the fuel's level under each outlet.
//!
//! In the machine's frame (forward, right, down) the fuel at rest feels gravity less the machine's acceleration. With the slope
//! `t` of the road (nose up), the lean `b` (to the right), the acceleration `a` (forward) and the cornering `c` (towards a centre on
//! the right, along the road):
//!
//! ```text
//! forward  f = -(g sin t + a)
//! right    r = g cos t sin b - c cos b
//! down     d = g cos t cos b + c sin b
//! ```
//!
//! Its surface is the plane across that vector. Pressure in fluid at rest grows along it, so an outlet that stands `h` above the
//! level at the float's axis, `x` forward and `y` to the right of that axis, has to be reached against `rho (d h - f x - r y)`:
//! against gravity `d` it stands `h - (f x + r y)/d` above the fuel.
//!
//! Exact for fuel at rest in the machine's frame. Limits: steady, no slosh; the float holds the level at its own axis, whatever
//! the tilt does to its hinge; nothing spills. In a turn whose lean balances it, `c = g tan b`, nothing pulls sideways and `d = g/cos b`.

use serde::{Deserialize, Serialize};

use crate::media::atmosphere::G0;

/// Where an outlet stands, seen from the float's axis.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Place {
    /// Towards the front of the machine [m].
    pub forward: f64,
    /// Towards its right [m].
    pub right: f64,
}

/// What the machine's stance makes of an outlet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Standing {
    /// Height above the fuel, along the machine's own upright axis [m].
    pub lift: f64,
    /// Gravity along that axis [m/s2].
    pub gravity: f64,
}

/// How the machine stands and is accelerated, and where the outlets stand.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize, Deserialize)]
pub struct Attitude {
    /// Slope of the road, nose up positive [rad].
    pub tilt: f64,
    /// Acceleration forward, braking negative [m/s2].
    pub acceleration: f64,
    /// Lean to the right [rad].
    pub lean: f64,
    /// Acceleration towards the right along the road, in a right-hand turn positive [m/s2].
    pub cornering: f64,
    /// Mouth of the main nozzle.
    pub nozzle: Place,
    /// Pilot outlet.
    pub pilot: Place,
    /// Upper end of the starter's well.
    pub starter: Place,
}

impl Attitude {
    /// What the fuel feels, forward, right and down [m/s2].
    #[must_use]
    pub fn apparent_gravity(&self) -> [f64; 3] {
        let (g, c) = (G0 * libm::cos(self.tilt), self.cornering);
        let (sin, cos) = (libm::sin(self.lean), libm::cos(self.lean));
        [-(G0 * libm::sin(self.tilt) + self.acceleration), g * sin - c * cos, g * cos + c * sin]
    }

    /// How an outlet at `place` stands that is `rise` [m] above the fuel on a level machine.
    #[must_use]
    pub fn standing(&self, place: Place, rise: f64) -> Standing {
        let [forward, right, down] = self.apparent_gravity();
        Standing { lift: rise - (forward * place.forward + right * place.right) / down, gravity: down }
    }

    /// The same stance taken only to the share `s` [-].
    #[must_use]
    pub fn part(&self, s: f64) -> Self {
        Self {
            tilt: s * self.tilt,
            acceleration: s * self.acceleration,
            lean: s * self.lean,
            cornering: s * self.cornering,
            ..*self
        }
    }
}
