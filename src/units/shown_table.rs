//! The units that quantities may be shown in, and the way to them from SI.

use uom::si::area::{square_centimeter, square_inch, square_meter, square_millimeter};
use uom::si::f64::{Area, Length, Mass, MassRate, Power, Pressure, ThermodynamicTemperature, Torque, Velocity, Volume};
use uom::si::length::{centimeter, foot, inch, kilometer, meter, mile, millimeter};
use uom::si::mass::{gram, kilogram, pound};
use uom::si::mass_rate::{gram_per_second, kilogram_per_hour, kilogram_per_second, pound_per_hour};
use uom::si::power::{horsepower, horsepower_metric, kilowatt, watt};
use uom::si::pressure::{
    bar, hectopascal, inch_of_mercury, inch_of_water, kilopascal, millimeter_of_mercury, pascal, psi,
};
use uom::si::thermodynamic_temperature::{degree_celsius, degree_fahrenheit, kelvin};
use uom::si::torque::{newton_meter, pound_force_foot};
use uom::si::velocity::{foot_per_second, kilometer_per_hour, meter_per_second, mile_per_hour};
use uom::si::volume::{cubic_centimeter, cubic_meter, gallon, liter};

use super::shown::Quantity;

/// One unit that a quantity may be shown in.
pub struct Shown {
    /// What it measures.
    pub quantity: Quantity,
    /// Its name.
    pub name: &'static str,
    /// From SI to it.
    pub from_si: fn(f64) -> f64,
}

/// Every unit: of each quantity the metric one first, the US one second.
pub static SHOWN_UNITS: [&[Shown]; 2] = [PRESSURES, OTHERS];

/// Seconds in an hour and in a minute.
const HOUR: f64 = 3600.0;
const MINUTE: f64 = 60.0;

/// A row whose factor `uom` knows.
macro_rules! row {
    ($quantity:ident, $name:literal, $kind:ident, $unit:ident, $base:ident) => {
        Shown { quantity: Quantity::$quantity, name: $name, from_si: |v| $kind::new::<$base>(v).get::<$unit>() }
    };
}

/// A row of pressure.
macro_rules! pressures {
    ($($quantity:ident: $($name:literal $unit:ident),+;)+) => { [$($(row!($quantity, $name, Pressure, $unit, pascal),)+)+] };
}

/// Units of pressures: the metric one first, the US one second.
static PRESSURES: &[Shown] = &pressures! {
    Pressure: "kPa" kilopascal, "psi" psi, "hPa" hectopascal, "bar" bar, "inHg" inch_of_mercury, "mmHg" millimeter_of_mercury;
    MeanPressure: "bar" bar, "psi" psi, "kPa" kilopascal;
    Suction: "kPa" kilopascal, "inH2O" inch_of_water, "hPa" hectopascal, "Pa" pascal, "psi" psi, "inHg" inch_of_mercury,
        "mmHg" millimeter_of_mercury;
};

/// Units of all else: of each quantity the metric one first, the US one second.
static OTHERS: &[Shown] = &[
    row!(Speed, "km/h", Velocity, kilometer_per_hour, meter_per_second),
    row!(Speed, "mph", Velocity, mile_per_hour, meter_per_second),
    row!(Speed, "m/s", Velocity, meter_per_second, meter_per_second),
    row!(AirSpeed, "m/s", Velocity, meter_per_second, meter_per_second),
    row!(AirSpeed, "ft/s", Velocity, foot_per_second, meter_per_second),
    row!(Power, "kW", Power, kilowatt, watt),
    row!(Power, "hp", Power, horsepower, watt),
    row!(Power, "PS", Power, horsepower_metric, watt),
    row!(Torque, "N m", Torque, newton_meter, newton_meter),
    row!(Torque, "lbf ft", Torque, pound_force_foot, newton_meter),
    row!(Length, "mm", Length, millimeter, meter),
    row!(Length, "in", Length, inch, meter),
    row!(Length, "cm", Length, centimeter, meter),
    row!(Area, "mm2", Area, square_millimeter, square_meter),
    row!(Area, "in2", Area, square_inch, square_meter),
    row!(Area, "cm2", Area, square_centimeter, square_meter),
    row!(Altitude, "m", Length, meter, meter),
    row!(Altitude, "ft", Length, foot, meter),
    row!(Temperature, "degC", ThermodynamicTemperature, degree_celsius, kelvin),
    row!(Temperature, "degF", ThermodynamicTemperature, degree_fahrenheit, kelvin),
    row!(Temperature, "K", ThermodynamicTemperature, kelvin, kelvin),
    row!(Flow, "g/s", MassRate, gram_per_second, kilogram_per_second),
    row!(Flow, "lb/h", MassRate, pound_per_hour, kilogram_per_second),
    row!(Flow, "kg/h", MassRate, kilogram_per_hour, kilogram_per_second),
    Shown {
        quantity: Quantity::LiquidFlow,
        name: "L/h",
        from_si: |v| HOUR * Volume::new::<cubic_meter>(v).get::<liter>(),
    },
    Shown {
        quantity: Quantity::LiquidFlow,
        name: "gal/h",
        from_si: |v| HOUR * Volume::new::<cubic_meter>(v).get::<gallon>(),
    },
    Shown {
        quantity: Quantity::LiquidFlow,
        name: "cc/min",
        from_si: |v| MINUTE * Volume::new::<cubic_meter>(v).get::<cubic_centimeter>(),
    },
    Shown {
        quantity: Quantity::SpecificConsumption,
        name: "g/(kW h)",
        from_si: |v| HOUR * Mass::new::<kilogram>(v).get::<gram>() * Power::new::<kilowatt>(1.0).get::<watt>(),
    },
    Shown {
        quantity: Quantity::SpecificConsumption,
        name: "lb/(hp h)",
        from_si: |v| HOUR * Mass::new::<kilogram>(v).get::<pound>() * Power::new::<horsepower>(1.0).get::<watt>(),
    },
    Shown {
        quantity: Quantity::Consumption,
        name: "L/100km",
        from_si: |v| {
            100.0 * Length::new::<kilometer>(1.0).get::<meter>() * Volume::new::<cubic_meter>(v).get::<liter>()
        },
    },
    Shown {
        quantity: Quantity::Consumption,
        name: "mpg",
        from_si: |v| Length::new::<meter>(1.0 / Volume::new::<cubic_meter>(v).get::<gallon>()).get::<mile>(),
    },
    Shown {
        quantity: Quantity::Consumption,
        name: "km/L",
        from_si: |v| Length::new::<meter>(1.0 / Volume::new::<cubic_meter>(v).get::<liter>()).get::<kilometer>(),
    },
];
