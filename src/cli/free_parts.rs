//! Which parts may be changed: `--free`, the set-up's `[parts]`, or the usual ones.

use super::console::say;
use super::ending::Failure;
use crate::diagnostics::clean::clean_line;
use crate::hardware::part::Part;
use crate::hardware::stock::Stock;
use crate::setup::{Setup, flow_numbers};

/// Parts that may be changed unless told otherwise.
const USUAL: [Part; 4] = [Part::MainJet, Part::Clip, Part::PilotJet, Part::MixtureScrew];

/// Reads a list of parts: their keys, a jet's without `_jet`.
///
/// # Errors
/// A sentence for an unknown part, one given twice, or an empty list.
pub fn parts(text: &str) -> Result<Vec<Part>, String> {
    let known = |word: &str| {
        let key = word.to_lowercase().replace([' ', '-'], "_");
        let meant = |p: &Part| p.key() == key || p.key().strip_suffix("_jet") == Some(&key) || short(*p) == Some(&key);
        Part::all().into_iter().find(meant).ok_or_else(|| {
            let keys: Vec<&str> = Part::all().into_iter().map(Part::key).collect();
            format!("`{}` is no part known here; known: {}", clean_line(word, 40), keys.join(", "))
        })
    };
    each_once(text, known, Part::key)
}

/// What each word of the list `text` stands for; `name` says which one is given twice.
///
/// # Errors
/// That of `known` for a word, or one given twice.
pub fn each_once<T: Copy + PartialEq>(
    text: &str,
    known: impl Fn(&str) -> Result<T, String>,
    name: impl Fn(T) -> &'static str,
) -> Result<Vec<T>, String> {
    let mut found = Vec::new();
    for word in text.split(',').map(str::trim) {
        let one = known(word)?;
        if found.contains(&one) {
            return Err(format!("`{}` is given twice", name(one)));
        }
        found.push(one);
    }
    Ok(found)
}

/// A short word beside the key.
fn short(part: Part) -> Option<&'static str> {
    match part {
        Part::MixtureScrew => Some("screw"),
        Part::NeedleTaper => Some("taper"),
        Part::FloatLevel => Some("level"),
        _ => None,
    }
}

/// What there is to choose from of each free part.
///
/// # Errors
/// [`Failure::Input`] when a part asked for is not there or has one size, or no part is left.
pub fn stocks(asked: Option<&[Part]>, setup: &Setup) -> Result<Vec<Stock>, Failure> {
    let listed = setup.on_hand.iter().map(|s| s.part).filter(|p| !USUAL.contains(p));
    let free: Vec<Part> = asked.map_or_else(|| USUAL.into_iter().chain(listed).collect(), <[Part]>::to_vec);
    let mut stocks = Vec::with_capacity(free.len());
    for part in free {
        let given = setup.on_hand.iter().find(|s| s.part == part).cloned();
        let stock = match given {
            Some(stock) => Ok(stock),
            None => flow_numbers::on_sale(setup, part).map_or_else(|| Stock::on_sale(part, &setup.machine), Ok),
        };
        let why = match stock {
            Ok(stock) if stock.has_choice() => {
                stocks.push(stock);
                continue;
            }
            Ok(_) => "there is one size, so nothing to choose".to_owned(),
            Err(why) => why.to_string(),
        };
        if asked.is_some() {
            return Err(Failure::Input(format!("error: the {} cannot be free: {why}", part.name())));
        }
        say(format_args!("note: the {} stays: {why}", part.name()));
    }
    if stocks.is_empty() {
        return Err(Failure::Input("error: no part is free, so there is nothing to choose".to_owned()));
    }
    Ok(stocks)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_named_by_their_keys_or_short() {
        let wanted = Ok(vec![Part::MainJet, Part::PilotJet, Part::MixtureScrew, Part::NeedleTaper]);
        assert_eq!(parts("main, pilot_jet,screw , needle-taper"), wanted);
    }

    #[test]
    fn an_unknown_part_an_empty_list_and_a_repetition_are_refused() {
        assert!(parts("mane").is_err_and(|t| t.contains("`mane` is no part") && t.contains("main_jet")));
        assert!(parts("").is_err() && parts("clip,").is_err());
        assert!(parts("clip,main,clip").is_err_and(|t| t.contains("given twice")));
    }
}
