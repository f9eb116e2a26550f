//! How road speed and consumption are said: one place for both systems.

use serde::{Deserialize, Serialize};
use uom::si::f64::{Length, Velocity, Volume};
use uom::si::length::{kilometer, mile};
use uom::si::velocity::{kilometer_per_hour, meter_per_second, mile_per_hour};
use uom::si::volume::{gallon, gallon_imperial, liter};

use super::shown::{Quantity, Units};

/// One mechanical horsepower, 550 ft lbf/s, in kW.
pub const KW_PER_HP: f64 = 0.745_699_871_582_270_2;

/// The unit in which road speeds are said first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
pub enum SpeedUnit {
    /// Kilometres an hour.
    #[default]
    #[serde(rename = "km/h")]
    KmPerHour,
    /// Miles an hour.
    #[serde(rename = "mph")]
    MilesPerHour,
}

impl SpeedUnit {
    /// The unit that the text of a speed is written in.
    #[must_use]
    pub fn of(text: &str) -> Self {
        if text.contains("mi") || text.contains("mph") { Self::MilesPerHour } else { Self::KmPerHour }
    }

    /// The unit of speed among `units`; what is neither of the two is said in km/h.
    #[must_use]
    pub fn asked(units: &Units) -> Self {
        if units.name(Quantity::Speed) == Self::MilesPerHour.name() { Self::MilesPerHour } else { Self::KmPerHour }
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::KmPerHour => "km/h",
            Self::MilesPerHour => "mph",
        }
    }

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::KmPerHour => Self::MilesPerHour,
            Self::MilesPerHour => Self::KmPerHour,
        }
    }

    /// `speed` [m/s] in this unit.
    #[must_use]
    pub fn from_si(self, speed: f64) -> f64 {
        let speed = Velocity::new::<meter_per_second>(speed);
        match self {
            Self::KmPerHour => speed.get::<kilometer_per_hour>(),
            Self::MilesPerHour => speed.get::<mile_per_hour>(),
        }
    }

    /// `speed` of this unit in m/s.
    #[must_use]
    pub fn to_si(self, speed: f64) -> f64 {
        match self {
            Self::KmPerHour => Velocity::new::<kilometer_per_hour>(speed),
            Self::MilesPerHour => Velocity::new::<mile_per_hour>(speed),
        }
        .get::<meter_per_second>()
    }

    /// Distance of the marks along a line of speeds, in this unit.
    #[must_use]
    pub fn mark(self) -> f64 {
        match self {
            Self::KmPerHour => 20.0,
            Self::MilesPerHour => 10.0,
        }
    }

    /// `speed` [m/s] in whole units: `60 mph`.
    #[must_use]
    pub fn said(self, speed: f64) -> String {
        format!("{:.0} {}", self.from_si(speed), self.name())
    }

    /// `speed` [m/s] in this unit and the other: `60 mph (97 km/h)`.
    #[must_use]
    pub fn both(self, speed: f64) -> String {
        format!("{} ({})", self.said(speed), self.other().said(speed))
    }
}

/// Miles for a US gallon at a consumption of `litres` for 100 km.
#[must_use]
pub fn mpg_us(litres: f64) -> f64 {
    miles_per(litres, Volume::new::<gallon>(1.0))
}

/// Miles for an imperial gallon at a consumption of `litres` for 100 km.
#[must_use]
pub fn mpg_uk(litres: f64) -> f64 {
    miles_per(litres, Volume::new::<gallon_imperial>(1.0))
}

fn miles_per(litres: f64, volume: Volume) -> f64 {
    volume.get::<liter>() / litres * Length::new::<kilometer>(100.0).get::<mile>()
}

/// `5.4 L/100 km (44 mpg US, 52 mpg UK)`.
#[must_use]
pub fn consumption(litres: f64) -> String {
    format!("{litres:.1} L/100 km ({:.0} mpg US, {:.0} mpg UK)", mpg_us(litres), mpg_uk(litres))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gallons_and_miles_are_those_of_their_definitions() {
        // US gallon 231 in3 = 3.785411784 L, imperial gallon 4.54609 L, mile 1.609344 km: exact by definition.
        // The crate that converts rounds them to seven figures: 1e-5 of about 50.
        assert!((mpg_us(5.0) - 3.785_411_784 / 5.0 * 100.0 / 1.609_344).abs() < 1e-5);
        assert!((mpg_uk(5.0) - 4.546_09 / 5.0 * 100.0 / 1.609_344).abs() < 1e-5);
        assert!((SpeedUnit::MilesPerHour.to_si(60.0) - 26.8224).abs() < 1e-12);
        assert!((SpeedUnit::KmPerHour.from_si(SpeedUnit::KmPerHour.to_si(90.0)) - 90.0).abs() < 1e-12);
        assert_eq!(SpeedUnit::of("60 mph").both(26.8224), "60 mph (97 km/h)");
    }
}
