//! The fuel's way from the tank to the bowl: cap vent, tap and screen, filter, hose, inlet fitting, float needle and bowl.

use serde::{Deserialize, Serialize};

use crate::laws::crushed_tube::area_share;
use crate::laws::jet::JetLaw;
use crate::laws::loss::{sudden_contraction, sudden_expansion};
use crate::laws::orifice::series;
use crate::laws::pipe_flow::{Pipe, Resistance};

/// Discharge coefficient of an effective hole [-]: a plain drilled hole. Common practice.
pub const EFFECTIVE_DISCHARGE: f64 = 0.6;
/// Loss coefficients on the speed in the hose [-]. Source: handbook values of the type of Crane TP-410 (from memory).
pub const ENTRY: f64 = 0.5;
/// Of a right-angled bend, on its own speed [-]. As above.
pub const ELBOW: f64 = 0.75;
/// Of leaving into a wider space [-]: the whole head. As above.
pub const EXIT: f64 = 1.0;
/// Length over bore of the hole in a tank cap [-]: a drilled hole. Common practice.
const VENT_SLENDERNESS: f64 = 2.0;

/// The tank: how high the fuel stands above the float needle's seat, and how air gets in.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Tank {
    /// Fuel surface above the seat, tank full [m].
    pub full: f64,
    /// The same as the main tap runs out and the reserve begins, or whatever is the low end [m].
    pub reserve: f64,
    /// Hole of the cap vent [m]; 0 is shut.
    pub vent: f64,
    /// Air above the fuel [m3].
    pub air: f64,
}

/// Tap with its strainer.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Tap {
    /// Bore [m].
    pub bore: f64,
    /// Loss coefficient of tap and strainer, wide open, on the speed in this bore [-].
    pub loss: f64,
    /// How far it is open [-]: the loss goes with its inverse square.
    pub open: f64,
}

/// A filter in the hose, its flow laminar.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Filter {
    /// Head of fuel that it takes [m] ...
    pub head: f64,
    /// ... at this flow [m3/s].
    pub at: f64,
}

/// The hose.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Hose {
    /// Length [m].
    pub length: f64,
    /// Bore [m].
    pub bore: f64,
    /// Bends of about a right angle; a loop has four.
    pub bends: f64,
    /// How high it rises again after a low point [m]: vapour that gathers there holds back as much head, all of it taken.
    pub rise: f64,
}

/// The inlet fitting of the carburettor.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Inlet {
    /// As measured with caliper and ruler.
    Fitting {
        /// Bore [m].
        bore: f64,
        /// Length [m].
        length: f64,
        /// Loss coefficient of its elbow, on the speed in the bore [-]; 0 for a straight one.
        elbow: f64,
        /// Minor axis inside where it is flattened [m]; equal to the bore if it is round.
        flattened: f64,
    },
    /// As the plain hole that passes the same.
    Effective {
        /// Bore of the hole [m].
        bore: f64,
    },
}

/// Float needle, its seat and the float that moves it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct FloatNeedle {
    /// Bore of the seat [m].
    pub seat: f64,
    /// Discharge coefficient [-].
    pub discharge: f64,
    /// Lift wide open, where the float's tang stops it [m].
    pub lift: f64,
    /// Fall of the fuel below the set level that opens the needle wholly [m]; the lift is in proportion to the fall.
    pub over: f64,
    /// Half the angle of the needle's tip [rad].
    pub half_angle: f64,
}

/// The bowl, its walls upright.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Bowl {
    /// Free area of the fuel's surface [m2].
    pub area: f64,
    /// Fuel between the set level and the main jet's seat [m3].
    pub usable: f64,
}

impl Bowl {
    /// Fall of the fuel from the set level to the main jet's seat [m].
    #[must_use]
    pub fn depth(&self) -> f64 {
        self.usable / self.area
    }
}

impl FloatNeedle {
    /// Lift [m] when the fuel has fallen by `fall` [m] below the set level.
    #[must_use]
    pub fn lift_at(&self, fall: f64) -> f64 {
        self.lift * (fall / self.over).clamp(0.0, 1.0)
    }

    /// Discharge coefficient times area [m2] at `lift` [m]: seat bore and the ring between seat and tip in series,
    /// `pi x sin(a) (d - x sin(a) cos(a))`, the frustum between a conical plug and a round edge; where that grows no longer the tip has left
    /// the hole, and the way opens like a cylinder, `pi d` for a unit of lift. Source: geometry. The head between the two is taken as
    /// lost, which is on the side of less flow.
    #[must_use]
    pub fn effective_area(&self, lift: f64) -> f64 {
        let pi = std::f64::consts::PI;
        let bore = 0.25 * pi * self.seat * self.seat;
        let (sin, cos) = (libm::sin(self.half_angle), libm::cos(self.half_angle));
        let out = 0.5 * self.seat / (sin * cos);
        let x = lift.clamp(0.0, out);
        let ring = pi * x * sin * (self.seat - x * sin * cos) + pi * self.seat * (lift - out).max(0.0);
        self.discharge * series(bore, ring)
    }
}

/// A part of the way, for tables.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The hole in the tank's cap.
    CapVent,
    /// Tap and screen.
    Tap,
    /// Filter.
    Filter,
    /// Hose.
    Hose,
    /// Everything up to the hose's end, as one test measured it.
    Line,
    /// Vapour in a rise of the hose.
    Vapour,
    /// Inlet fitting.
    Inlet,
    /// Float needle and seat.
    Seat,
}

impl Part {
    /// What it is called.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::CapVent => "cap vent",
            Self::Tap => "tap and screen",
            Self::Filter => "filter",
            Self::Hose => "hose",
            Self::Line => "tank to hose end",
            Self::Vapour => "vapour in the hose",
            Self::Inlet => "inlet fitting",
            Self::Seat => "needle and seat",
        }
    }
}

/// The whole way.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct SupplyLine {
    /// Tank.
    pub tank: Tank,
    /// Tap.
    pub tap: Tap,
    /// Filter, if there is one.
    pub filter: Option<Filter>,
    /// Hose.
    pub hose: Hose,
    /// Inlet fitting.
    pub inlet: Inlet,
    /// Float needle.
    pub needle: FloatNeedle,
    /// Bowl.
    pub bowl: Bowl,
    /// Discharge coefficient times area [m2] of everything up to the hose's end, where a test has measured it: it stands in place
    /// of vent, tap, filter and hose.
    pub measured_line: Option<f64>,
}

/// Density [kg/m3] and kinematic viscosity [m2/s].
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Fluid {
    /// Density [kg/m3].
    pub density: f64,
    /// Kinematic viscosity [m2/s].
    pub viscosity: f64,
}

impl SupplyLine {
    /// The parts up to the hose's end in their order; `vented` takes the cap's hole as one of them.
    #[must_use]
    pub fn line(&self, air: Fluid, gravity: f64, fuel: Fluid, vented: bool) -> Vec<(Part, Resistance)> {
        if let Some(effective_area) = self.measured_line {
            return vec![(Part::Line, Resistance::Hole { effective_area })];
        }
        let mut all = Vec::new();
        if vented {
            all.push((Part::CapVent, Resistance::Air(Box::new(self.vent(air)))));
        }
        let tap = Pipe::round(self.tap.bore, 0.0, ENTRY + self.tap.loss / (self.tap.open * self.tap.open));
        all.push((Part::Tap, Resistance::Pipe(tap)));
        if let Some(f) = self.filter {
            all.push((Part::Filter, Resistance::Porous { per_flow: fuel.density * gravity * f.head / f.at }));
        }
        let hose = Pipe::round(self.hose.bore, self.hose.length, ELBOW * self.hose.bends + EXIT);
        all.push((Part::Hose, Resistance::Pipe(hose)));
        all
    }

    /// The law of the cap's hole.
    #[must_use]
    pub fn vent(&self, air: Fluid) -> JetLaw {
        JetLaw::new(self.tank.vent, VENT_SLENDERNESS * self.tank.vent, air.density, air.viscosity)
    }

    /// The inlet fitting.
    #[must_use]
    pub fn fitting(&self) -> Resistance {
        match self.inlet {
            Inlet::Effective { bore } => Resistance::Hole { effective_area: effective_area(bore) },
            Inlet::Fitting { bore, length, elbow, flattened } => {
                let round = Pipe::round(bore, length, 0.0);
                let share = area_share(flattened / bore);
                // the crushed place's step in and out, on its own speed, brought to the round bore's
                let steps = (sudden_contraction(share) + sudden_expansion(share)) / (share * share);
                Resistance::Pipe(Pipe { loss: ENTRY + elbow + steps, ..round })
            }
        }
    }

    /// Float needle and seat with the fuel `fall` [m] below the set level.
    #[must_use]
    pub fn seat(&self, fall: f64) -> Resistance {
        Resistance::Hole { effective_area: self.needle.effective_area(self.needle.lift_at(fall)) }
    }
}

/// Discharge coefficient times area [m2] of a plain hole of `bore` [m].
#[must_use]
pub fn effective_area(bore: f64) -> f64 {
    EFFECTIVE_DISCHARGE * 0.25 * std::f64::consts::PI * bore * bore
}

/// Bore [m] of the plain hole whose discharge coefficient times area is `area` [m2].
#[must_use]
pub fn effective_bore(area: f64) -> f64 {
    (4.0 * area / (std::f64::consts::PI * EFFECTIVE_DISCHARGE)).sqrt()
}
