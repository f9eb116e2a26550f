//! The accelerator pump of the file: `[carburettor.pump]`.

use super::jet::{self, Role};
use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::accelerator_pump::{AcceleratorPump, Aim};
use crate::hardware::float_bowl::FloatBowl;
use crate::hardware::jet::Jet;
use crate::media::atmosphere::G0;
use crate::media::fuel::Fuel;
use crate::units::Dimension::{Force, Length, Number, Pressure, SpringRate};

const GAP: Spec = Spec::new(Length, "mm", (0.0, 40.0), (0.5, 6.0));
const STOP: Spec = Spec::new(Length, "mm", (0.5, 60.0), (8.0, 48.0));
const LEVER: Spec = Spec::new(Number, "", (0.005, 2.0), (0.02, 0.4));
const DIAMETER: Spec = Spec::new(Length, "mm", (3.0, 60.0), (6.0, 32.0));
const PRELOAD: Spec = Spec::new(Force, "N", (0.0, 100.0), (0.5, 15.0));
const RATE: Spec = Spec::new(SpringRate, "N/mm", (0.0, 100.0), (0.1, 10.0));
const RETURN: Spec = Spec::new(Force, "N", (0.1, 100.0), (0.5, 15.0));
const RISE: Spec = Spec::new(Length, "mm", (-30.0, 80.0), (-5.0, 50.0));
const SEAT: Spec = Spec::new(Length, "mm", (0.3, 8.0), (0.8, 4.0));
const OPENS: Spec = Spec::new(Pressure, "kPa", (0.0, 50.0), (0.05, 6.0));

const NOZZLE: Role = Role {
    key: "nozzle",
    slenderness: 4.0,
    slendernesses: (2.0, 8.0),
    bore: Spec::new(Length, "mm", (0.1, 3.0), (0.25, 1.0)),
    may_be_plugged: false,
};
const LEAK_JET: Role = Role {
    key: "leak_jet",
    slenderness: 3.0,
    slendernesses: (2.0, 6.0),
    bore: Spec::new(Length, "mm", (0.1, 3.0), (0.3, 1.2)),
    may_be_plugged: true,
};

/// Reads the pump's table; none without the table.
pub fn read(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    bore: &Figure,
    bowl: &FloatBowl,
    fuel: &Fuel,
) -> Option<AcceleratorPump> {
    reader.value_place(ledger, "pump")?;
    let mut t = reader.table(ledger, "pump");
    let r = &mut t;
    let rod_gap = Estimate::fixed(&GAP, 2.0, (1.0, 3.0), "the rod begins to push 2 mm above shut", COMMON);
    let rod_gap = r.estimated(ledger, "rod_gap", &GAP, rod_gap);
    let rule = "the stroke ends between 2/3 and 3/4 of full lift";
    let stop = Estimate::times(bore.kept, 0.7, (2.0 / 3.0, 0.75), rule, COMMON);
    let stop = r.estimated(ledger, "stop", &STOP, stop);
    let rule = "0.05 mm of diaphragm for a millimetre of slide: about 4 cc for ten strokes at 40 mm";
    let lever = Estimate::fixed(&LEVER, 0.05, (0.03, 0.075), rule, COMMON);
    let lever = r.estimated(ledger, "lever", &LEVER, lever);
    let diameter = Estimate::fixed(&DIAMETER, 20.0, (18.0, 22.0), "a diaphragm that displaces as 20 mm do", COMMON);
    let diameter = r.estimated(ledger, "diaphragm", &DIAMETER, diameter);
    let preload = Estimate::fixed(&PRELOAD, 2.0, (1.0, 4.0), "yields at 2 N, a squirt of about 0.7 s", COMMON);
    let preload = r.estimated(ledger, "preload", &PRELOAD, preload);
    let rate = Estimate::fixed(&RATE, 1.0, (0.3, 3.0), "1 N/mm", COMMON);
    let rate = r.estimated(ledger, "spring_rate", &RATE, rate);
    let back = Estimate::fixed(&RETURN, 3.0, (1.0, 6.0), "3 N on the way back", COMMON);
    let back = r.estimated(ledger, "return_force", &RETURN, back);
    let rule = Estimate::fixed(&NOZZLE.bore, 0.45, (0.35, 0.7), "0.45 mm: 45 in a single, 70 in a big twin", COMMON);
    let nozzle = jet::estimated(r, ledger, NOZZLE, fuel, rule).map(|j| j.jet);
    let rise = Estimate::times(bore.kept, 0.5, (0.2, 1.0), "half-way up the bore", COMMON);
    let rise = r.estimated(ledger, "rise", &RISE, rise);
    let leak_jet = match r.value_place(ledger, LEAK_JET.key) {
        // The estimate is for a key that is not there, which is not so here.
        Some(_) => jet::estimated(r, ledger, LEAK_JET, fuel, Estimate::times(0.4e-3, 1.0, (1.0, 1.0), "", COMMON)),
        None => None,
    };
    let seat = Estimate::fixed(&SEAT, 2.0, (1.5, 2.5), "a seat of 2 mm", COMMON);
    let seat = r.estimated(ledger, "inlet_seat", &SEAT, seat);
    let inlet_opens = Estimate::fixed(&OPENS, 0.3, (0.1, 1.0), "0.3 kPa, the weight of a ball or flap", COMMON);
    let inlet_opens = r.estimated(ledger, "inlet_opens", &OPENS, inlet_opens);
    let outlet_opens =
        Estimate::fixed(&OPENS, 1.0, (0.3, 3.0), "1 kPa, a ball under a weight or a weak spring", COMMON);
    let outlet_opens = r.estimated(ledger, "outlet_opens", &OPENS, outlet_opens);
    let words = [("bore", Aim::Bore), ("needle", Aim::Needle)];
    let what = "aim = \"bore\" if the squirt passes the needle, aim = \"needle\" if it hits it";
    let aim = match r.value_place(ledger, "aim") {
        Some(_) => r.choice(ledger, "aim", &words, what),
        None => None,
    };
    t.close(ledger);
    check_stroke(ledger, &rod_gap, &stop, bore);
    let pump = AcceleratorPump {
        rod_gap: rod_gap.kept,
        stop: stop.kept,
        lever: lever.kept,
        diameter: diameter.kept,
        preload: preload.kept,
        rate: rate.kept,
        return_force: back.kept,
        nozzle: nozzle.unwrap_or(Jet { bore: f64::NAN, length: f64::NAN }),
        rise: rise.kept,
        leak_jet: leak_jet.map(|j| j.jet),
        inlet: Jet { bore: seat.kept, length: seat.kept },
        inlet_opens: inlet_opens.kept,
        outlet_opens: outlet_opens.kept,
        aim: aim.unwrap_or(Aim::Bore),
    };
    check_preload(ledger, &pump, &preload, bowl, fuel);
    Some(pump)
}

fn check_stroke(ledger: &mut Ledger, rod_gap: &Figure, stop: &Figure, bore: &Figure) {
    if stop.kept <= rod_gap.kept {
        ledger.note(
            Problem::error("the pump's stroke ends before its rod begins to push")
                .at(stop.place.clone().or_else(|| rod_gap.place.clone()), format!("stop {}", stop.label()))
                .against(rod_gap.place.clone(), format!("rod gap {}", rod_gap.label()))
                .allowed(format!("a stop above {}", rod_gap.shown()))
                .help("both are lifts of the slide: the rod begins near 2 mm and stops near 2/3 of full lift"),
        );
    }
    if stop.kept > bore.kept {
        ledger.note(
            Problem::error("the pump's stop lies above full lift")
                .at(stop.place.clone(), stop.label())
                .against(bore.place.clone(), format!("bore {}", bore.label()))
                .allowed(format!("up to {}", bore.shown())),
        );
    }
}

/// The spring at the end of its travel against the valve before the nozzle.
fn check_preload(ledger: &mut Ledger, pump: &AcceleratorPump, preload: &Figure, bowl: &FloatBowl, fuel: &Fuel) {
    let has = pump.preload / pump.area();
    let needs = pump.outlet_opens + fuel.density * G0 * (bowl.level_below_bore + pump.rise);
    if has < needs {
        ledger.note(
            Problem::warning("the pump's spring cannot hold the nozzle's valve open to the end of the stroke")
                .at(preload.place.clone(), format!("{} of preload give {}", preload.label(), OPENS.show(has)))
                .help(format!(
                    "valve and height of the nozzle take {}: the last of a stroke stays back",
                    OPENS.show(needs)
                )),
        );
    }
}
