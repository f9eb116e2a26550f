//! The fuel supply of the file: `[supply]` from tank to bowl.

use serde::Serialize;

use super::jug_test::{self, JugTest};
use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::supply_line::{Bowl, ELBOW, Filter, FloatNeedle, Hose, Inlet, SupplyLine, Tank, Tap};
use crate::units::Dimension::{Angle, Area, Length, Number, Share, Volume, VolumeFlow};

/// Range of a head of fuel in the tank.
pub const HEAD: Spec = Spec::new(Length, "mm", (-2_000.0, 3_000.0), (80.0, 700.0));
const VENT: Spec = Spec::new(Length, "mm", (0.0, 10.0), (0.4, 4.0));
const AIR: Spec = Spec::new(Volume, "L", (0.05, 60.0), (0.5, 20.0));
const TAP: Spec = Spec::new(Length, "mm", (0.5, 20.0), (3.0, 10.0));
const LOSS: Spec = Spec::new(Number, "", (0.0, 1_000.0), (2.0, 40.0));
const OPEN: Spec = Spec::new(Share, "%", (0.0, 100.0), (20.0, 100.0));
const FILTER_HEAD: Spec = Spec::new(Length, "mm", (0.1, 3_000.0), (2.0, 150.0));
const FLOW: Spec = Spec::new(VolumeFlow, "cc/min", (1.0, 20_000.0), (50.0, 1_000.0));
const HOSE: Spec = Spec::new(Length, "mm", (10.0, 5_000.0), (80.0, 1_200.0));
const BORE: Spec = Spec::new(Length, "mm", (0.5, 20.0), (3.5, 10.0));
const BENDS: Spec = Spec::new(Number, "", (0.0, 50.0), (0.0, 8.0));
const RISE: Spec = Spec::new(Length, "mm", (0.0, 2_000.0), (0.0, 60.0));
const FITTING: Spec = Spec::new(Length, "mm", (0.3, 20.0), (2.0, 8.0));
const FITTING_LENGTH: Spec = Spec::new(Length, "mm", (0.0, 200.0), (8.0, 60.0));
const HOLE: Spec = Spec::new(Length, "mm", (0.2, 12.0), (0.6, 5.0));
const SEAT: Spec = Spec::new(Length, "mm", (0.5, 8.0), (1.2, 4.0));
const DISCHARGE: Spec = Spec::new(Number, "", (0.3, 1.0), (0.5, 0.8));
const LIFT: Spec = Spec::new(Length, "mm", (0.1, 10.0), (0.6, 4.0));
const OVER: Spec = Spec::new(Length, "mm", (0.2, 60.0), (2.0, 15.0));
const TIP: Spec = Spec::new(Angle, "deg", (20.0, 170.0), (40.0, 120.0));
const BOWL: Spec = Spec::new(Area, "cm2", (0.0, 500.0), (8.0, 60.0));
const USABLE: Spec = Spec::new(Volume, "cc", (0.0, 2_000.0), (15.0, 120.0));

/// Loss coefficient of a tap with its strainer. Source: handbook values of the type of Crane TP-410 (from memory).
const TAP_LOSS: f64 = 10.0;
const HANDBOOK: &str = "handbook loss coefficients, from memory";

/// The supply of a set-up.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Supply {
    /// Tank to bowl as it is described.
    pub line: SupplyLine,
    /// What was measured on it with jug and watch.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub jug_tests: Vec<JugTest>,
}

/// Reads the supply's table; none without the table.
pub fn read(file: &mut Reader<'_>, ledger: &mut Ledger) -> Option<Supply> {
    file.value_place(ledger, "supply")?;
    let mut t = file.table(ledger, "supply");
    let r = &mut t;
    let tank = read_tank(r, ledger);
    let tap = read_tap(r, ledger);
    let filter = read_filter(r, ledger);
    let (hose, rise) = read_hose(r, ledger);
    let inlet = read_inlet(r, ledger);
    let needle = read_needle(r, ledger);
    let bowl = read_bowl(r, ledger);
    let jug_tests = jug_test::read(r, ledger);
    t.close(ledger);
    check_rise(ledger, &rise, &tank.1);
    let line = SupplyLine { tank: tank.0, tap, filter, hose, inlet, needle, bowl, measured_line: None };
    Some(Supply { line, jug_tests })
}

fn read_tank(reader: &mut Reader<'_>, ledger: &mut Ledger) -> (Tank, Figure) {
    let mut t = reader.table(ledger, "tank");
    let rule = "200 mm: a tank's outlet stands 100 to 300 mm above the carburettor";
    let reserve = Estimate::fixed(&HEAD, 200.0, (100.0, 300.0), rule, COMMON);
    let reserve = t.estimated(ledger, "reserve", &HEAD, reserve);
    let rule = "150 mm above the low end: a full tank adds 100 to 200 mm";
    let full = Estimate::plus(reserve.kept, 0.15, (0.1, 0.2), rule, COMMON);
    let full = t.estimated(ledger, "full", &HEAD, full);
    let vent = Estimate::fixed(&VENT, 1.0, (0.6, 2.0), "a clear hole of 1 mm in the cap", COMMON);
    let vent = t.estimated(ledger, "vent", &VENT, vent);
    let air = Estimate::fixed(&AIR, 4.0, (1.0, 10.0), "4 litres of air: a tank a third empty", COMMON);
    let air = t.estimated(ledger, "air", &AIR, air);
    t.close(ledger);
    for head in [&full, &reserve] {
        if head.kept <= 0.0 {
            ledger.note(
                Problem::error("the fuel stands below the carburettor and does not run into it")
                    .at(head.place.clone(), format!("{} {}", head.key, head.label()))
                    .allowed("a head above 0 mm")
                    .help(
                        "measure upwards from the float needle's seat to the fuel in the tank; a pump is not modelled",
                    ),
            );
        }
    }
    if full.kept < reserve.kept {
        ledger.note(
            Problem::error("the full tank stands lower than the reserve")
                .at(full.place.clone().or_else(|| reserve.place.clone()), format!("full {}", full.label()))
                .against(reserve.place.clone(), format!("reserve {}", reserve.label()))
                .help("both count from the float needle's seat up to the fuel in the tank"),
        );
    }
    (Tank { full: full.kept, reserve: reserve.kept, vent: vent.kept, air: air.kept }, reserve)
}

fn read_tap(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Tap {
    let mut t = reader.table(ledger, "tap");
    let bore = Estimate::fixed(&TAP, 6.0, (4.0, 8.0), "a bore of 6 mm", COMMON);
    let bore = t.estimated(ledger, "bore", &TAP, bore);
    let rule = "10 velocity heads for tap and strainer";
    let loss = Estimate::fixed(&LOSS, TAP_LOSS, (5.0, 20.0), rule, HANDBOOK);
    let loss = t.estimated(ledger, "loss", &LOSS, loss);
    let open = Estimate::fixed(&OPEN, 100.0, (100.0, 100.0), "wide open", COMMON);
    let open = t.estimated(ledger, "open", &OPEN, open);
    t.close(ledger);
    if open.kept <= 0.0 {
        ledger.note(
            Problem::error("the tap is shut: no fuel runs")
                .at(open.place.clone(), open.label())
                .allowed("above 0 %")
                .help("write open = \"100 %\", or leave the line out"),
        );
    }
    Tap { bore: bore.kept, loss: loss.kept, open: open.kept }
}

fn read_filter(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Option<Filter> {
    reader.value_place(ledger, "filter")?;
    let mut t = reader.table(ledger, "filter");
    let rule = "a gravity filter takes 10 mm at 300 cc/min; paper made for a pump takes several times that";
    let head = Estimate::fixed(&FILTER_HEAD, 10.0, (3.0, 100.0), rule, COMMON);
    let head = t.estimated(ledger, "head", &FILTER_HEAD, head);
    let at = Estimate::fixed(&FLOW, 300.0, (300.0, 300.0), "at 300 cc/min", COMMON);
    let at = t.estimated(ledger, "at", &FLOW, at);
    t.close(ledger);
    Some(Filter { head: head.kept, at: at.kept })
}

fn read_hose(reader: &mut Reader<'_>, ledger: &mut Ledger) -> (Hose, Figure) {
    let mut t = reader.table(ledger, "hose");
    let length = Estimate::fixed(&HOSE, 400.0, (200.0, 600.0), "400 mm", COMMON);
    let length = t.estimated(ledger, "length", &HOSE, length);
    let bore = Estimate::fixed(&BORE, 6.0, (5.0, 7.0), "a hose of 6 mm", COMMON);
    let bore = t.estimated(ledger, "bore", &BORE, bore);
    let bends = Estimate::fixed(&BENDS, 2.0, (0.0, 6.0), "two bends; a loop has four", COMMON);
    let bends = t.estimated(ledger, "bends", &BENDS, bends);
    let rise = Estimate::fixed(&RISE, 0.0, (0.0, 30.0), "falls all the way: no place for vapour", COMMON);
    let rise = t.estimated(ledger, "rise", &RISE, rise);
    t.close(ledger);
    (Hose { length: length.kept, bore: bore.kept, bends: bends.kept, rise: rise.kept }, rise)
}

fn check_rise(ledger: &mut Ledger, rise: &Figure, reserve: &Figure) {
    if rise.kept >= reserve.kept && reserve.kept > 0.0 {
        ledger.note(
            Problem::error("vapour in the hose's upward loop would hold back the whole head")
                .at(rise.place.clone().or_else(|| reserve.place.clone()), format!("rise {}", rise.label()))
                .against(reserve.place.clone(), format!("reserve {}", reserve.label()))
                .allowed(format!("below {}", reserve.shown()))
                .help("`rise` is how far the hose climbs again after its lowest place; lead it so that it falls all the way"),
        );
    }
}

fn read_inlet(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Inlet {
    let mut t = reader.table(ledger, "inlet");
    if let Some(hole) = t.optional(ledger, "effective_bore", &HOLE) {
        for key in ["bore", "length", "elbow", "flattened"] {
            if let Some(place) = t.value_place(ledger, key) {
                ledger.note(
                    Problem::error(format!("`supply.inlet.{key}` and `effective_bore` say the same twice"))
                        .at(Some(place), "either this")
                        .against(hole.place.clone(), "or this")
                        .help("give the effective hole that a test found, or the fitting's own sizes"),
                );
            }
        }
        t.close(ledger);
        return Inlet::Effective { bore: hole.kept };
    }
    let bore = Estimate::fixed(&FITTING, 4.5, (3.5, 6.0), "a bore of 4.5 mm", COMMON);
    let bore = t.estimated(ledger, "bore", &FITTING, bore);
    let length = Estimate::fixed(&FITTING_LENGTH, 25.0, (15.0, 40.0), "25 mm", COMMON);
    let length = t.estimated(ledger, "length", &FITTING_LENGTH, length);
    let elbow = Estimate::fixed(&LOSS, ELBOW, (0.0, 1.3), "an elbow; 0 for straight, 1.3 for a mitre", HANDBOOK);
    let elbow = t.estimated(ledger, "elbow", &Spec { usual: (0.0, 3.0), ..LOSS }, elbow);
    let round = Estimate::times(bore.kept, 1.0, (1.0, 1.0), "round", COMMON);
    let flattened = t.estimated(ledger, "flattened", &Spec { usual: (0.5, 8.0), ..FITTING }, round);
    t.close(ledger);
    if flattened.kept > bore.kept * (1.0 + 1e-9) {
        ledger.note(
            Problem::error("the flattened place is wider than the bore")
                .at(flattened.place.clone(), flattened.label())
                .against(bore.place.clone(), format!("bore {}", bore.label()))
                .help("`flattened` is the smaller inside width where the elbow is crushed"),
        );
    } else if flattened.kept < 0.05 * bore.kept {
        ledger.note(
            Problem::error("the fitting is crushed shut")
                .at(flattened.place.clone(), flattened.label())
                .allowed(format!("from a twentieth of the bore, {}", FITTING.show(0.05 * bore.kept)))
                .help("measure it with jug and watch instead: [[supply.jug_test]]"),
        );
    }
    Inlet::Fitting { bore: bore.kept, length: length.kept, elbow: elbow.kept, flattened: flattened.kept }
}

fn read_needle(reader: &mut Reader<'_>, ledger: &mut Ledger) -> FloatNeedle {
    let mut t = reader.table(ledger, "needle");
    let rule = "a seat of 2.3 mm; 2.0 in a service manual of a 400-class single";
    let seat = Estimate::fixed(&SEAT, 2.3, (1.8, 3.3), rule, COMMON);
    let seat = t.estimated(ledger, "seat", &SEAT, seat);
    let rule = "0.62, a short hole in petrol: 0.60 to 0.65";
    let discharge = Estimate::fixed(&DISCHARGE, 0.62, (0.6, 0.65), rule, COMMON);
    let discharge = t.estimated(ledger, "discharge", &DISCHARGE, discharge);
    let rule = "the float's tang lets the needle rise 0.8 x its seat's bore";
    let lift = Estimate::times(seat.kept, 0.8, (0.5, 1.2), rule, COMMON).held(&LIFT);
    let lift = t.estimated(ledger, "lift", &LIFT, lift);
    let rule = "wide open when the fuel has fallen by 3 x the needle's lift, the ratio of the float's arms";
    let over = Estimate::times(lift.kept, 3.0, (2.0, 5.0), rule, COMMON).held(&OVER);
    let over = t.estimated(ledger, "over", &OVER, over);
    let tip = Estimate::fixed(&TIP, 60.0, (50.0, 90.0), "a tip of 60 degrees", COMMON);
    let tip = t.estimated(ledger, "tip_angle", &TIP, tip);
    t.close(ledger);
    FloatNeedle {
        seat: seat.kept,
        discharge: discharge.kept,
        lift: lift.kept,
        over: over.kept,
        half_angle: 0.5 * tip.kept,
    }
}

fn read_bowl(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Bowl {
    let mut t = reader.table(ledger, "bowl");
    let rule = "50 cc between the set level and the main jet: 30 to 60, of a bowl of 60 to 110 cc";
    let usable = Estimate::fixed(&USABLE, 50.0, (30.0, 60.0), rule, COMMON);
    let usable = t.estimated(ledger, "usable", &USABLE, usable);
    let rule = "the usable fuel stands 22 mm deep";
    let area = Estimate::times(usable.kept, 1.0 / 0.022, (1.0 / 0.03, 1.0 / 0.016), rule, COMMON);
    let area = t.estimated(ledger, "area", &BOWL, area);
    t.close(ledger);
    for (figure, what) in [(&usable, "usable fuel"), (&area, "area")] {
        if figure.kept <= 0.0 {
            ledger.note(
                Problem::error(format!("a bowl without {what} holds no fuel"))
                    .at(figure.place.clone(), figure.label())
                    .allowed("above 0")
                    .help(
                        "drain the bowl into a measuring glass, tap shut: most of it is usable, as a rule 30 to 60 cc",
                    ),
            );
        }
    }
    Bowl { area: area.kept, usable: usable.kept }
}
