//! The fuel of the file.

use toml::de::DeValue;

use super::ledger::Ledger;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::diagnostics::clean::clean_line;
use crate::media::atmosphere::FreeAir;
use crate::media::fuel::Fuel;
use crate::units::Dimension::{Density, Share, Temperature};

const DENSITY: Spec = Spec::new(Density, "kg/m3", (653.0, 800.0), (715.0, 780.0));
const TEMPERATURE: Spec = Spec::new(Temperature, "degC", (-40.0, 70.0), (-20.0, 50.0));
const EVAPORATED: Spec = Spec::new(Share, "%", (0.0, 100.0), (5.0, 80.0));

/// Reads the table `fuel`; gives the fuel and the share that evaporates at once.
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger, air: &FreeAir) -> (Fuel, f64) {
    let r = &mut reader;
    read_kind(r, ledger);
    let rule = "745 kg/m3 at 15 degC, the middle of pump petrol";
    let density = Estimate::fixed(&DENSITY, 745.0, (720.0, 775.0), rule, "EN 228 range (from memory)");
    let density = r.estimated(ledger, "density", &DENSITY, density);
    let rule = "5 K above the free air, warmed by the engine";
    let temperature = Estimate::plus(air.temperature, 5.0, (0.0, 15.0), rule, COMMON);
    let temperature = r.estimated(ledger, "temperature", &TEMPERATURE, temperature);
    let rule = "30 %: most of the fuel enters the cylinder as drops and film";
    let evaporated = Estimate::fixed(&EVAPORATED, 30.0, (10.0, 60.0), rule, COMMON);
    let evaporated = r.estimated(ledger, "evaporated", &EVAPORATED, evaporated);
    reader.close(ledger);
    (Fuel::petrol(density.kept, temperature.kept), evaporated.kept)
}

fn read_kind(reader: &mut Reader<'_>, ledger: &mut Ledger) {
    let Some(raw) = reader.raw(ledger, "kind") else { return };
    let path = reader.path("kind");
    match raw.value {
        DeValue::String(word) if ["petrol", "gasoline"].contains(&word.as_ref()) => {
            ledger.given(&path, "petrol".into(), None, "", &raw.place);
        }
        DeValue::String(word) => ledger.note(
            Problem::error(format!("`{path}` \"{}\" cannot be computed yet", clean_line(word, 30)))
                .at(Some(raw.place), "only petrol so far")
                .allowed("\"petrol\"")
                .help("blends and alcohols need jets of another size; this program does not know them yet"),
        ),
        _ => ledger.note(
            Problem::error(format!("`{path}` has to be a word"))
                .at(Some(raw.place), "not a word")
                .allowed("\"petrol\""),
        ),
    }
}
