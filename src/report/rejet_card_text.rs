//! The card over height and temperature, as tables of at most 80 columns.

use super::number::rounded;
use super::prose::wrapped;
use super::table::table;
use crate::hardware::part::Part;
use crate::study::rejet::card::{ALTITUDES, Card, CardCell, TEMPERATURES};
use crate::units::{Quantity, Units};

/// What ends the label of a flow number.
const CC_MIN: &str = " cc/min";

/// A table for each part that changes, the density law beside the main jet's, and what makes the difference.
#[must_use]
pub fn card_text(card: &Card, units: &Units) -> String {
    let mut out = wrapped(
        "",
        "",
        &format!(
            "Card: what keeps the mixture of home ({}, {}), by height (down) and temperature in {} (across)",
            units.text(Quantity::Altitude, Some(card.home_altitude_m), 0),
            units.text(Quantity::Temperature, Some(card.home_temperature_k), 0),
            units.name(Quantity::Temperature)
        ),
    );
    for (place, part) in card.parts.iter().enumerate() {
        let label = |cell: &CardCell| cell.labels.get(place).cloned().unwrap_or_default();
        let changes = card.cells.iter().any(|c| label(c) != part.home);
        if part.part != Part::MainJet && !changes {
            out += &wrapped("", "", &format!("{}: {} everywhere", part.part.name(), part.home));
            continue;
        }
        // the unit of a flow number stands once
        let bare = |cell: &CardCell| label(cell).trim_end_matches(CC_MIN).to_owned();
        let unit = if part.home.ends_with(CC_MIN) { " (numbers in cc/min)" } else { "" };
        out += &format!("\n{}, {} at home{unit}\n\n{}", part.part.name(), part.home, grid(card, &bare, units));
    }
    let hundredths = |bore: f64| rounded(Some(1e5 * bore), 1);
    let flows = card.cells.iter().any(|c| c.main_jet_flows.is_some());
    let exact = |cell: &CardCell| match cell.main_jet_flows {
        Some((exact, by_rule)) => format!("{}|{}", rounded(exact, 1), rounded(Some(by_rule), 1)),
        None => {
            let exact = cell.main_jet_exact.map_or("-".to_owned(), hundredths);
            format!("{exact}|{}", hundredths(cell.main_jet_by_rule))
        }
    };
    let title = if flows {
        "Main jet alone, exact number in cc/min | by the density law, flow number x (density ratio)^0.5"
    } else {
        "Main jet alone, exact bore in 1/100 mm | by the density law, bore x (density ratio)^0.25 (a flow number would \
         go with ^0.5)"
    };
    out += &format!("\n{}\n{}", wrapped("", "", title), grid(card, &exact, units));
    out.push('\n');
    out + &why(card, units)
}

fn grid(card: &Card, show: &dyn Fn(&CardCell) -> String, units: &Units) -> String {
    let mut heads = vec!["height".to_owned()];
    heads.extend(TEMPERATURES.iter().map(|t| units.number(Quantity::Temperature, Some(t + 273.15), 0)));
    let rows: Vec<Vec<String>> = card
        .cells
        .chunks(TEMPERATURES.len())
        .zip(ALTITUDES)
        .map(|(cells, altitude)| {
            let mut row = vec![units.text(Quantity::Altitude, Some(altitude), 0)];
            row.extend(cells.iter().map(show));
            row
        })
        .collect();
    table(&heads, &rows)
}

fn why(card: &Card, units: &Units) -> String {
    let number = |x: Option<f64>| rounded(x, 2);
    let mut text = format!(
        "With the parts left as they are AFR goes as dry density to the {} over height (a plain jet: 0.50). Bleed air and \
         the fuel's lift to the nozzle's lip lower this; the fuel column, which evens out the pulses of thin air more, \
         raises it with speed. The main jet has {} of the say where it governs, the needle jet the rest, so its bore has \
         to go as density to the {} (the law: 0.25). Over temperature the fuel's own density and viscosity come in: warm \
         petrol is lighter and thinner.",
        number(card.afr_exponent),
        number(card.main_jet_say),
        number(card.bore_exponent)
    );
    text += " Sizes by the model of the search, the machine run in nine airs with the parts of home.";
    for c in &card.confirmed {
        text += &format!(
            " Run at {} and {}: AFR is off home's by {} % with the card's parts (model {} %), {} % untouched.",
            units.text(Quantity::Altitude, Some(c.altitude_m), 0),
            units.text(Quantity::Temperature, Some(c.temperature_k), 0),
            rounded(Some(100.0 * c.run), 1),
            rounded(Some(100.0 * c.by_model), 1),
            rounded(Some(100.0 * c.untouched), 1)
        );
    }
    text += " Back at home fit home's parts before you ride: the high jet is lean there.";
    wrapped("", "", &text)
}
