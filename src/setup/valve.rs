//! Inlet and exhaust valves of the file.

use super::ledger::{Figure, Ledger};
use super::lift_points;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use super::timing::{self, Event, Side};
use crate::diagnostics::{Place, Problem};
use crate::hardware::poppet_valve::{LiftProfile, PoppetValve};
use crate::units::Dimension::{Angle, Length, Number};

const COUNT: Spec = Spec::new(Number, "", (1.0, 3.0), (1.0, 3.0));
const HEAD: Spec = Spec::new(Length, "mm", (8.0, 90.0), (20.0, 56.0));
const LIFT: Spec = Spec::new(Length, "mm", (1.0, 25.0), (5.0, 14.0));
const CHECK: Spec = Spec::new(Length, "mm", (0.05, 3.0), (0.1, 1.3));
const SEAT_WIDTH: Spec = Spec::new(Length, "mm", (0.3, 5.0), (0.8, 2.5));
const SEAT_ANGLE: Spec = Spec::new(Angle, "deg", (20.0, 60.0), (29.0, 46.0));
const STEM: Spec = Spec::new(Length, "mm", (2.0, 15.0), (4.0, 10.0));
const THROAT: Spec = Spec::new(Length, "mm", (6.0, 85.0), (15.0, 50.0));
const FACTOR: Spec = Spec::new(Number, "", (0.3, 1.5), (0.8, 1.2));

/// A valve with the figures that other parts are held against.
#[derive(Debug)]
pub struct ReadValve {
    /// The part.
    pub valve: PoppetValve,
    /// Throat diameter.
    pub throat: Figure,
    /// Number of valves.
    pub count: Figure,
    /// Where its lift is given, if it is.
    pub lift_place: Option<Place>,
}

/// Reads one valve table; `bore` is the cylinder's.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, side: Side, bore: &Figure) -> ReadValve {
    let count =
        reader.whole(ledger, "count", &COUNT, "how many valves: 1 for a two-valve head, 2 for a four-valve head");
    let several = count.kept > 1.5;
    let (factor, range) = match (side, several) {
        (Side::Inlet, false) => (0.43, (0.41, 0.45)),
        (Side::Inlet, true) => (0.345, (0.33, 0.36)),
        (Side::Exhaust, false) => (0.36, (0.34, 0.38)),
        (Side::Exhaust, true) => (0.295, (0.28, 0.31)),
    };
    let rule = format!("{factor} x cylinder bore ({})", if several { "more than one valve" } else { "one valve" });
    let head = reader.estimated(ledger, "head", &HEAD, Estimate::times(bore.kept, factor, range, &rule, COMMON));
    let (profile, lift) = match lift_points::read(reader, ledger, side) {
        Some(measured) => measured,
        None => by_timing(reader, ledger, side, bore),
    };
    let width = Estimate::fixed(&SEAT_WIDTH, 1.5, (1.0, 2.0), "a seat 1.5 mm wide", COMMON);
    let width = reader.estimated(ledger, "seat_width", &SEAT_WIDTH, width);
    let angle = Estimate::fixed(&SEAT_ANGLE, 45.0, (44.0, 46.0), "a seat of 45 degrees", COMMON);
    let angle = reader.estimated(ledger, "seat_angle", &SEAT_ANGLE, angle);
    let stem = Estimate::fixed(&STEM, 7.0, (5.5, 8.0), "a stem of 7 mm", COMMON);
    let stem = reader.estimated(ledger, "stem", &STEM, stem);
    let throat = Estimate::times(head.kept, 0.87, (0.84, 0.89), "0.87 x valve head", COMMON);
    let throat = reader.estimated(ledger, "throat", &THROAT, throat);
    let flow = flow_factor(side, several);
    let flow = reader.estimated(ledger, "flow_factor", &FACTOR, flow);

    check_shape(ledger, bore, &head, &throat, &stem, &count);
    check_lift(ledger, &head, &lift);

    let valve = PoppetValve {
        count: count.kept as u32,
        head_diameter: head.kept,
        seat_width: width.kept,
        seat_angle: angle.kept,
        stem_diameter: stem.kept,
        port_diameter: throat.kept,
        lift: profile,
        flow_factor: flow.kept,
    };
    ReadValve { valve, throat, count, lift_place: lift.place }
}

/// Factor on the published discharge curve, which was measured on one valve in the open.
///
/// Two inlet valves side by side blow against each other and against the wall of the bore. Derived, no source: around the rim of a
/// head of 34.5 mm with 3.5 mm to its twin, in a bore of 100 mm, each jet `Cd L` thick has a gap of width `g` to pass, `g` along its
/// ray to the plane between the twins or to the wall. A jet that passes untouched where it fits keeps `min(1, g / Cd L)`; one that
/// loses its head before the gap keeps `1 / sqrt(1 + (Cd L / g)^2)`. Averaged around the rim and over 6 to 9.25 mm of lift:
/// 0.94 and 0.87. Into an exhaust valve the gas comes from all sides; its curve stands.
fn flow_factor(side: Side, several: bool) -> Estimate {
    if side == Side::Inlet && several {
        let rule = "0.9 of the discharge curve of one valve: jets that meet between twins and at the bore's wall";
        Estimate::fixed(
            &FACTOR,
            0.9,
            (0.84, 0.96),
            rule,
            "curve: Heywood 1988, fig. 6-18 (from memory); twins: derived",
        )
    } else {
        let rule = "1: the discharge curve as published, which scatters by about a tenth";
        Estimate::fixed(&FACTOR, 1.0, (0.9, 1.1), rule, "Heywood 1988, fig. 6-18 (from memory)")
    }
}

/// The lift from its height and the timing at a check lift.
fn by_timing(reader: &mut Reader<'_>, ledger: &mut Ledger, side: Side, bore: &Figure) -> (LiftProfile, Figure) {
    let lift =
        Estimate::times(bore.kept, 0.0925, (0.085, 0.1), "0.0925 x cylinder bore, 8.5 to 10 mm on 100 mm", COMMON);
    let lift = reader.estimated(ledger, "lift", &LIFT, lift);
    let check = Estimate::fixed(&CHECK, 1.0, (1.0, 1.0), "timing is taken as measured at 1 mm of lift", COMMON);
    let check = reader.estimated(ledger, "check_lift", &CHECK, check);
    let opens = timing::read(reader, ledger, side, Event::Opens);
    let closes = timing::read(reader, ledger, side, Event::Closes);
    check_check_lift(ledger, &lift, &check);
    check_timing(ledger, side, &opens, &closes);
    (LiftProfile::from_timing(opens.kept, closes.kept, check.kept, lift.kept), lift)
}

fn check_shape(ledger: &mut Ledger, bore: &Figure, head: &Figure, throat: &Figure, stem: &Figure, count: &Figure) {
    let room = if count.kept > 1.5 { 0.55 } else { 0.75 };
    if head.kept > room * bore.kept {
        ledger.note(
            Problem::error("the valve head does not fit into the cylinder")
                .at(head.place.clone(), head.label())
                .against(bore.place.clone(), format!("cylinder bore {}", bore.label()))
                .allowed(format!("at most {room} x cylinder bore: {}", head.spec.show(room * bore.kept)))
                .help(format!("measure across the head of the valve; `{}` is one valve's diameter", head.key)),
        );
    }
    if throat.kept >= head.kept {
        ledger.note(
            Problem::error("the port's throat is as wide as the valve head, which would fall through")
                .at(throat.place.clone().or_else(|| head.place.clone()), throat.label())
                .against(head.place.clone(), format!("valve head {}", head.label()))
                .help("the throat is the narrowest bore just under the seat, usually 0.84 to 0.89 x the head"),
        );
    }
    if stem.kept > 0.5 * throat.kept {
        ledger.note(
            Problem::error("the valve stem fills the port")
                .at(stem.place.clone().or_else(|| throat.place.clone()), stem.label())
                .against(throat.place.clone(), format!("throat {}", throat.label())),
        );
    }
}

fn check_lift(ledger: &mut Ledger, head: &Figure, lift: &Figure) {
    if lift.kept > 0.6 * head.kept {
        ledger.note(
            Problem::error("the valve lifts further than such a valve can")
                .at(lift.place.clone(), lift.label())
                .against(head.place.clone(), format!("valve head {}", head.label()))
                .allowed("at most 0.6 x valve head")
                .help("`lift` is the largest lift of the valve itself, usually a quarter of its head"),
        );
    } else if lift.kept > 0.4 * head.kept {
        ledger.note(
            Problem::warning("the valve lifts unusually far")
                .at(lift.place.clone(), lift.label())
                .against(head.place.clone(), format!("valve head {}", head.label()))
                .help("usual: 0.2 to 0.3 x valve head"),
        );
    }
}

fn check_check_lift(ledger: &mut Ledger, lift: &Figure, check: &Figure) {
    if check.kept > 0.5 * lift.kept {
        ledger.note(
            Problem::error("the timing is said to be taken above half of the valve's lift")
                .at(check.place.clone().or_else(|| lift.place.clone()), format!("check lift {}", check.label()))
                .against(lift.place.clone(), format!("lift {}", lift.label()))
                .help("`check_lift` is the small lift at which the timing was read, often 1 mm"),
        );
    }
}

fn check_timing(ledger: &mut Ledger, side: Side, opens: &Figure, closes: &Figure) {
    let open = (closes.kept - opens.kept).to_degrees();
    let usual = if side == Side::Inlet {
        "an inlet valve opens before or after top and closes after bottom"
    } else {
        "an exhaust valve opens before bottom and closes before or after top"
    };
    let place = opens.place.clone().or_else(|| closes.place.clone());
    if open <= 0.0 {
        ledger.note(
            Problem::error("the valve opens after it closes")
                .at(place, format!("opens {} deg after the firing top centre", opens.kept.to_degrees().round()))
                .against(closes.place.clone(), format!("closes at {} deg", closes.kept.to_degrees().round()))
                .allowed("100 to 400 deg between the check lifts")
                .help(usual),
        );
    } else if !(100.0..=400.0).contains(&open) && open.is_finite() {
        ledger.note(
            Problem::error(format!("the valve is open for {} degrees of crank angle", open.round()))
                .at(place, "opens")
                .against(closes.place.clone(), "closes")
                .allowed("100 to 400 deg between the check lifts")
                .help(usual),
        );
    }
}
