//! The opening of the throttle that `snap` runs: `[snap]`.

use serde::Serialize;

use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::engine::Engine;
use crate::hardware::road_vehicle::RoadVehicle;
use crate::units::Dimension::{Inertia, Number, Share, Speed, Time};

const RPM: Spec = Spec::new(Speed, "rpm", (100.0, 30_000.0), (800.0, 9000.0));
const FROM: Spec = Spec::new(Share, "%", (1.0, 99.0), (2.0, 60.0));
const TO: Spec = Spec::new(Share, "%", (2.0, 100.0), (30.0, 100.0));
const TIME: Spec = Spec::new(Time, "s", (0.01, 10.0), (0.05, 2.0));
const RUN: Spec = Spec::new(Time, "s", (0.1, 20.0), (0.5, 6.0));
const INERTIA: Spec = Spec::new(Inertia, "kg m2", (0.001, 100.0), (0.03, 5.0));
const GEAR: Spec = Spec::new(Number, "", (1.0, 10.0), (1.0, 7.0));
const FILM_SHARE: Spec = Spec::new(Share, "%", (0.0, 100.0), (20.0, 60.0));
const FILM_TIME: Spec = Spec::new(Time, "s", (0.01, 60.0), (0.2, 30.0));

/// Speeds that a snap may start from, over idle and over the highest speed [-].
const SPEEDS: (f64, f64) = (0.7, 1.2);
/// Opening before, opening after, and time that they are estimated at [-, -, s].
const USUAL: (f64, f64, f64) = (0.0625, 1.0, 0.2);

/// One opening of the throttle at a speed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SnapPlan {
    /// Speed when the throttle begins to open [rpm].
    pub rpm: f64,
    /// Throttle before [-].
    pub from: f64,
    /// Throttle after [-].
    pub to: f64,
    /// Time in which it is opened [s].
    pub time: f64,
    /// Time from the beginning of the opening to the end of the run [s].
    pub run: f64,
    /// What the engine accelerates, at the crank, beside a vehicle in gear [kg m2].
    pub inertia: Option<f64>,
    /// Gear in which it accelerates the vehicle, counted from 1; without a gear and an inertia the speed is held.
    pub gear: Option<usize>,
    /// Share of the metered fuel that lands on the walls [-]; none for the published fit.
    pub film_share: Option<f64>,
    /// Time constant of the film [s]; none for the published fit.
    pub film_time: Option<f64>,
}

impl SnapPlan {
    /// Whether the speed is held.
    #[must_use]
    pub fn held(&self) -> bool {
        self.inertia.is_none() && self.gear.is_none()
    }
}

/// Reads the table of a machine whose engine is `engine`, in a vehicle if there is one.
pub fn read(
    mut reader: Reader<'_>,
    ledger: &mut Ledger,
    engine: Option<&Engine>,
    road: Option<&RoadVehicle>,
) -> SnapPlan {
    let r = &mut reader;
    let (idle, highest) = engine.map_or((f64::NAN, f64::NAN), |e| (e.idle_rpm, e.highest_rpm));
    let half = Estimate::times(highest, 0.5, (0.35, 0.65), "half of the highest speed", COMMON);
    let rpm = r.estimated(ledger, "rpm", &RPM, half);
    let from = Estimate::times(USUAL.0, 1.0, (0.5, 2.0), "a sixteenth, just off idle", COMMON);
    let from = r.estimated(ledger, "from", &FROM, from);
    let to = r.estimated(ledger, "to", &TO, Estimate::times(USUAL.1, 1.0, (0.75, 1.0), "full throttle", COMMON));
    let time = Estimate::fixed(&TIME, USUAL.2, (0.1, 0.5), "whacked open in 0.2 s", COMMON);
    let time = r.estimated(ledger, "time", &TIME, time);
    let run = Estimate::plus(
        time.kept,
        1.3,
        (0.8, 2.0),
        "the opening and 1.3 s: a squirt and two of the film's times",
        COMMON,
    );
    let run = r.estimated(ledger, "run", &RUN, run);
    let inertia = r.optional(ledger, "inertia", &INERTIA).map(|f| f.kept);
    let gear = r.optional(ledger, "gear", &GEAR);
    let film_share = r.optional(ledger, "film_share", &FILM_SHARE).map(|f| f.kept);
    let film_time = r.optional(ledger, "film_time", &FILM_TIME).map(|f| f.kept);
    reader.close(ledger);
    check_speed(ledger, &rpm, idle, highest);
    check_opening(ledger, &from, &to);
    check_run(ledger, &time, &run);
    if let Some(gear) = &gear {
        check_gear(ledger, gear, road);
    }
    SnapPlan {
        rpm: rpm.kept,
        from: from.kept,
        to: to.kept,
        time: time.kept,
        run: run.kept,
        inertia,
        gear: gear.map(|g| g.kept as usize).filter(|g| *g > 0),
        film_share,
        film_time,
    }
}

fn check_speed(ledger: &mut Ledger, rpm: &Figure, idle: f64, highest: f64) {
    let (low, high) = (SPEEDS.0 * idle, SPEEDS.1 * highest);
    if rpm.kept < low || rpm.kept > high {
        ledger.note(
            Problem::error(format!("`{}` is outside the engine's speeds", rpm.key))
                .at(rpm.place.clone(), rpm.label())
                .allowed(format!("{low:.0} rpm to {high:.0} rpm"))
                .help(format!("this engine idles at {idle:.0} rpm and goes to {highest:.0} rpm")),
        );
    }
}

fn check_opening(ledger: &mut Ledger, from: &Figure, to: &Figure) {
    if to.kept <= from.kept {
        ledger.note(
            Problem::error("the throttle ends no wider than it starts")
                .at(to.place.clone().or_else(|| from.place.clone()), format!("to {}", to.label()))
                .against(from.place.clone(), format!("from {}", from.label()))
                .allowed(format!("a throttle above {}", from.shown()))
                .help("a snap opens the throttle: `from` is before it, `to` after it"),
        );
    }
}

fn check_run(ledger: &mut Ledger, time: &Figure, run: &Figure) {
    if run.kept <= time.kept {
        ledger.note(
            Problem::error("the throttle takes longer to open than the run lasts")
                .at(time.place.clone().or_else(|| run.place.clone()), format!("opens in {}", time.label()))
                .against(run.place.clone(), format!("run of {}", run.label()))
                .allowed(format!("a run longer than {}", time.shown()))
                .help("`run` counts from the beginning of the opening; the hole often comes after its end"),
        );
    }
}

fn check_gear(ledger: &mut Ledger, gear: &Figure, road: Option<&RoadVehicle>) {
    let at = |problem: Problem| problem.at(gear.place.clone(), format!("gear {}", gear.kept));
    let Some(road) = road else {
        ledger.note(
            at(Problem::error("a gear is asked for, but the file says nothing of the vehicle"))
                .help("describe it under [road], or give what the engine accelerates: inertia = \"0.3 kg m2\""),
        );
        return;
    };
    let count = road.gears.len();
    if gear.kept.is_finite() && ((gear.kept - gear.kept.round()).abs() > 1e-9 || gear.kept > count as f64) {
        ledger.note(
            at(Problem::error(format!("`{}` is no gear of this vehicle", gear.key))).allowed(format!("1 to {count}")),
        );
    }
}
