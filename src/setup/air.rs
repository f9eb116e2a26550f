//! The free air of the file: height or station pressure, temperature, humidity.

use super::ledger::Ledger;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::media::atmosphere::{FreeAir, standard_pressure, standard_temperature};
use crate::units::Dimension::{Length, Pressure, Share, Temperature};

const ALTITUDE: Spec = Spec::new(Length, "m", (-500.0, 9000.0), (-100.0, 4500.0));
const PRESSURE: Spec = Spec::new(Pressure, "hPa", (300.0, 1100.0), (560.0, 1060.0));
const TEMPERATURE: Spec = Spec::new(Temperature, "degC", (-50.0, 60.0), (-25.0, 45.0));
const HUMIDITY: Spec = Spec::new(Share, "%", (0.0, 100.0), (0.0, 100.0));

const ISO: &str = "ISO 2533";

/// Reads the table `air`.
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger) -> FreeAir {
    let r = &mut reader;
    let altitude = r.optional(ledger, "altitude", &ALTITUDE);
    let at = altitude.as_ref().map_or(0.0, |a| a.kept);
    let standard = standard_pressure(at);
    let rule =
        if altitude.is_some() { "standard pressure at the height given" } else { "standard pressure at sea level" };
    // weather moves the station pressure by about 3 %; without a height it may be anything up to 500 m
    let low = if altitude.is_some() { 0.97 } else { 0.93 };
    let pressure = Estimate::times(standard, 1.0, (low, 1.03), rule, ISO);
    let pressure = r.estimated(ledger, "pressure", &PRESSURE, pressure);
    if let (Some(altitude), Some(_)) = (&altitude, &pressure.place)
        && (pressure.kept / standard - 1.0).abs() <= 0.05
    {
        ledger.note(
            Problem::warning("pressure and height are both given; the pressure is used")
                .at(pressure.place.clone(), pressure.label())
                .against(altitude.place.clone(), format!("height {}", altitude.label()))
                .help("leave one out"),
        );
    } else if let (Some(altitude), Some(_)) = (&altitude, &pressure.place) {
        ledger.note(
            Problem::warning("the pressure does not belong to the height")
                .at(pressure.place.clone(), pressure.label())
                .against(altitude.place.clone(), format!("standard there: {}", PRESSURE.show(standard)))
                .help("`pressure` is the station's own, not the one a weather report reduces to sea level; it is the one used"),
        );
    }
    let rule = "standard temperature at that height";
    let temperature = Estimate::plus(standard_temperature(at), 0.0, (-20.0, 20.0), rule, ISO);
    let temperature = r.estimated(ledger, "temperature", &TEMPERATURE, temperature);
    let humidity = Estimate::fixed(&HUMIDITY, 50.0, (10.0, 100.0), "half saturated", COMMON);
    let humidity = r.estimated(ledger, "humidity", &HUMIDITY, humidity);
    reader.close(ledger);
    FreeAir { pressure: pressure.kept, temperature: temperature.kept, relative_humidity: humidity.kept }
}
