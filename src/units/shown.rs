//! The units in which text and pictures show a quantity: metric, US, or one chosen for a single quantity.
//!
//! Values come in SI. Files of numbers (CSV, JSON) do not ask here; they hold SI or the unit in a column's name.

use super::number::rounded;
use super::shown_table::{SHOWN_UNITS, Shown};

/// What a number shown measures; its SI unit in brackets.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    /// Speed on the road [m/s].
    Speed,
    /// Speed of a gas [m/s].
    AirSpeed,
    /// Power [W].
    Power,
    /// Torque [N m].
    Torque,
    /// Length of a part [m].
    Length,
    /// Area of a part [m2].
    Area,
    /// Height above the sea [m].
    Altitude,
    /// Temperature [K].
    Temperature,
    /// Pressure of the air or a gas [Pa].
    Pressure,
    /// Mean effective pressure [Pa].
    MeanPressure,
    /// Depression at the nozzle [Pa].
    Suction,
    /// Mass flow of air or fuel [kg/s].
    Flow,
    /// Volume flow of liquid fuel [m3/s].
    LiquidFlow,
    /// Fuel over work [kg/J].
    SpecificConsumption,
    /// Fuel over distance [m3/m].
    Consumption,
}

/// A system of units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum System {
    /// Kilowatts, newton metres, degrees Celsius.
    #[default]
    Metric,
    /// Horsepower, pound-feet, degrees Fahrenheit.
    Us,
}

impl Quantity {
    /// Every quantity.
    pub const ALL: [Self; 15] = [
        Self::Speed,
        Self::AirSpeed,
        Self::Power,
        Self::Torque,
        Self::Length,
        Self::Area,
        Self::Altitude,
        Self::Temperature,
        Self::Pressure,
        Self::MeanPressure,
        Self::Suction,
        Self::Flow,
        Self::LiquidFlow,
        Self::SpecificConsumption,
        Self::Consumption,
    ];

    /// Its word on the command line.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Speed => "speed",
            Self::AirSpeed => "air_speed",
            Self::Power => "power",
            Self::Torque => "torque",
            Self::Length => "length",
            Self::Area => "area",
            Self::Altitude => "altitude",
            Self::Temperature => "temperature",
            Self::Pressure => "pressure",
            Self::MeanPressure => "mean_pressure",
            Self::Suction => "suction",
            Self::Flow => "flow",
            Self::LiquidFlow => "liquid_flow",
            Self::SpecificConsumption => "specific_consumption",
            Self::Consumption => "consumption",
        }
    }

    /// Its units, the metric one first, the US one second.
    fn units(self) -> impl Iterator<Item = &'static Shown> {
        SHOWN_UNITS.iter().flat_map(|list| list.iter()).filter(move |u| u.quantity == self)
    }

    /// Names of its units: "kW, hp or PS".
    #[must_use]
    pub fn unit_names(self) -> String {
        let names: Vec<&str> = self.units().map(|u| u.name).collect();
        match names.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{} or {last}", rest.join(", ")),
            _ => names.concat(),
        }
    }
}

/// The unit of each quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Units {
    /// Place of the unit among those of each quantity, in the order of [`Quantity::ALL`].
    places: [u8; Quantity::ALL.len()],
}

impl Units {
    /// Those of a system.
    #[must_use]
    pub fn of(system: System) -> Self {
        let place = u8::from(system == System::Us);
        Self { places: [place; Quantity::ALL.len()] }
    }

    /// The same with the unit called `name` for one quantity.
    ///
    /// # Errors
    /// No such unit of it; the sentence names those there are.
    pub fn with(mut self, quantity: Quantity, name: &str) -> Result<Self, String> {
        let plain = |text: &str| text.replace([' ', '(', ')'], "");
        let place = quantity.units().position(|u| plain(u.name) == plain(name));
        let place = place
            .and_then(|p| u8::try_from(p).ok())
            .ok_or_else(|| format!("`{name}` is no unit of {}; write {}", quantity.word(), quantity.unit_names()))?;
        self.places[quantity as usize] = place;
        Ok(self)
    }

    fn unit(&self, quantity: Quantity) -> Option<&'static Shown> {
        quantity.units().nth(usize::from(self.places[quantity as usize]))
    }

    /// Name of the unit of a quantity.
    #[must_use]
    pub fn name(&self, quantity: Quantity) -> &'static str {
        self.unit(quantity).map_or("", |u| u.name)
    }

    /// A value in SI, in the unit of its quantity.
    #[must_use]
    pub fn value(&self, quantity: Quantity, si: f64) -> f64 {
        self.unit(quantity).map_or(si, |u| (u.from_si)(si))
    }

    /// Decimals that resolve about as much as so many of the metric unit.
    #[must_use]
    pub fn decimals(&self, quantity: Quantity, of_metric: usize) -> usize {
        let slope = |u: &Shown| ((u.from_si)(2.0) - (u.from_si)(1.0)).abs();
        let Some((own, metric)) = self.unit(quantity).zip(quantity.units().next()) else { return of_metric };
        let more = libm::ceil(-libm::log10(slope(own) / slope(metric)) - 0.3);
        (of_metric as f64 + more).clamp(0.0, 9.0) as usize
    }

    /// A value in SI as a number of its unit, with so many decimals of the metric unit; `-` if it does not exist.
    #[must_use]
    pub fn number(&self, quantity: Quantity, si: Option<f64>, decimals: usize) -> String {
        rounded(si.map(|v| self.value(quantity, v)), self.decimals(quantity, decimals))
    }

    /// The same with the unit behind it.
    #[must_use]
    pub fn text(&self, quantity: Quantity, si: Option<f64>, decimals: usize) -> String {
        format!("{} {}", self.number(quantity, si, decimals), self.name(quantity))
    }
}

/// A quantity and a unit as a person writes them: `power=hp`.
///
/// # Errors
/// No such quantity or unit; the sentence says which there are.
pub fn choice(text: &str) -> Result<(Quantity, String), String> {
    let words = || Quantity::ALL.map(Quantity::word).join(", ");
    let (word, unit) = text.split_once('=').ok_or_else(|| "write a quantity and its unit, as `power=hp`".to_owned())?;
    let (word, unit) = (word.trim(), unit.trim());
    let quantity = Quantity::ALL.into_iter().find(|q| q.word() == word);
    let quantity = quantity.ok_or_else(|| format!("`{word}` is no quantity shown here; there are {}", words()))?;
    Units::default().with(quantity, unit).map(|_| (quantity, unit.to_owned()))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    // NIST Special Publication 811 (2008), appendix B.8: 1 hp (550 ft lbf/s) = 745.6999 W, 1 lbf ft = 1.355 818 N m,
    // 1 psi = 6894.757 Pa, 1 inH2O = 249.0889 Pa (conventional), 1 mi/h = 0.447 04 m/s, 1 ft = 0.3048 m.
    #[test]
    fn us_units_follow_the_published_factors() {
        let us = Units::of(System::Us);
        for (quantity, si, wanted, within) in [
            (Quantity::Power, 745.6999, 1.0, 1e-6),
            (Quantity::Torque, 1.355_818, 1.0, 1e-6),
            (Quantity::Pressure, 6894.757, 1.0, 1e-6),
            (Quantity::Suction, 249.0889, 1.0, 1e-4),
            (Quantity::Speed, 0.447_04, 1.0, 1e-12),
            (Quantity::Altitude, 304.8, 1000.0, 1e-9),
            (Quantity::Length, 0.0254, 1.0, 1e-12),
            (Quantity::Temperature, 273.15, 32.0, 1e-9),
            (Quantity::Flow, 0.453_592_37 / 3600.0, 1.0, 1e-6),
            // 1 lb/(hp h) = 608.277 g/(kW h), common tables
            (Quantity::SpecificConsumption, 608.277e-3 / 3.6e6, 1.0, 1e-5),
            // 235.215 / mpg = L/100 km, common tables; 5 L/100 km are 5e-8 m3/m
            (Quantity::Consumption, 5e-8, 47.043, 1e-3),
        ] {
            let got = us.value(quantity, si);
            assert!((got - wanted).abs() <= within * wanted.max(1.0), "{quantity:?}: {got}");
        }
        let metric = Units::default();
        assert!((metric.value(Quantity::Consumption, 5e-8) - 5.0).abs() < 1e-9);
        assert!((metric.value(Quantity::SpecificConsumption, 300e-3 / 3.6e6) - 300.0).abs() < 1e-9);
    }

    #[test]
    fn every_quantity_has_both_systems_and_its_place_in_the_list() {
        for (place, quantity) in Quantity::ALL.into_iter().enumerate() {
            assert_eq!(quantity as usize, place);
            assert!(quantity.units().count() >= 2, "{quantity:?}");
            assert_ne!(Units::default().name(quantity), Units::of(System::Us).name(quantity));
        }
    }

    #[test]
    fn a_choice_names_what_there_is_when_it_is_not_understood() {
        assert_eq!(choice("power=hp"), Ok((Quantity::Power, "hp".to_owned())));
        assert_eq!(choice("torque = lbfft").unwrap().0, Quantity::Torque);
        assert!(choice("power").unwrap_err().contains("power=hp"));
        assert!(choice("might=hp").unwrap_err().contains("air_speed, power, torque"));
        assert!(choice("power=psi").unwrap_err().contains("kW, hp or PS"));
    }

    #[test]
    fn decimals_keep_the_resolution() {
        let us = Units::of(System::Us);
        assert_eq!(us.text(Quantity::Length, Some(0.038), 1), "1.496 in");
        assert_eq!(us.text(Quantity::Power, Some(17_600.0), 1), "23.6 hp");
        assert_eq!(Units::default().text(Quantity::Power, Some(17_600.0), 1), "17.6 kW");
        assert_eq!(us.text(Quantity::Temperature, None, 0), "- degF");
    }
}
