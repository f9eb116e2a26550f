//! The vehicle on the road: `[road]`, of the set-up or of the engine.

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::quantity::read_quantity;
use super::reader::{Reader, kind};
use super::spec::{COMMON, Estimate, Spec};
use super::tyre;
use crate::diagnostics::clean::clean_line;
use crate::diagnostics::{Place, Problem};
use crate::hardware::road_vehicle::RoadVehicle;
use crate::units::Dimension::{Area, Length, Mass, Number, RoadSpeed, Share};

const MASS: Spec = Spec::new(Mass, "kg", (20.0, 2000.0), (90.0, 600.0));
const DRAG_AREA: Spec = Spec::new(Area, "m2", (0.05, 5.0), (0.25, 1.6));
const ROLLING: Spec = Spec::new(Number, "", (0.002, 0.2), (0.008, 0.04));
const CIRCUMFERENCE: Spec = Spec::new(Length, "m", (0.3, 4.0), (1.1, 2.3));
const PRIMARY: Spec = Spec::new(Number, ":1", (0.3, 10.0), (1.0, 4.5));
const GEAR: Spec = Spec::new(Number, ":1", (0.2, 15.0), (0.5, 5.0));
const FINAL: Spec = Spec::new(Number, ":1", (0.3, 15.0), (1.5, 6.0));
const EFFICIENCY: Spec = Spec::new(Share, "%", (30.0, 100.0), (78.0, 97.0));
const GRADE: Spec = Spec::new(Share, "%", (-30.0, 30.0), (-15.0, 15.0));
const HEADWIND: Spec = Spec::new(RoadSpeed, "km/h", (-150.0, 150.0), (-60.0, 60.0));

/// Most gears.
const MOST_GEARS: usize = 10;
/// Way per turn over the diameter of the unloaded tyre [-], below pi since it flattens, with its range.
const ROLLED: (f64, (f64, f64)) = (3.05, (2.98, 3.12));
const ROLLED_SOURCE: &str = "ETRTO: 3.05 x the diameter of the unloaded tyre (from memory)";

/// A vehicle and where its table stands.
#[derive(Debug)]
pub struct ReadRoad {
    /// The vehicle.
    pub vehicle: RoadVehicle,
    /// Its heading.
    pub place: Option<Place>,
}

/// Reads the table `road` of `reader`; none without the table.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Option<ReadRoad> {
    let place = reader.value_place(ledger, "road").and_then(|_| reader.key_place("road"))?;
    let mut t = reader.table(ledger, "road");
    let r = &mut t;
    let what = "the machine with its rider, fuel and load, from a weighbridge or the handbook: mass = \"250 kg\"";
    let mass = r.required(ledger, "mass", &MASS, what);
    let rule =
        "0.6 m2: a medium machine without a screen, rider upright; 0.35 to 0.45 crouched, about 1 with a sidecar";
    let drag_area = Estimate::fixed(&DRAG_AREA, 0.6, (0.45, 0.8), rule, COMMON);
    let drag_area = r.estimated(ledger, "drag_area", &DRAG_AREA, drag_area);
    let rule = "0.015 of the weight: road tyres at their pressure on asphalt; a third tyre or a soft one takes more";
    let rolling = Estimate::fixed(&ROLLING, 0.015, (0.010, 0.022), rule, COMMON);
    let rolling = r.estimated(ledger, "rolling", &ROLLING, rolling);
    let circumference = read_tyre(r, ledger);
    let what = "teeth of the clutch over teeth of the crank: primary = \"64/29\", or primary = 2.207";
    let primary = r.required(ledger, "primary", &PRIMARY, what);
    let gears = read_gears(r, ledger);
    let what = "teeth at the wheel over teeth at the gearbox: final_drive = \"44/15\", or final_drive = 2.933";
    let final_drive = r.required(ledger, "final_drive", &FINAL, what);
    // two pairs of gears at 0.98, a chain at 0.97, 1 to 2 % of slip
    let rule = "0.92 from the crank to the road: gear teeth, chain and slip of the tyre; what primary and gearbox drag in their \
                oil is in the engine's friction, 0.87 with it";
    let efficiency = Estimate::fixed(&EFFICIENCY, 92.0, (87.0, 96.0), rule, COMMON);
    let efficiency = r.estimated(ledger, "efficiency", &EFFICIENCY, efficiency);
    let level = Estimate::fixed(&GRADE, 0.0, (0.0, 0.0), "a level road", COMMON);
    let grade = r.estimated(ledger, "grade", &GRADE, level);
    ledger.advise(&grade, "the rise over the way, negative downhill: 10 % is a steep road, 20 % among the steepest");
    let still = Estimate::fixed(&HEADWIND, 0.0, (0.0, 0.0), "still air", COMMON);
    let headwind = r.estimated(ledger, "headwind", &HEADWIND, still);
    t.close(ledger);
    let vehicle = RoadVehicle {
        mass: mass.kept,
        drag_area: drag_area.kept,
        rolling: rolling.kept,
        tyre_circumference: circumference.kept,
        primary: primary.kept,
        gears: gears.iter().map(|g| g.kept).collect(),
        final_drive: final_drive.kept,
        efficiency: efficiency.kept,
        grade: grade.kept,
        headwind: headwind.kept,
    };
    Some(ReadRoad { vehicle, place: Some(place) })
}

/// The way per turn of the wheel: measured, or by the size on the tyre.
fn read_tyre(r: &mut Reader<'_>, ledger: &mut Ledger) -> Figure {
    const KEY: &str = "tyre_circumference";
    let size = r.raw(ledger, "tyre");
    let measured = r.optional(ledger, KEY, &CIRCUMFERENCE);
    let nothing = |key: String| Figure { kept: f64::NAN, place: None, key, spec: CIRCUMFERENCE };
    let what = "the size on the driven tyre: tyre = \"130/80-17\" or \"4.00-18\"; or chalk it, roll one turn with the rider on, \
                and measure: tyre_circumference = \"1.95 m\"";
    match (size, measured) {
        (None, Some(figure)) => figure,
        (None, None) => {
            ledger.note(r.missing("tyre", what));
            nothing(r.path(KEY))
        }
        (Some(raw), Some(figure)) => {
            ledger.note(
                Problem::error("the tyre is given twice, by its size and by its circumference")
                    .at(figure.place.clone(), "the circumference")
                    .against(Some(raw.place), "the size")
                    .help("keep one: the circumference if it was measured"),
            );
            nothing(figure.key)
        }
        (Some(raw), None) => {
            let path = r.path("tyre");
            let DeValue::String(text) = raw.value else {
                ledger.note(
                    Problem::error(format!("`{path}` has to be a text"))
                        .at(Some(raw.place), kind(raw.value))
                        .help(what),
                );
                return nothing(r.path(KEY));
            };
            let Some(diameter) = tyre::diameter(text) else {
                ledger.note(
                    Problem::error(format!("`{path}` is not a size of a tyre"))
                        .at(Some(raw.place), clean_line(text, 40))
                        .allowed("width/aspect-rim as 130/80-17, or width-rim in inches as 4.00-18; rims of 8 to 30")
                        .help(what),
                );
                return nothing(r.path(KEY));
            };
            ledger.given(&path, clean_line(text, 40), None, "", &raw.place);
            let rule = format!("3.05 x {}, the diameter of this size", CIRCUMFERENCE.show(diameter));
            let estimate = Estimate::times(diameter, ROLLED.0, ROLLED.1, &rule, ROLLED_SOURCE);
            let mut figure = ledger.estimated(&r.path(KEY), &CIRCUMFERENCE, estimate.held(&CIRCUMFERENCE));
            figure.place = None;
            figure
        }
    }
}

/// The gears, the lowest first.
fn read_gears(r: &mut Reader<'_>, ledger: &mut Ledger) -> Vec<Figure> {
    let what = "one ratio for each gear, the first one first: gears = [\"32/13\", \"27/17\", 1.0], or gears = [1] without a gearbox";
    let path = r.path("gears");
    let Some(raw) = r.raw(ledger, "gears") else {
        ledger.note(r.missing("gears", what));
        return Vec::new();
    };
    let list = match raw.value {
        DeValue::Array(list) if (1..=MOST_GEARS).contains(&list.len()) => list,
        DeValue::Array(list) => {
            ledger.note(
                Problem::error(format!("`{path}` has {} gears", list.len()))
                    .at(Some(raw.place), "this list")
                    .allowed(format!("1 to {MOST_GEARS} gears"))
                    .help(what),
            );
            return Vec::new();
        }
        other => {
            ledger
                .note(Problem::error(format!("`{path}` has to be a list")).at(Some(raw.place), kind(other)).help(what));
            return Vec::new();
        }
    };
    let read = |(i, item)| read_quantity(ledger, &format!("{path}[{i}]"), &r.placed(item), &GEAR);
    let gears: Vec<Figure> = list.iter().enumerate().map(read).collect();
    for (i, pair) in gears.windows(2).enumerate() {
        if pair[1].kept >= pair[0].kept {
            ledger.note(
                Problem::error(format!("gear {} is not taller than gear {}", i + 2, i + 1))
                    .at(pair[1].place.clone(), pair[1].label())
                    .against(pair[0].place.clone(), pair[0].label())
                    .allowed(format!("below {}", pair[0].shown()))
                    .help("the ratios fall from the first gear to the last: turns of the input for one of the output"),
            );
        }
    }
    gears
}

/// Road speed at the highest engine speed in the highest gear outside which the gearing is unlikely [km/h].
const LIKELY_TOP: (f64, f64) = (40.0, 320.0);

/// Notes a vehicle that hardly fits the engine.
pub fn check(ledger: &mut Ledger, road: &ReadRoad, highest_rpm: f64) {
    let Some(speed) = road.vehicle.speed(highest_rpm, road.vehicle.gears.len()).map(|v| 3.6 * v) else { return };
    if speed.is_finite() && !(LIKELY_TOP.0..=LIKELY_TOP.1).contains(&speed) {
        ledger.note(
            Problem::warning(format!(
                "the gearing is unusual: {speed:.0} km/h at {highest_rpm:.0} rpm in the highest gear"
            ))
            .at(road.place.clone(), "in this table")
            .help(format!(
                "usual: {} to {} km/h; is each ratio the turns of what drives for one turn of what is driven?",
                LIKELY_TOP.0, LIKELY_TOP.1
            )),
        );
    }
}

/// The one vehicle of a set-up: of the set-up itself or of its engine; that both have one is noted.
pub fn one_of(ledger: &mut Ledger, own: Option<ReadRoad>, of_engine: Option<ReadRoad>) -> Option<ReadRoad> {
    if let (Some(own), Some(other)) = (&own, &of_engine) {
        ledger.note(
            Problem::error("[road] is given twice, in the set-up and with the engine")
                .at(own.place.clone(), "in the set-up")
                .against(other.place.clone(), "with the engine")
                .help("keep the one with the engine if several carburettors share it"),
        );
    }
    own.or(of_engine)
}
