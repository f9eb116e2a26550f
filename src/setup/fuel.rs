//! The fuel of the file.

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::reader::{Raw, Reader, kind, nearest};
use super::spec::{COMMON, Estimate, Spec};
use super::volatility;
use crate::diagnostics::Problem;
use crate::diagnostics::clean::clean_line;
use crate::media::alcohol::{ETHANOL, METHANOL};
use crate::media::atmosphere::FreeAir;
use crate::media::blend::Blend;
use crate::media::fuel::Fuel;
use crate::units::Dimension::{Density, Share, Temperature};

/// Density of petrol at 15 degrees Celsius that is accepted, and that is usual [kg/m3].
const PETROL_DENSITY: [(f64, f64); 2] = [(653.0, 800.0), (715.0, 780.0)];
/// Middle of pump petrol and its range [kg/m3 at 15 degrees Celsius].
const PUMP_PETROL: (f64, f64, f64) = (745.0, 720.0, 775.0);
/// Densities that are accepted for an alcohol over that of the pure one, and usual ones: a few percent of water raise it [-].
const ALCOHOL_DENSITY: [(f64, f64); 2] = [(0.985, 1.04), (0.995, 1.025)];
const TEMPERATURE: Spec = Spec::new(Temperature, "degC", (-40.0, 70.0), (-20.0, 50.0));
const EVAPORATED: Spec = Spec::new(Share, "%", (0.0, 100.0), (5.0, 80.0));
const BY_VOLUME: Spec = Spec::new(Share, "%", (0.0, 100.0), (0.0, 100.0));

/// Share of petrol that evaporates at once and its range [%].
const PETROL_EVAPORATES: (f64, f64, f64) = (30.0, 10.0, 60.0);

/// A kind of fuel that the file can name: its name, ethanol and methanol by volume [-]; none for shares that the file states.
type Kind = (&'static str, Option<(f64, f64)>);

const KINDS: [Kind; 8] = [
    ("petrol", Some((0.0, 0.0))),
    ("E5", Some((0.05, 0.0))),
    ("E10", Some((0.10, 0.0))),
    ("E20", Some((0.20, 0.0))),
    ("E85", Some((0.85, 0.0))),
    ("ethanol", Some((1.0, 0.0))),
    ("methanol", Some((0.0, 1.0))),
    ("blend", None),
];
const SHARES: [&str; 2] = ["ethanol", "methanol"];
const BLEND: &str = "write kind = \"blend\" and its shares by volume, such as ethanol = \"7 %\"; the rest is petrol";

/// Reads the table `fuel`; gives the fuel and the share that evaporates at once.
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger, air: &FreeAir) -> (Fuel, f64) {
    let r = &mut reader;
    let (name, shares) = read_kind(r, ledger);
    let (petrol_density, denser) = read_density(r, ledger, name, shares);
    let rule = "5 K above the free air, warmed by the engine";
    let temperature = Estimate::plus(air.temperature, 5.0, (0.0, 15.0), rule, COMMON);
    let temperature = r.estimated(ledger, "temperature", &TEMPERATURE, temperature).kept;
    let class = volatility::read(r, ledger, name, 1.0 - shares.0 - shares.1);
    let mut fuel = Fuel::blended(name, petrol_density, shares, temperature);
    fuel.density *= denser;
    let estimate = evaporated(&fuel.blend, air, class.as_ref());
    let evaporated = r.estimated(ledger, "evaporated", &EVAPORATED, estimate);
    reader.close(ledger);
    (fuel, evaporated.kept)
}

/// The kind's name, and ethanol and methanol by volume [-]; NaN after a problem with one of them.
fn read_kind(reader: &mut Reader<'_>, ledger: &mut Ledger) -> (&'static str, (f64, f64)) {
    let stated = SHARES.into_iter().find(|k| reader.has(k));
    let Some(raw) = reader.raw(ledger, "kind") else {
        return if stated.is_some() { ("blend", read_shares(reader, ledger)) } else { ("petrol", (0.0, 0.0)) };
    };
    let path = reader.path("kind");
    let Some((name, shares)) = known_kind(ledger, &path, &raw) else {
        // What belongs to it cannot be judged.
        for key in SHARES {
            reader.raw(ledger, key);
        }
        return ("petrol", (f64::NAN, f64::NAN));
    };
    ledger.given(&path, name.into(), None, "", &raw.place);
    match (shares, stated) {
        (None, _) => (name, read_shares(reader, ledger)),
        (Some(shares), None) => (name, shares),
        (Some(_), Some(key)) => {
            for key in SHARES {
                reader.raw(ledger, key);
            }
            ledger.note(
                Problem::error(format!("`{}` belongs to a blend, and this is {name}", reader.path(key)))
                    .at(reader.key_place(key), "not with this kind")
                    .against(Some(raw.place), format!("kind \"{name}\""))
                    .help(BLEND),
            );
            (name, (f64::NAN, f64::NAN))
        }
    }
}

fn known_kind(ledger: &mut Ledger, path: &str, raw: &Raw<'_>) -> Option<Kind> {
    let names: Vec<String> = KINDS.iter().map(|k| format!("\"{}\"", k.0)).collect();
    let allowed = names.join(", ");
    let place = Some(raw.place.clone());
    let DeValue::String(word) = raw.value else {
        ledger.note(Problem::error(format!("`{path}` has to be a word")).at(place, kind(raw.value)).allowed(allowed));
        return None;
    };
    let wanted = if word.eq_ignore_ascii_case("gasoline") { "petrol" } else { word.as_ref() };
    let found = KINDS.into_iter().find(|k| k.0.eq_ignore_ascii_case(wanted));
    if found.is_none() {
        let near = nearest(word, KINDS.iter().map(|k| k.0)).filter(|_| word.chars().count() > 3);
        let help = near.map_or_else(|| BLEND.to_string(), |n| format!("did you mean \"{n}\"?"));
        ledger.note(
            Problem::error(format!("`{path}` does not know the fuel \"{}\"", clean_line(word, 30)))
                .at(place, "neither its air-fuel ratio nor its elements are known")
                .allowed(allowed)
                .help(help),
        );
    }
    found
}

/// Ethanol and methanol of a blend by volume [-].
fn read_shares(reader: &mut Reader<'_>, ledger: &mut Ledger) -> (f64, f64) {
    let [ethanol, methanol] = SHARES.map(|key| reader.optional(ledger, key, &BY_VOLUME));
    if ethanol.is_none() && methanol.is_none() {
        ledger.note(
            Problem::error(format!("`{}` does not say what is in the blend", reader.prefix))
                .at(reader.key_place("kind"), "neither `ethanol` nor `methanol` here")
                .help(BLEND),
        );
        return (f64::NAN, f64::NAN);
    }
    let share = |figure: &Option<Figure>| figure.as_ref().map_or(0.0, |f| f.kept);
    let (e, m) = (share(&ethanol), share(&methanol));
    if e + m > 1.0 + 1e-9 {
        let (first, second) = (ethanol.as_ref(), methanol.as_ref());
        ledger.note(
            Problem::error("the shares of the blend are more than the whole")
                .at(
                    first.and_then(|f| f.place.clone()),
                    format!("ethanol {}", first.map_or_else(String::new, Figure::shown)),
                )
                .against(
                    second.and_then(|f| f.place.clone()),
                    format!("methanol {}", second.map_or_else(String::new, Figure::shown)),
                )
                .allowed("together at most 100 %")
                .help("the shares are by volume; what is left is petrol"),
        );
        return (f64::NAN, f64::NAN);
    }
    (e, m)
}

/// Density of the petrol in the fuel at 15 degrees Celsius [kg/m3], from that of the fuel, given or by rule, and how much denser the fuel is
/// than its parts [-]. Where petrol is the larger part its density takes up the difference, else water in the alcohol does.
fn read_density(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    name: &str,
    (ethanol, methanol): (f64, f64),
) -> (f64, f64) {
    if !(ethanol + methanol).is_finite() {
        reader.raw(ledger, "density");
        return (f64::NAN, 1.0);
    }
    let petrol = 1.0 - ethanol - methanol;
    let alcohols = ethanol * ETHANOL.density_15 + methanol * METHANOL.density_15;
    // Plain petrol keeps its own limits to the last digit.
    let plain = ethanol + methanol <= 0.0;
    let mostly_petrol = petrol >= 0.5;
    let mixed = |p: f64, over: f64| {
        if plain { p } else { petrol * p + alcohols * if mostly_petrol { 1.0 } else { over } }
    };
    let limits = |i: usize| {
        let (low, high) =
            (mixed(PETROL_DENSITY[i].0, ALCOHOL_DENSITY[i].0), mixed(PETROL_DENSITY[i].1, ALCOHOL_DENSITY[i].1));
        (low.floor(), high.ceil())
    };
    let spec = Spec::new(Density, "kg/m3", limits(0), limits(1));
    let (value, low, high) = PUMP_PETROL;
    let estimate = |rule: &str, source| {
        Estimate::fixed(&spec, mixed(value, 1.0), (mixed(low, 1.0), mixed(high, ALCOHOL_DENSITY[1].1)), rule, source)
    };
    let estimate = if plain {
        estimate("745 kg/m3 at 15 degC, the middle of pump petrol", "EN 228 range (from memory)")
    } else if petrol <= 1e-9 {
        estimate(&format!("pure {name} at 15 degC; water makes it denser"), "handbook value (from memory)")
    } else {
        estimate("at 15 degC, volumes add up, petrol of 745 kg/m3", "EN 228 range (from memory)")
    };
    let density = reader.estimated(ledger, "density", &spec, estimate).kept;
    match (plain, mostly_petrol) {
        (true, _) => (density, 1.0),
        (false, true) => ((density - alcohols) / petrol, 1.0),
        (false, false) => (value, density / mixed(value, 1.0)),
    }
}

/// Share that evaporates at once [-]: of petrol by its class, of an alcohol no more than saturates the air.
fn evaporated(blend: &Blend, air: &FreeAir, class: Option<&volatility::Class>) -> Estimate {
    let (value, low, high) = PETROL_EVAPORATES;
    let petrol = class.map_or(value, |c| value + c.more_evaporates);
    let estimate = |value: f64, low: f64, high: f64, rule: &str, source| {
        Estimate::fixed(&EVAPORATED, value, (low, high), rule, source)
    };
    if blend.is_petrol() {
        return match class {
            None => estimate(value, low, high, "30 %: most of the fuel enters the cylinder as drops and film", COMMON),
            Some(c) => estimate(petrol, low, high, &c.rule, volatility::SOURCE),
        };
    }
    let share = |alcohol: &crate::media::alcohol::Alcohol, of: Blend| {
        let saturating = 100.0 * alcohol.saturating_share(air.temperature, air.pressure, of.stoichiometric());
        saturating.min(value)
    };
    let mean = blend.mean(petrol, share(&ETHANOL, Blend::ETHANOL), share(&METHANOL, Blend::METHANOL));
    let rule = "30 % of the petrol in it; of the alcohol what saturates the free air at lambda 1, at most 30 %";
    estimate(mean, mean / 3.0, 2.0 * mean, rule, COMMON)
}
