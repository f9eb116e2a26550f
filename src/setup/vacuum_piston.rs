//! The vacuum piston of the file and its butterfly, and whether the engine can lift it.

use std::f64::consts::PI;

use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use super::throttle::{DISCHARGE, LEAK, WIDTH};
use crate::diagnostics::Problem;
use crate::hardware::butterfly::Butterfly;
use crate::hardware::carburettor::Carburettor;
use crate::hardware::engine::Engine;
use crate::hardware::slide::{Slide, SlideKind};
use crate::hardware::vacuum_piston::VacuumPiston;
use crate::laws::nozzle;
use crate::media::atmosphere::{FreeAir, G0};
use crate::numeric::root;
use crate::units::Dimension::{Angle, Area, Force, Length, Mass, Number, SpringRate, Volume};

const DIAMETER: Spec = Spec::new(Length, "mm", (15.0, 150.0), (40.0, 90.0));
const MASS: Spec = Spec::new(Mass, "g", (5.0, 1000.0), (30.0, 200.0));
const FORCE: Spec = Spec::new(Force, "N", (0.0, 500.0), (0.2, 5.0));
const RATE: Spec = Spec::new(SpringRate, "N/m", (0.0, 5000.0), (20.0, 300.0));
const FRICTION: Spec = Spec::new(Force, "N", (0.0, 5.0), (0.0, 0.5));
const LIFT: Spec = Spec::new(Length, "mm", (0.0, 60.0), (0.0, 45.0));
const BOTTOM: Spec = Spec::new(Area, "cm2", (0.2, 50.0), (2.0, 20.0));
const CLEARANCE: Spec = Spec::new(Volume, "cc", (1.0, 1000.0), (10.0, 100.0));
const BLEED: Spec = Spec::new(Length, "mm", (0.2, 10.0), (1.5, 4.0));
const HOLES: Spec = Spec::new(Number, "", (1.0, 12.0), (1.0, 4.0));
const DISTANCE: Spec = Spec::new(Length, "mm", (2.0, 200.0), (15.0, 60.0));
const PLATE: Spec = Spec::new(Length, "mm", (8.0, 60.0), (18.0, 48.0));
const SHAFT: Spec = Spec::new(Length, "mm", (1.0, 20.0), (5.0, 12.0));
const CLOSED: Spec = Spec::new(Angle, "deg", (0.0, 45.0), (3.0, 25.0));

/// Time mean of the head of a half-sine that lasts a quarter of the cycle over the head of the mean flow [-]: `pi^2/2`, exact.
const PULSE: f64 = 0.5 * PI * PI;
/// Ratio of specific heats of air [-].
const GAMMA: f64 = 1.4;

/// Reads `piston` and `butterfly` of the carburettor's table.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, bore: &Figure) -> (Slide, VacuumPiston) {
    let mut t = reader.table(ledger, "piston");
    let what = "the effective diameter of diaphragm or piston: a diaphragm works as far as half-way between its plate and \
                its rim: diameter = \"58 mm\"";
    let diameter = t.required(ledger, "diameter", &DIAMETER, what);
    let what = "piston, diaphragm, needle and half of the spring on the kitchen scale: mass = \"60 g\"";
    let mass = t.required(ledger, "mass", &MASS, what);
    let rule = "1 N with the piston down, which lifts off at about 1 kPa";
    let force = Estimate::fixed(&FORCE, 1.0, (0.5, 1.5), rule, COMMON);
    let force = t.estimated(ledger, "spring_force", &FORCE, force);
    let rate = "80 N/m, which holds it fully up at 2 to 3 kPa";
    let rate = Estimate::fixed(&RATE, 80.0, (50.0, 110.0), rate, COMMON);
    let rate = t.estimated(ledger, "spring_rate", &RATE, rate);
    let friction = Estimate::fixed(&FRICTION, 0.1, (0.0, 0.2), "0.1 N, a clean guide", COMMON);
    let friction = t.estimated(ledger, "friction", &FRICTION, friction);
    let lowest = Estimate::fixed(&LIFT, 1.5, (1.0, 2.0), "it rests 1.5 mm above the floor", COMMON);
    let lowest = t.estimated(ledger, "lowest", &LIFT, lowest);
    let highest = Estimate::times(bore.kept, 1.0, (0.9, 1.0), "as high as the bore", COMMON);
    let highest = t.estimated(ledger, "highest", &LIFT, highest);
    let width = Estimate::times(bore.kept, 0.7, (0.6, 0.8), "0.7 x bore along the flow", COMMON);
    let width = t.estimated(ledger, "width", &WIDTH, width);
    let oval = 0.25 * PI * width.kept * bore.kept;
    let bottom = Estimate::times(oval, 1.0, (0.8, 1.27), "an oval of its width by the bore", COMMON);
    let bottom = t.estimated(ledger, "bottom", &BOTTOM, bottom);
    let clearance = "30 cc left above it when it is up";
    let clearance = Estimate::fixed(&CLEARANCE, 30.0, (20.0, 40.0), clearance, COMMON);
    let clearance = t.estimated(ledger, "clearance", &CLEARANCE, clearance);
    let bleed = Estimate::fixed(&BLEED, 2.5, (2.0, 3.0), "holes of 2.5 mm in its lower end", COMMON);
    let bleed = t.estimated(ledger, "bleed", &BLEED, bleed);
    let what = "the number of holes from its lower end into the chamber above it: bleed_holes = 2";
    let holes = if t.has("bleed_holes") {
        t.whole(ledger, "bleed_holes", &HOLES, what)
    } else {
        let two = Estimate::fixed(&HOLES, 2.0, (1.0, 3.0), "two holes", COMMON);
        t.estimated(ledger, "bleed_holes", &HOLES, two)
    };
    let (shut, open, leak) = discharge(&mut t, ledger, (0.8, (0.65, 0.9)), (0.98, (0.93, 1.0)));
    t.close(ledger);

    let area = 0.25 * PI * diameter.kept * diameter.kept;
    let butterfly = read_butterfly(reader, ledger, bore);
    check_piston(ledger, &diameter, area, &bottom, (&lowest, &highest), bore);
    let slide = Slide {
        bore: bore.kept,
        cutaway: 0.0,
        width: width.kept,
        discharge_shut: shut,
        discharge_open: open,
        leak_area: leak,
        kind: SlideKind::Piston,
    };
    let piston = VacuumPiston {
        area,
        bottom: bottom.kept,
        mass: mass.kept,
        spring_rate: rate.kept,
        spring_force: force.kept,
        friction: friction.kept,
        lowest: lowest.kept,
        highest: highest.kept,
        clearance: clearance.kept,
        bleed_bore: bleed.kept,
        bleed_holes: holes.kept as u32,
        butterfly,
    };
    (slide, piston)
}

/// Discharge coefficients of a small and the whole opening [-], and the leak [m2].
fn discharge(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    (shut, shuts): (f64, (f64, f64)),
    (open, opens): (f64, (f64, f64)),
) -> (f64, f64, f64) {
    let estimate = Estimate::fixed(&DISCHARGE, shut, shuts, &format!("{shut} for a small opening"), COMMON);
    let shut = reader.estimated(ledger, "discharge_shut", &DISCHARGE, estimate);
    let estimate = Estimate::fixed(&DISCHARGE, open, opens, &format!("{open} fully open"), COMMON);
    let open = reader.estimated(ledger, "discharge_open", &DISCHARGE, estimate);
    let leak = Estimate::fixed(&LEAK, 1.0, (0.3, 1.7), "as much as a hole of 1 mm", COMMON);
    let leak = reader.estimated(ledger, "leak", &LEAK, leak);
    (shut.kept, open.kept, 0.25 * PI * leak.kept * leak.kept)
}

fn read_butterfly(reader: &mut Reader<'_>, ledger: &mut Ledger, bore: &Figure) -> Butterfly {
    let mut t = reader.table(ledger, "butterfly");
    let distance = "30 mm from the piston's engine-side edge to the shaft";
    let distance = Estimate::fixed(&DISTANCE, 30.0, (25.0, 35.0), distance, COMMON);
    let distance = t.estimated(ledger, "behind_piston", &DISTANCE, distance);
    let plate = Estimate::times(bore.kept, 1.0, (0.995, 1.0), "as wide as the bore", COMMON);
    let plate = t.estimated(ledger, "plate", &PLATE, plate);
    let shaft = Estimate::times(bore.kept, 0.22, (0.2, 0.24), "0.22 x bore", COMMON);
    let shaft = t.estimated(ledger, "shaft", &SHAFT, shaft);
    let closed = Estimate::fixed(&CLOSED, 12.0, (8.0, 16.0), "a plate that shuts at 12 degrees", COMMON);
    let closed = t.estimated(ledger, "closed_angle", &CLOSED, closed);
    let (shut, open, leak) = discharge(&mut t, ledger, (0.75, (0.65, 0.85)), (0.95, (0.88, 1.0)));
    t.close(ledger);
    if plate.kept > bore.kept * (1.0 + 1e-9) {
        ledger.note(
            Problem::error("the butterfly's plate is wider than the bore it turns in")
                .at(plate.place.clone(), format!("plate {}", plate.label()))
                .against(bore.place.clone(), format!("bore {}", bore.label()))
                .help("measure the plate along its shaft; across the shaft it is a little longer"),
        );
    }
    if shaft.kept > 0.5 * plate.kept {
        ledger.note(
            Problem::error("the butterfly's shaft takes more than half of its plate")
                .at(shaft.place.clone().or_else(|| plate.place.clone()), format!("shaft {}", shaft.label()))
                .against(plate.place.clone(), format!("plate {}", plate.label()))
                .help("a shaft is usually 7 to 9 mm thick"),
        );
    }
    Butterfly {
        bore: bore.kept,
        plate: plate.kept,
        shaft: shaft.kept,
        closed_angle: closed.kept,
        behind_piston: distance.kept,
        discharge_shut: shut,
        discharge_open: open,
        leak_area: leak,
    }
}

fn check_piston(
    ledger: &mut Ledger,
    diameter: &Figure,
    area: f64,
    bottom: &Figure,
    (lowest, highest): (&Figure, &Figure),
    bore: &Figure,
) {
    if bottom.kept > 0.9 * area {
        ledger.note(
            Problem::error("the piston's lower end takes all of its diaphragm, and nothing is left to lift it")
                .at(bottom.place.clone().or_else(|| diameter.place.clone()), format!("lower end {}", bottom.label()))
                .against(diameter.place.clone(), format!("diameter {}, {}", diameter.label(), BOTTOM.show(area)))
                .allowed(format!("a lower end of at most {}", BOTTOM.show(0.9 * area)))
                .help("`diameter` is that of the diaphragm, half-way between its plate and its rim, not of the piston in the bore"),
        );
    }
    if lowest.kept >= highest.kept {
        ledger.note(
            Problem::error("the piston's upper stop is not above its lower one")
                .at(highest.place.clone().or_else(|| lowest.place.clone()), format!("highest {}", highest.label()))
                .against(lowest.place.clone(), format!("lowest {}", lowest.label()))
                .help("both are heights of its lower end above the floor of the bore"),
        );
    }
    if highest.kept > 1.25 * bore.kept {
        ledger.note(
            Problem::error("the piston would rise far beyond its bore")
                .at(highest.place.clone(), format!("highest {}", highest.label()))
                .against(bore.place.clone(), format!("bore {}", bore.label()))
                .help("`highest` is the lift at the upper stop, about as high as the bore"),
        );
    }
}

/// Depression [Pa] behind an opening of effective `area` [m2] when an engine draws `volume_flow` [m3/s], steady and at the free air's
/// temperature: the pressure at which what passes the opening is what fills the cylinder.
fn steady_depression(area: f64, volume_flow: f64, air: &FreeAir) -> f64 {
    let p0 = air.pressure;
    let rt = p0 / air.density();
    let left_over = |p: f64| nozzle::mass_flow(area, p0, rt, 1.0, GAMMA, p) - p / rt * volume_flow;
    root::find(left_over, 1e-6 * p0, p0, 1e-3).map_or(f64::NAN, |r| p0 - r.x)
}

/// Notes a spring that keeps the piston down, or low, at the highest speed.
pub fn check_rise(ledger: &mut Ledger, carburettor: &Carburettor, engine: &Engine, air: &FreeAir) {
    let Some(v) = &carburettor.vacuum else { return };
    let slide = &carburettor.slide;
    let volume_flow = engine.crank.swept_volume() * engine.highest_rpm / 120.0;
    let read = [slide.bore, v.lowest, v.highest, v.area, v.bottom, v.mass, volume_flow, air.pressure];
    if !read.iter().all(|value| value.is_finite()) {
        return; // what could not be read is noted already
    }
    let behind = |lift: f64, discharge: f64| {
        steady_depression(discharge * slide.segment_area(lift) + slide.leak_area, volume_flow, air)
    };
    let place = ["spring_force", "spring_rate", "mass", "diameter"]
        .iter()
        .find_map(|key| ledger.places.get(&format!("carburettor.piston.{key}")).cloned());
    let pascal = |p: f64| format!("{:.2} kPa", 1e-3 * p);
    let lifts = v.area - v.bottom;
    let (largest, needed) = (behind(v.lowest, slide.discharge_shut), v.floating_depression(v.lowest));
    let half = 0.5 * (v.lowest + v.highest);
    let (at_half, needed_half) = (PULSE * behind(half, slide.discharge_open), v.floating_depression(half));
    if needed >= largest {
        ledger.note(
            Problem::error("the piston would never rise")
                .at(place, format!("it needs {} to lift off its stop", pascal(needed)))
                .allowed(format!(
                    "below {}, all that the engine draws past it at {:.0} rpm: a spring force below {}",
                    pascal(largest),
                    engine.highest_rpm,
                    FORCE.show((largest * lifts - v.mass * G0).max(0.0))
                ))
                .help("look at spring_force, mass and diameter: most pistons lift off at 0.5 to 1.5 kPa"),
        );
    } else if needed_half > at_half {
        ledger.note(
            Problem::warning("the piston stays in the lower half of its lift")
                .at(place, format!("half lift needs {}", pascal(needed_half)))
                .allowed(format!(
                    "usual: below {}, what the engine draws there at {:.0} rpm",
                    pascal(at_half),
                    engine.highest_rpm
                ))
                .help("look at spring_rate and spring_force: most pistons are fully up at 2 to 3 kPa"),
        );
    }
}
