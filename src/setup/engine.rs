//! The engine of the file.

use super::exhaust;
use super::ledger::{Figure, Ledger};
use super::pipe::{self, Usual};
use super::piston_clearance;
use super::reader::Reader;
use super::road::{self, ReadRoad};
use super::spec::{COMMON, Estimate, Spec};
use super::timing::Side;
use super::valve;
use crate::diagnostics::Problem;
use crate::hardware::crank::Crank;
use crate::hardware::engine::{Combustion, Engine, Friction, Spark, Walls};
use crate::units::Dimension::{Angle, Length, Number, Power, Pressure, Share, Speed, Temperature};

const BORE: Spec = Spec::new(Length, "mm", (20.0, 200.0), (35.0, 115.0));
const STROKE: Spec = Spec::new(Length, "mm", (15.0, 250.0), (30.0, 120.0));
const COMPRESSION: Spec = Spec::new(Number, ":1", (4.0, 18.0), (5.5, 14.0));
const ROD: Spec = Spec::new(Length, "mm", (20.0, 500.0), (60.0, 250.0));
const PIN_OFFSET: Spec = Spec::new(Length, "mm", (-12.5, 12.5), (-2.0, 2.0));
const IDLE: Spec = Spec::new(Speed, "rpm", (300.0, 4000.0), (600.0, 2000.0));
const HIGHEST: Spec = Spec::new(Speed, "rpm", (1000.0, 20000.0), (2500.0, 13000.0));
const DURATION: Spec = Spec::new(Angle, "deg", (15.0, 150.0), (35.0, 100.0));
const SPARK: Spec = Spec::new(Angle, "deg", (-40.0, 80.0), (0.0, 45.0));
const SPARK_SPEED: Spec = Spec::new(Speed, "rpm", (300.0, 20000.0), (800.0, 8000.0));
const WALLS: Spec = Spec::new(Temperature, "degC", (0.0, 400.0), (80.0, 280.0));
const FACTOR: Spec = Spec::new(Number, "", (0.0, 4.0), (0.5, 2.0));
const FRICTION: Spec = Spec::new(Pressure, "bar", (0.0, 4.0), (0.2, 2.5));
const FRICTION_SPEED: Spec = Spec::new(Pressure, "bar", (0.0, 1.0), (0.02, 0.2));
const FRICTION_SQUARED: Spec = Spec::new(Pressure, "bar", (0.0, 0.1), (0.0002, 0.003));
const ACCESSORIES: Spec = Spec::new(Power, "W", (0.0, 3000.0), (0.0, 600.0));
const PEAK_SHARE: Spec = Spec::new(Share, "%", (0.0, 5.0), (0.2, 1.0));

const CALIBRATED: &str = "calibrated on the idle of a 650-class single (common practice, no source)";
const CHEN_FLYNN: &str = "Chen & Flynn 1965 (from memory), middle of the published constants";

/// An engine with the figures that the carburettor is held against.
#[derive(Debug)]
pub struct ReadEngine {
    /// The part.
    pub engine: Engine,
    /// The vehicle it drives, if its table says so.
    pub road: Option<ReadRoad>,
}

/// Reads the engine's table; `carburettor_bore` and `air` temperature, both in SI, feed two estimates.
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger, carburettor_bore: f64, air: f64) -> ReadEngine {
    let r = &mut reader;
    let bore = r.required(ledger, "bore", &BORE, "the cylinder's bore, from the manual or a caliper: bore = \"88 mm\"");
    let stroke = r.required(ledger, "stroke", &STROKE, "the stroke, from the manual: stroke = \"82 mm\"");
    let compression = Estimate::fixed(&COMPRESSION, 9.0, (8.3, 9.5), "9:1, a mild air-cooled single", COMMON);
    let compression = r.estimated(ledger, "compression", &COMPRESSION, compression);
    ledger.advise(
        &compression,
        "the ratio of the volumes over the piston at its lowest and its highest: a road single has 8 to 11",
    );
    let rod = Estimate::times(stroke.kept, 1.8, (1.7, 1.9), "1.8 x stroke", COMMON);
    let rod = r.estimated(ledger, "rod_length", &ROD, rod);
    let offset = Estimate::fixed(&PIN_OFFSET, 0.0, (0.0, 1.0), "a wrist pin in the middle of the piston", COMMON);
    let offset = r.estimated(ledger, "pin_offset", &PIN_OFFSET, offset);
    let idle = Estimate::fixed(&IDLE, 1300.0, (1200.0, 1400.0), "1300 rpm, a big single", COMMON);
    let idle = r.estimated(ledger, "idle", &IDLE, idle);
    let by_speed = |speed: f64| 30.0 * speed / stroke.kept;
    let highest = Estimate {
        value: by_speed(18.0),
        low: by_speed(16.0),
        high: by_speed(20.0),
        rule: "mean piston speed of 18 m/s".into(),
        source: COMMON,
    };
    let highest = r.estimated(ledger, "highest", &HIGHEST, highest);
    check_crank(ledger, &stroke, &rod);
    check_offset(ledger, &stroke, &offset);
    let crank = Crank {
        bore: bore.kept,
        stroke: stroke.kept,
        rod_length: rod.kept,
        pin_offset: offset.kept,
        compression_ratio: compression.kept,
    };
    check_speeds(ledger, &idle, &highest);

    let mut inlet = r.table(ledger, "inlet_valve");
    let inlet_valve = valve::read(&mut inlet, ledger, Side::Inlet, &bore);
    inlet.close(ledger);
    let mut exhaust = r.table(ledger, "exhaust_valve");
    let exhaust_valve = valve::read(&mut exhaust, ledger, Side::Exhaust, &bore);
    exhaust.close(ledger);

    for (read, side) in [(&inlet_valve, Side::Inlet), (&exhaust_valve, Side::Exhaust)] {
        let place = read.lift_place.clone().or_else(|| compression.place.clone());
        piston_clearance::check(ledger, &crank, &read.valve, side, place);
    }

    let boot = Usual {
        length: 55.0,
        lengths: (40.0, 70.0),
        warmer: 15.0,
        warmths: (0.0, 40.0),
        bends: (0.0, (0.0, 0.2), "0 of a velocity head: a straight boot"),
        heat_factor: 1.0,
    };
    let port = Usual {
        length: 105.0,
        lengths: (90.0, 120.0),
        warmer: 70.0,
        warmths: (30.0, 120.0),
        bends: (0.3, (0.15, 0.6), "0.3 of a velocity head: one tight bend, its radius as large as its diameter"),
        heat_factor: pipe::PORT_HEAT,
    };
    let boot_from = Estimate::times(carburettor_bore, 1.0, (0.97, 1.1), "the carburettor's bore", COMMON);
    let mut t = r.table(ledger, "boot");
    let (boot, boot_end) = pipe::read(&mut t, ledger, "boot", boot, (boot_from, None), air);
    t.close(ledger);
    let port_from = Estimate::times(boot_end.kept, 1.0, (0.9, 1.05), "the boot's end", COMMON);
    let several = inlet_valve.count.kept.sqrt() * inlet_valve.throat.kept;
    let port_to = Estimate::times(several, 1.0, (0.85, 1.0), "as much area as the throats of the inlet valves", COMMON);
    let mut t = r.table(ledger, "port");
    let (port, _) = pipe::read(&mut t, ledger, "port", port, (port_from, Some(port_to)), air);
    t.close(ledger);

    let mut t = r.table(ledger, "exhaust");
    let throat = exhaust_valve.count.kept.sqrt() * exhaust_valve.throat.kept;
    let exhaust =
        exhaust::read(&mut t, ledger, exhaust::Usual { throat, swept: crank.swept_volume(), highest: highest.kept });
    t.close(ledger);

    let engine = Engine {
        crank,
        inlet_valve: inlet_valve.valve,
        exhaust_valve: exhaust_valve.valve,
        inlet: vec![boot, port],
        exhaust,
        combustion: read_combustion(r, ledger),
        walls: read_walls(r, ledger),
        friction: read_friction(r, ledger),
        idle_rpm: idle.kept,
        highest_rpm: highest.kept,
    };
    let road = road::read(r, ledger);
    reader.close(ledger);
    ReadEngine { engine, road }
}

fn read_combustion(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Combustion {
    let mut t = reader.table(ledger, "burning");
    let duration = "68 degrees from spark to end at lambda 0.88 without residual gas, 12 m/s of piston and full throttle; 10 to 90 % in half";
    let duration = Estimate::fixed(&DURATION, 68.0, (58.0, 78.0), duration, COMMON);
    let duration = t.estimated(ledger, "duration", &DURATION, duration);
    let words = [("advance", false), ("best torque", true)];
    let what = "come on the line of the advance mechanism (`spark_slow`, `spark_full` and their speeds), or where torque is \
                best at each speed and load";
    // Known to the reader even when the file leaves it out.
    let given = t.raw(ledger, "spark").is_some();
    let best = given && t.choice(ledger, "spark", &words, what).unwrap_or(false);
    let slow = "8 degrees before top centre at idle, the centrifugal advance at rest";
    let slow = Estimate::fixed(&SPARK, 8.0, (5.0, 12.0), slow, COMMON);
    let slow = t.estimated(ledger, "spark_slow", &SPARK, slow);
    let late = "degrees before the firing top centre, negative after it: a spark later than 40 degrees after it is not computed";
    ledger.advise(&slow, late);
    let until = Estimate::fixed(&SPARK_SPEED, 1500.0, (1300.0, 2000.0), "advance begins at 1500 rpm", COMMON);
    let until = t.estimated(ledger, "slow_until", &SPARK_SPEED, until);
    let full = "30 degrees before top centre, fully advanced";
    let full = Estimate::fixed(&SPARK, 30.0, (26.0, 36.0), full, COMMON);
    let full = t.estimated(ledger, "spark_full", &SPARK, full);
    ledger.advise(&full, late);
    let from = Estimate::fixed(&SPARK_SPEED, 3500.0, (3000.0, 4500.0), "fully advanced from 3500 rpm", COMMON);
    let from = t.estimated(ledger, "full_from", &SPARK_SPEED, from);
    t.close(ledger);
    if from.kept <= until.kept {
        ledger.note(
            Problem::error("the advance ends before it begins")
                .at(from.place.clone(), from.label())
                .against(until.place.clone(), format!("begins at {}", until.label()))
                .help("`slow_until` is the speed at which the advance begins, `full_from` the one at which it is full"),
        );
    }
    let advance = Spark::Advance {
        slow: slow.kept,
        full: full.kept,
        slow_until: until.kept,
        full_from: from.kept.max(until.kept + 1.0),
    };
    Combustion { duration: duration.kept, spark: if best { Spark::BestTorque } else { advance } }
}

fn read_walls(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Walls {
    let mut t = reader.table(ledger, "walls");
    let wall =
        Estimate::fixed(&WALLS, 180.0, (140.0, 220.0), "180 degC, mean of head, piston and liner, air-cooled", COMMON);
    let temperature = t.estimated(ledger, "temperature", &WALLS, wall);
    let factor =
        "1.2 x the published heat transfer, which comes from larger engines; two printings of it differ by 14 %";
    let factor = Estimate::fixed(&FACTOR, 1.2, (1.0, 1.5), factor, "Woschni, in Heywood 1988, eq. 12.71 (from memory)");
    let factor = t.estimated(ledger, "heat_factor", &FACTOR, factor);
    t.close(ledger);
    Walls { temperature: temperature.kept, heat_factor: factor.kept }
}

fn read_friction(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Friction {
    let mut t = reader.table(ledger, "friction");
    // Calibrated: 0.45 bar is the middle of the published constants for the bare engine; primary drive, gearbox in oil and
    // crankcase pumping come on top. The sum was set once so that a 650-class single idles at a filling of 0.25 or more
    // (common practice, no source); brake power and consumption check it.
    let rule =
        "1.05 bar at high speed: 0.45 for the bare engine, the rest for primary drive, gearbox and crankcase pumping";
    let constant = Estimate::fixed(&FRICTION, 1.05, (0.4, 1.3), rule, CALIBRATED);
    let constant = t.estimated(ledger, "constant", &FRICTION, constant);
    let peak = Estimate::fixed(&PEAK_SHARE, 0.5, (0.4, 0.6), "0.5 % of the highest cylinder pressure", CHEN_FLYNN);
    let peak = t.estimated(ledger, "peak_pressure", &PEAK_SHARE, peak);
    let speed =
        Estimate::fixed(&FRICTION_SPEED, 0.09, (0.08, 0.1), "0.09 bar per m/s of mean piston speed", CHEN_FLYNN);
    let speed = t.estimated(ledger, "per_speed", &FRICTION_SPEED, speed);
    let rule = "0.0009 bar per (m/s)^2 of mean piston speed";
    let squared = Estimate::fixed(&FRICTION_SQUARED, 0.0009, (0.0007, 0.0011), rule, CHEN_FLYNN);
    let squared = t.estimated(ledger, "per_speed_squared", &FRICTION_SQUARED, squared);
    let rule = "250 W at any speed: lights, ignition and losses of an alternator";
    let accessories = Estimate::fixed(&ACCESSORIES, 250.0, (150.0, 400.0), rule, COMMON);
    let accessories = t.estimated(ledger, "accessories", &ACCESSORIES, accessories);
    t.close(ledger);
    Friction {
        accessories: accessories.kept,
        constant: constant.kept,
        peak_pressure: peak.kept,
        speed: speed.kept,
        speed_squared: squared.kept,
    }
}

fn check_crank(ledger: &mut Ledger, stroke: &Figure, rod: &Figure) {
    if rod.kept < 1.2 * stroke.kept {
        ledger.note(
            Problem::error("the connecting rod is too short for the stroke")
                .at(rod.place.clone(), rod.label())
                .against(stroke.place.clone(), format!("stroke {}", stroke.label()))
                .allowed(format!("at least 1.2 x stroke: {}", rod.spec.show(1.2 * stroke.kept)))
                .help("measure between the centres of the pin and the big end, usually 1.7 to 1.9 x stroke"),
        );
    }
}

/// Largest pin offset over the stroke [-]. Common practice, no source: 0.5 to 2 % is built.
const MOST_OFFSET: f64 = 0.05;

fn check_offset(ledger: &mut Ledger, stroke: &Figure, offset: &Figure) {
    let most = MOST_OFFSET * stroke.kept;
    if offset.kept.abs() > most * (1.0 + 1e-9) {
        ledger.note(
            Problem::error("the wrist pin is too far off the middle of the piston")
                .at(offset.place.clone(), offset.label())
                .against(stroke.place.clone(), format!("stroke {}", stroke.label()))
                .allowed(format!("at most 5 % of the stroke to either side: {}", offset.spec.show(most)))
                .help("measure from the pin's middle to the piston's middle, positive towards the thrust side; usually 0 to 1 mm"),
        );
    }
}

fn check_speeds(ledger: &mut Ledger, idle: &Figure, highest: &Figure) {
    if idle.kept >= highest.kept {
        ledger.note(
            Problem::error("the idle speed is not below the highest speed")
                .at(idle.place.clone().or_else(|| highest.place.clone()), format!("idle {}", idle.label()))
                .against(highest.place.clone(), format!("highest {}", highest.label())),
        );
    }
}
