//! Fuel jets of the flow family: their numbers for other bores, and what is on sale of them.

use super::jet::{bore_for_flow, flow_of};
use super::setup::Setup;
use crate::hardware::jet::Jet;
use crate::hardware::part::Part;
use crate::hardware::stock::Stock;
use crate::media::fuel::Fuel;

/// Step of the numbers on sale [cc/min]. Common practice.
const STEP: f64 = 2.5;
/// Numbers each side of the fitted one, main jet and pilot jet, as in [`Stock::on_sale`]. Common practice, no source.
const REACH: (i32, i32) = (16, 8);
/// One cc/min [m3/s].
const CC_MIN: f64 = 1e-6 / 60.0;

/// The family of a jet: the number fitted [cc/min] and the head it counts at [m].
#[derive(Debug, Clone, Copy, PartialEq)]
struct Family {
    number: f64,
    head: f64,
}

fn family(setup: &Setup, part: Part) -> Option<(Family, Jet)> {
    let c = &setup.machine.carburettor;
    let jet = match part {
        Part::MainJet => c.main.main_jet,
        Part::PilotJet => c.pilot.jet,
        _ => return None,
    };
    let value = |key: &str| {
        let path = format!("carburettor.{}.{key}", part.key());
        setup.provenance.iter().find(|p| p.key == path).and_then(|p| p.value)
    };
    Some((Family { number: value("flow")? / CC_MIN, head: value("head")? }, jet))
}

fn petrol(setup: &Setup) -> Fuel {
    Fuel::petrol(745.0, setup.machine.fuel.temperature)
}

/// Number [cc/min] of a jet of `part` with another `bore` [m], so that the fitted one keeps its own; none if the file
/// does not give this jet by its flow.
#[must_use]
pub fn number(setup: &Setup, part: Part, bore: f64) -> Option<f64> {
    let (family, jet) = family(setup, part)?;
    let petrol = petrol(setup);
    let flow = |bore: f64| flow_of(&Jet { bore, ..jet }, family.head, &petrol);
    Some(family.number * flow(bore) / flow(jet.bore)).filter(|n| n.is_finite())
}

/// What is on sale of a jet that the file gives by its flow, by its numbers; none for another jet.
#[must_use]
pub fn on_sale(setup: &Setup, part: Part) -> Option<Stock> {
    let (family, jet) = family(setup, part)?;
    let petrol = petrol(setup);
    let reach = if part == Part::MainJet { REACH.0 } else { REACH.1 };
    let bore = |number: f64| bore_for_flow(number * CC_MIN, family.head, 1.0, Some(jet.length), &petrol);
    let own = bore(family.number)?;
    let middle = (family.number / STEP).round();
    let numbers = (-reach..=reach).map(|k| (middle + f64::from(k)) * STEP);
    let others = numbers.filter(|n| *n > 0.0 && (n - family.number).abs() > 1e-6);
    let label = |number: f64| Some(format!("{} cc/min", (number * 1e3).round() * 1e-3));
    // the fitted jet keeps its bore to the last bit
    let sizes = others.filter_map(|n| Some((jet.bore * bore(n)? / own, label(n))));
    let all = std::iter::once((jet.bore, label(family.number))).chain(sizes).collect();
    Stock::of(part, &setup.machine, all).ok()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::setup::{load_text, template};

    fn setup(jet: &str) -> Setup {
        let line = template().lines().find(|l| l.starts_with("main_jet")).unwrap();
        load_text("t", &template().replace(line, &format!("main_jet = {jet}"))).unwrap().value
    }

    // A jet's flow goes as its area (hydraulics), but for the coefficient, which changes little from one number to the next.
    #[test]
    fn numbers_of_the_flow_family_go_by_two_and_a_half_with_the_fitted_one_as_it_is() {
        let setup = setup("{ flow = \"150 cc/min\", head = \"360 mm\" }");
        let stock = on_sale(&setup, Part::MainJet).unwrap();
        let (own, next) = (&stock.sizes[stock.fitted], &stock.sizes[stock.fitted + 1]);
        assert_eq!((own.label.as_str(), next.label.as_str()), ("150 cc/min", "152.5 cc/min"));
        assert_eq!(own.value.to_bits(), setup.machine.carburettor.main.main_jet.bore.to_bits());
        assert!(((next.value / own.value).powi(2) - 152.5 / 150.0).abs() < 2e-3);
        assert!((number(&setup, Part::MainJet, next.value).unwrap() - 152.5).abs() < 0.05);
    }

    #[test]
    fn a_jet_given_by_its_bore_has_no_flow_number() {
        let setup = setup("\"1.40 mm\"");
        assert!(on_sale(&setup, Part::MainJet).is_none() && number(&setup, Part::MainJet, 1.4e-3).is_none());
        assert!(on_sale(&setup, Part::Clip).is_none());
    }
}
