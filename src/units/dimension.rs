//! What kind of thing a number measures.

use super::table::{UNITS, Unit};

/// What kind of thing a number measures, which decides the units it may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Dimension {
    /// Length, SI unit m.
    Length,
    /// Area, SI unit m2.
    Area,
    /// Volume, SI unit m3.
    Volume,
    /// Angle, SI unit rad.
    Angle,
    /// Temperature, SI unit K.
    Temperature,
    /// Pressure, SI unit Pa.
    Pressure,
    /// Volume per time, SI unit m3/s.
    VolumeFlow,
    /// Mass per volume, SI unit kg/m3.
    Density,
    /// Power, SI unit W.
    Power,
    /// Acceleration, SI unit m/s2.
    Acceleration,
    /// Force, SI unit N.
    Force,
    /// Force per length of a spring, SI unit N/m.
    SpringRate,
    /// Turns of a screw; the number of turns is kept.
    Turns,
    /// Speed of a crankshaft; rev/min are kept.
    Speed,
    /// Time, SI unit s.
    Time,
    /// Mass, SI unit kg.
    Mass,
    /// Speed on the road or of the wind, SI unit m/s.
    RoadSpeed,
    /// Moment of inertia, SI unit kg m2.
    Inertia,
    /// A share, 0 to 1; a bare number is allowed.
    Share,
    /// A ratio or another plain number; a bare number is allowed.
    Number,
}

impl Dimension {
    /// Every dimension.
    pub const ALL: [Self; 20] = [
        Self::Length,
        Self::Area,
        Self::Volume,
        Self::Angle,
        Self::Temperature,
        Self::Pressure,
        Self::VolumeFlow,
        Self::Density,
        Self::Power,
        Self::Acceleration,
        Self::Force,
        Self::SpringRate,
        Self::Turns,
        Self::Speed,
        Self::Time,
        Self::Mass,
        Self::RoadSpeed,
        Self::Inertia,
        Self::Share,
        Self::Number,
    ];

    /// What it is called in a message.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Area => "area",
            Self::Volume => "volume",
            Self::Angle => "angle",
            Self::Temperature => "temperature",
            Self::Pressure => "pressure",
            Self::VolumeFlow => "flow",
            Self::Density => "density",
            Self::Power => "power",
            Self::Acceleration => "acceleration",
            Self::Force => "force",
            Self::SpringRate => "spring rate",
            Self::Turns => "number of turns",
            Self::Speed => "crankshaft speed",
            Self::Time => "time",
            Self::Mass => "mass",
            Self::RoadSpeed => "road speed",
            Self::Inertia => "moment of inertia",
            Self::Share => "share",
            Self::Number => "plain number",
        }
    }

    /// What it is called, with its article: "a length", "an area".
    #[must_use]
    pub fn a_word(self) -> String {
        let article = if matches!(self, Self::Area | Self::Angle | Self::Acceleration) { "an" } else { "a" };
        format!("{article} {}", self.word())
    }

    /// The unit in which the value is kept inside the program.
    #[must_use]
    pub fn kept_in(self) -> &'static str {
        match self {
            Self::Length => "m",
            Self::Area => "m2",
            Self::Volume => "m3",
            Self::Angle => "rad",
            Self::Temperature => "K",
            Self::Pressure => "Pa",
            Self::VolumeFlow => "m3/s",
            Self::Density => "kg/m3",
            Self::Power => "W",
            Self::Acceleration => "m/s2",
            Self::Force => "N",
            Self::SpringRate => "N/m",
            Self::Turns => "turns",
            Self::Speed => "rpm",
            Self::Time => "s",
            Self::Mass => "kg",
            Self::RoadSpeed => "m/s",
            Self::Inertia => "kg m2",
            Self::Share | Self::Number => "-",
        }
    }

    /// Whether a number without unit is accepted.
    #[must_use]
    pub fn bare_number(self) -> bool {
        matches!(self, Self::Share | Self::Number)
    }

    /// The units of this dimension, the usual one first.
    pub fn units(self) -> impl Iterator<Item = &'static Unit> {
        UNITS.iter().filter(move |u| u.dimension == self)
    }

    /// Names of the units that would do: "mm, cm, m, in or ft".
    #[must_use]
    pub fn unit_names(self) -> String {
        let names: Vec<&str> = self.units().map(Unit::name).filter(|n| !n.is_empty()).collect();
        match names.split_last() {
            None => String::new(),
            Some((last, [])) => (*last).to_string(),
            Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
        }
    }
}
