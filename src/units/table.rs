//! The units a person may write, their spellings, and their way to SI.

use uom::si::acceleration::{meter_per_second_squared, standard_gravity};
use uom::si::angle::{degree, radian};
use uom::si::area::{square_centimeter, square_foot, square_inch, square_meter, square_millimeter};
use uom::si::f64::{
    Acceleration, Angle, Area, Force, Length, Mass, MassDensity, Power, Pressure, Ratio, ThermodynamicTemperature,
    Time, Velocity, Volume, VolumeRate,
};
use uom::si::force::{kilogram_force, newton, pound_force};
use uom::si::length::{centimeter, foot, inch, kilometer, meter, micrometer, mil, millimeter};
use uom::si::mass::{gram, kilogram, ounce, pound};
use uom::si::mass_density::{gram_per_cubic_centimeter, kilogram_per_cubic_meter};
use uom::si::power::{kilowatt, watt};
use uom::si::pressure::{
    bar, hectopascal, inch_of_mercury, inch_of_water, kilopascal, millibar, millimeter_of_mercury, pascal, psi,
};
use uom::si::ratio::{percent, ratio};
use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin};
use uom::si::time::{minute, second};
use uom::si::velocity::{kilometer_per_hour, meter_per_second, mile_per_hour};
use uom::si::volume::{cubic_centimeter, cubic_inch, cubic_meter, liter};
use uom::si::volume_rate::{cubic_centimeter_per_second, liter_per_minute, liter_per_second};

use super::Dimension;

/// One unit.
pub struct Unit {
    /// What it measures.
    pub dimension: Dimension,
    /// Spellings accepted; the first one is printed. Capitals and small letters count, as `mm` and `Mm` differ.
    pub spellings: &'static [&'static str],
    /// From this unit to the one kept inside.
    pub to_kept: fn(f64) -> f64,
    /// From the one kept inside to this unit.
    pub from_kept: fn(f64) -> f64,
}

impl Unit {
    /// The name that is printed.
    #[must_use]
    pub fn name(&self) -> &'static str {
        self.spellings.first().copied().unwrap_or_default()
    }
}

/// A row of the table whose factor `uom` knows.
macro_rules! row {
    ($dimension:ident, $quantity:ident, $unit:ident, $base:ident, $($spelling:literal),+) => {
        Unit {
            dimension: Dimension::$dimension,
            spellings: &[$($spelling),+],
            to_kept: |v| $quantity::new::<$unit>(v).get::<$base>(),
            from_kept: |v| $quantity::new::<$base>(v).get::<$unit>(),
        }
    };
}

/// A row whose number is kept as it is.
macro_rules! same {
    ($dimension:ident, $($spelling:literal),+) => {
        Unit { dimension: Dimension::$dimension, spellings: &[$($spelling),+], to_kept: |v| v, from_kept: |v| v }
    };
}

/// Every unit, the usual one of each dimension first.
pub static UNITS: &[Unit] = &[
    row!(Length, Length, millimeter, meter, "mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    row!(Length, Length, centimeter, meter, "cm", "centimetre", "centimetres"),
    row!(Length, Length, meter, meter, "m", "metre", "metres", "meter", "meters"),
    row!(Length, Length, inch, meter, "in", "inch", "inches", "\""),
    row!(Length, Length, mil, meter, "thou"),
    row!(Length, Length, foot, meter, "ft", "foot", "feet"),
    row!(Length, Length, kilometer, meter, "km"),
    row!(Length, Length, micrometer, meter, "um", "µm", "μm"),
    row!(Area, Area, square_centimeter, square_meter, "cm2", "cm^2", "cm²"),
    row!(Area, Area, square_millimeter, square_meter, "mm2", "mm^2", "mm²"),
    row!(Area, Area, square_inch, square_meter, "in2", "in^2", "in²", "sq in"),
    row!(Area, Area, square_meter, square_meter, "m2", "m^2", "m²"),
    row!(Area, Area, square_foot, square_meter, "ft2", "ft^2", "ft²", "sq ft"),
    row!(Volume, Volume, liter, cubic_meter, "L", "l", "litre", "litres", "liter", "liters"),
    row!(Volume, Volume, cubic_centimeter, cubic_meter, "cc", "cm3", "cm^3", "cm³", "ml", "mL"),
    row!(Volume, Volume, cubic_inch, cubic_meter, "in3", "in^3", "in³", "cu in"),
    row!(Angle, Angle, degree, radian, "deg", "°", "degree", "degrees"),
    row!(Angle, Angle, radian, radian, "rad"),
    row!(Temperature, ThermodynamicTemperature, degree_celsius, kelvin, "degC", "°C", "C"),
    row!(Temperature, ThermodynamicTemperature, degree_fahrenheit, kelvin, "degF", "°F", "F"),
    row!(Temperature, ThermodynamicTemperature, kelvin, kelvin, "K"),
    row!(Pressure, Pressure, kilopascal, pascal, "kPa"),
    row!(Pressure, Pressure, pascal, pascal, "Pa"),
    row!(Pressure, Pressure, hectopascal, pascal, "hPa"),
    row!(Pressure, Pressure, millibar, pascal, "mbar"),
    row!(Pressure, Pressure, bar, pascal, "bar"),
    row!(Pressure, Pressure, millimeter_of_mercury, pascal, "mmHg"),
    row!(Pressure, Pressure, inch_of_mercury, pascal, "inHg"),
    row!(Pressure, Pressure, inch_of_water, pascal, "inH2O"),
    row!(Pressure, Pressure, psi, pascal, "psi"),
    row!(Power, Power, watt, watt, "W"),
    row!(Power, Power, kilowatt, watt, "kW"),
    Unit {
        dimension: Dimension::VolumeFlow,
        spellings: &["cc/min", "cm3/min", "ml/min", "mL/min"],
        to_kept: |v| VolumeRate::new::<cubic_centimeter_per_second>(v / 60.0).value,
        from_kept: |v| VolumeRate { value: v, ..VolumeRate::default() }.get::<cubic_centimeter_per_second>() * 60.0,
    },
    Unit {
        dimension: Dimension::VolumeFlow,
        spellings: &["L/min", "l/min"],
        to_kept: |v| VolumeRate::new::<liter_per_minute>(v).value,
        from_kept: |v| VolumeRate { value: v, ..VolumeRate::default() }.get::<liter_per_minute>(),
    },
    Unit {
        dimension: Dimension::VolumeFlow,
        spellings: &["L/h", "l/h"],
        to_kept: |v| VolumeRate::new::<liter_per_second>(v / 3600.0).value,
        from_kept: |v| VolumeRate { value: v, ..VolumeRate::default() }.get::<liter_per_second>() * 3600.0,
    },
    row!(Density, MassDensity, kilogram_per_cubic_meter, kilogram_per_cubic_meter, "kg/m3", "kg/m^3", "kg/m³", "g/L"),
    row!(Density, MassDensity, gram_per_cubic_centimeter, kilogram_per_cubic_meter, "g/cc", "g/cm3", "kg/L", "g/ml"),
    row!(Acceleration, Acceleration, standard_gravity, meter_per_second_squared, "g"),
    row!(Acceleration, Acceleration, meter_per_second_squared, meter_per_second_squared, "m/s2", "m/s^2", "m/s²"),
    row!(Force, Force, newton, newton, "N"),
    row!(Force, Force, kilogram_force, newton, "kgf"),
    row!(Force, Force, pound_force, newton, "lbf"),
    Unit {
        dimension: Dimension::SpringRate,
        spellings: &["N/mm"],
        to_kept: |v| v / Length::new::<millimeter>(1.0).value,
        from_kept: |v| v * Length::new::<millimeter>(1.0).value,
    },
    same!(SpringRate, "N/m"),
    row!(Mass, Mass, gram, kilogram, "g", "gram", "grams"),
    row!(Mass, Mass, kilogram, kilogram, "kg"),
    row!(Mass, Mass, ounce, kilogram, "oz"),
    row!(Mass, Mass, pound, kilogram, "lb", "lbs", "pound", "pounds"),
    same!(Inertia, "kg m2", "kg m^2", "kg m²", "kgm2"),
    same!(Turns, "turns", "turn"),
    same!(Speed, "rpm", "rev/min", "1/min"),
    row!(RoadSpeed, Velocity, kilometer_per_hour, meter_per_second, "km/h", "kph", "kmh"),
    row!(RoadSpeed, Velocity, mile_per_hour, meter_per_second, "mph", "mi/h"),
    row!(RoadSpeed, Velocity, meter_per_second, meter_per_second, "m/s"),
    row!(Time, Time, second, second, "s", "sec", "second", "seconds"),
    row!(Time, Time, minute, second, "min", "minute", "minutes"),
    row!(Share, Ratio, percent, ratio, "%", "percent"),
    same!(Share, ""),
    same!(Number, ""),
    same!(Number, ":1", ": 1", "to 1"),
];

/// The unit spelled `text`, in the dimension wanted if it is there, else in any.
#[must_use]
pub fn find(text: &str, wanted: Dimension) -> Option<&'static Unit> {
    let spelled = |u: &&Unit| u.spellings.contains(&text);
    wanted.units().find(spelled).or_else(|| UNITS.iter().find(spelled))
}
