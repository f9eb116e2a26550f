//! Another day or another fuel: a few values said in place of the file's, read as if they stood in it.

use std::fmt::Write;

use super::assemble::assemble;
use super::file::TextFile;
use super::load::Texts;
use super::setup::Setup;
use crate::diagnostics::{Report, Warned};

/// How the place of such a value is called in messages and origins.
const SOURCE: &str = "command line";

/// Keys of `fuel` that belong to the file's fuel and not to another one.
const OF_THE_FUEL: [&str; 6] = ["kind", "density", "volatility", "evaporated", "ethanol", "methanol"];

/// Values as a person writes them, each in place of the file's. A height replaces the station pressure too, a fuel all
/// that the file says about its own but the temperature; all else stays, and estimates follow their rules.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Instead {
    /// `air.altitude`.
    pub altitude: Option<String>,
    /// `air.temperature`.
    pub temperature: Option<String>,
    /// `air.humidity`.
    pub humidity: Option<String>,
    /// `fuel.kind`.
    pub fuel: Option<String>,
    /// Keys of `snap` with their values; none where nobody asks for a snap.
    pub snap: Option<Vec<(&'static str, String)>>,
}

impl Instead {
    /// Whether anything is replaced.
    #[must_use]
    pub fn is_some(&self) -> bool {
        let air = [&self.altitude, &self.temperature, &self.humidity, &self.fuel];
        air.into_iter().any(Option::is_some) || self.snap.is_some()
    }

    /// The values as the text of a set-up file.
    fn text(&self) -> String {
        let mut text = String::new();
        let air = [("altitude", &self.altitude), ("temperature", &self.temperature), ("humidity", &self.humidity)];
        let mut table = |name: &str, values: &[(&str, &Option<String>)]| {
            if values.iter().any(|v| v.1.is_some()) {
                let _ = writeln!(text, "[{name}]");
            }
            for (key, value) in values {
                if let Some(value) = value {
                    let _ = writeln!(text, "{key} = {}", toml::Value::String(value.clone()));
                }
            }
        };
        table("air", &air);
        table("fuel", &[("kind", &self.fuel)]);
        if let Some(snap) = &self.snap {
            text += "[snap]\n";
            for (key, value) in snap {
                let _ = writeln!(text, "{key} = {}", toml::Value::String(value.clone()));
            }
        }
        text
    }
}

/// Keys of `table` that the file gives and that do not count beside what stands in `said`.
pub(super) fn hidden(table: &str, said: &toml::de::DeTable<'_>) -> &'static [&'static str] {
    match table {
        "air" if said.contains_key("altitude") => &["altitude", "pressure"],
        "fuel" if said.contains_key("kind") => &OF_THE_FUEL,
        _ => &[],
    }
}

impl Setup {
    /// The same set-up with `instead` in place of the file's values; their origin says so. Jets and needles stay.
    ///
    /// # Errors
    /// A value that cannot be read or is out of range, or a set-up that does not go with it.
    pub fn instead(&self, instead: &Instead) -> Result<Warned<Self>, Report> {
        let said = if instead.is_some() { Some(TextFile::new(SOURCE, &instead.text())?) } else { None };
        let mut there = assemble(&Texts { instead: said, ..self.texts.clone() }, None)?;
        // a flow number is read in petrol as warm as the bowl's, but the jet is the same one
        let (new, own) = (&mut there.value.machine.carburettor, &self.machine.carburettor);
        new.main = own.main.clone();
        new.pilot = own.pilot.clone();
        new.starter.clone_from(&own.starter);
        there.value.on_hand.clone_from(&self.on_hand);
        Ok(there)
    }
}
