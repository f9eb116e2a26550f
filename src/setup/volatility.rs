//! How volatile a petrol is: the class of EN 228, or the season that it is sold in.
//!
//! A class states the vapour pressure at 37.8 degrees Celsius. The makers reach it with butane, which evaporates at once: the
//! share that evaporates moves by a percent for each 4.5 kPa (0.65 psi for a percent of butane by volume: common practice), from 30 % at
//! 70 kPa, the middle of all classes. What evaporates up to 70 degrees Celsius hardly differs between them (20 to 48 and 22 to 50 %).

use toml::de::DeValue;

use super::ledger::Ledger;
use super::reader::{Reader, kind};
use crate::diagnostics::Problem;
use crate::diagnostics::clean::clean_line;

/// Where the rule comes from.
pub const SOURCE: &str = "EN 228 classes (from memory); butane: common practice";
/// Word and range of the vapour pressure of its class [kPa]. Source: EN 228 (from memory).
const CLASSES: [(&str, f64, f64); 6] =
    [("A", 45.0, 60.0), ("B", 45.0, 70.0), ("C", 50.0, 80.0), ("D", 60.0, 90.0), ("E", 65.0, 95.0), ("F", 70.0, 100.0)];
/// Seasons of a temperate country and their class. Common practice.
const SEASONS: [(&str, &str); 2] = [("summer", "A"), ("winter", "D")];
const ALLOWED: &str = "\"summer\", \"winter\", or the class of EN 228, \"A\" to \"F\"";
/// Vapour pressure at which the estimate without a class stands [kPa].
const MIDDLE: f64 = 70.0;
/// Vapour pressure that a percent of butane adds [kPa].
const PER_PERCENT: f64 = 4.5;
/// Least share of petrol by volume in a fuel that the classes hold for [-]. EN 228 covers up to 10 % of ethanol; a little more is let pass.
const LEAST_PETROL: f64 = 0.75;

/// What a class does to the estimate.
#[derive(Debug, Clone, PartialEq)]
pub struct Class {
    /// Percent that evaporates at once beside the 30 of a middling petrol.
    pub more_evaporates: f64,
    /// The rule in words.
    pub rule: String,
}

/// Reads `volatility` of the fuel `name`, of which `petrol` [-] by volume is petrol.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, name: &str, petrol: f64) -> Option<Class> {
    let raw = reader.raw(ledger, "volatility")?;
    let path = reader.path("volatility");
    let place = Some(raw.place.clone());
    let DeValue::String(word) = raw.value else {
        ledger.note(Problem::error(format!("`{path}` has to be a word")).at(place, kind(raw.value)).allowed(ALLOWED));
        return None;
    };
    let season = SEASONS.iter().find(|s| s.0.eq_ignore_ascii_case(word));
    let letter = season.map_or(word.as_ref(), |s| s.1);
    let Some((letter, low, high)) = CLASSES.iter().find(|c| c.0.eq_ignore_ascii_case(letter)) else {
        ledger.note(
            Problem::error(format!("`{path}` does not know the word \"{}\"", clean_line(word, 30)))
                .at(place, "not one of the words")
                .allowed(ALLOWED)
                .help("leave it out if you do not know; it moves only the estimate of `evaporated`"),
        );
        return None;
    };
    if petrol < LEAST_PETROL {
        ledger.note(
            Problem::error(format!("`{path}` is a matter of petrol, and this is {name}"))
                .at(place, "no petrol class holds for it")
                .help("leave it out, and give `evaporated` if you know better than its estimate"),
        );
        return None;
    }
    let shown = season.map_or_else(|| format!("class {letter}"), |s| format!("{}, class {letter}", s.0));
    ledger.given(&path, shown, None, "", &raw.place);
    let more_evaporates = (0.5 * (low + high) - MIDDLE) / PER_PERCENT;
    let rule = format!(
        "30 % {} {:.1} for the vapour pressure of class {letter}, {low} to {high} kPa",
        if more_evaporates < 0.0 { "less" } else { "and" },
        more_evaporates.abs()
    );
    Some(Class { more_evaporates, rule })
}
