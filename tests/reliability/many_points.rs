//! Many points: memory grows with their numbers, not with their states, and the last are as quick as the first.

#![allow(clippy::print_stdout)] // the child tells the parent

use std::num::NonZeroUsize;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use std::time::Instant;

use bellmouth::cli::journal::Journal;
use bellmouth::cli::watch;
use bellmouth::cli::whose::Whose;
use bellmouth::plot::MAP_FIGURES;
use bellmouth::report::{Sink, map_csv};
use bellmouth::rig::settings::Settings;
use bellmouth::study::map::{Grid, MapResult};
use bellmouth::study::point::{PointResult, Status};
use bellmouth::study::sweep::PointSolver;

use crate::again::alone;
use crate::stage;

/// Memory that each further point may take [bytes]: its numbers while they are computed, and as CSV text.
const MOST_EACH: f64 = 2_500.0;
/// Most memory of a map of a hundred thousand points [kB].
const MOST_IN_ALL: f64 = 200_000.0;

/// From so many points on the pictures are drawn too.
const DRAWN: usize = 100_000;

/// A point of full length without the gas; its state is as large as that of a real machine.
struct Cheap;

impl PointSolver for Cheap {
    type State = Vec<f64>;

    fn solve(&self, throttle: f64, rpm: f64, parents: &[Vec<f64>]) -> (PointResult, Option<Vec<f64>>) {
        let from = parents.first().map_or(1.0, |state| state[0]);
        let value = Some(throttle / 3.0 + rpm.sqrt() + 1e-3 * from);
        let point = PointResult {
            converged: true,
            status: Status::Converged,
            note: None,
            cycles: 9,
            afr: value,
            lambda: value,
            afr_metered: value,
            ve: value,
            torque_nm: value,
            power_kw: value,
            air_g_s: value,
            fuel_g_s: value,
            fuel_pilot_g_s: value,
            fuel_main_g_s: value,
            fuel_starter_g_s: value,
            standoff_g_s: value,
            nozzle_depression_pa: value,
            manifold_pa: value,
            residual: value,
            residual_gas: value,
            imep_pa: value,
            fmep_pa: value,
            peak_air_speed: value,
            imep_gross_pa: value,
            pmep_pa: value,
            bmep_pa: value,
            trapped_lambda: value,
            fuel_g_kwh: value,
            fuel_l_h: value,
            ..PointResult::failed(throttle, rpm, 9, String::new())
        };
        (point, Some(vec![0.5 * from; 4_000]))
    }
}

/// Forgets the highest memory so far, where the system can: the hash of the program's file takes some before the map.
fn forget_peak() {
    let _ = std::fs::write("/proc/self/clear_refs", "5");
}

/// Highest memory that this process had since [kB]; none where the system does not say.
fn peak() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|line| line.strip_prefix("VmHWM:")?.trim().strip_suffix(" kB")?.trim().parse().ok())
}

/// The child of the tests below: a map of `BELLMOUTH_POINTS` points with journal and CSV file, in a process of its own.
#[test]
#[ignore = "the tests below run it, each time with a number of points"]
fn a_map_of_many_points() {
    let points: usize = std::env::var("BELLMOUTH_POINTS").unwrap_or("1000".to_owned()).parse().unwrap();
    let throttles: Vec<f64> = (1..=100).map(|i| f64::from(i) / 100.0).collect();
    let speeds = (0..points / throttles.len()).map(|i| 1000.0 + i as f64 / 7.0).collect();
    let grid = Grid { throttles, speeds };
    let folder = tempfile::tempdir().unwrap();
    let sink = Sink::open(folder.path()).unwrap();
    let whose = Whose::this(Settings::default(), &grid, serde_json::Value::Null);
    let mut journal = Journal::begin(&sink, &whose, false).unwrap();
    forget_peak();
    let begun = Instant::now();
    let stop = Arc::new(AtomicBool::new(false));
    let reached = watch::run(Cheap, &grid, NonZeroUsize::new(2).unwrap(), &stop, &mut journal).unwrap();
    assert_eq!((reached.points.len(), reached.interrupted), (points, false));
    let map = MapResult {
        schema: 1,
        version: String::new(),
        name: "many".to_owned(),
        stoichiometric: 14.6,
        friction_form: String::new(),
        correction: None,
        grid,
        targets: Vec::new(),
        points: reached.points,
        interrupted: false,
        setup: serde_json::Value::Null,
        steps: None,
        spots: Vec::new(),
        road: None,
    };
    let path = sink.write("map.csv", map_csv(&map).unwrap().as_bytes()).unwrap();
    assert_eq!(std::fs::read_to_string(path).unwrap().lines().count(), points + 1);
    journal.remove().unwrap();
    println!("{} kB in {} s", peak().unwrap_or(0.0), begun.elapsed().as_secs_f64());
    if points >= DRAWN {
        draw(&map);
    }
}

/// The pictures of so many points.
fn draw(map: &MapResult) {
    for (name, figure) in MAP_FIGURES {
        let begun = Instant::now();
        let bytes = figure(map, &bellmouth::units::Units::default()).unwrap();
        assert!(bytes.len() > 1000);
        println!("{name} {:.2} s", begun.elapsed().as_secs_f64());
    }
}

/// Highest memory [kB] and time [s] of a map of so many points.
fn cost(points: usize) -> (f64, f64) {
    let ran = alone("many_points::a_map_of_many_points", &[("BELLMOUTH_POINTS", points.to_string())]);
    assert_eq!(ran.code, Some(0), "{} {}", ran.stdout, ran.stderr);
    let line = ran.stdout.lines().find(|line| line.contains(" kB in ")).unwrap();
    let number = |text: &str| text.split(' ').find_map(|word| word.parse().ok()).unwrap();
    let (memory, time) = line.split_once(" kB in ").unwrap();
    (number(&memory[memory.rfind(' ').map_or(0, |at| at + 1)..]), number(time))
}

/// Asserts the bounds and says what was found.
fn bounded(name: &str, few: usize, many: usize) {
    let (small, _) = cost(few);
    let (large, took) = cost(many);
    let each = 1e3 * (large - small) / (many - few) as f64;
    stage(
        name,
        &format!("{many} in {took:.1} s, at most {:.0} MB, {each:.0} bytes each of {MOST_EACH:.0}", 1e-3 * large),
    );
    assert!(each < MOST_EACH && large < MOST_IN_ALL, "{each} bytes for each point, {large} kB in all");
}

#[test]
fn ten_thousand_points_take_little_memory() {
    bounded("many points", 1_000, 10_000);
}

/// Ten times as long as the one above: `.ci/weekly` runs it.
#[test]
#[ignore = "ten seconds and more"]
fn a_hundred_thousand_points_take_little_memory() {
    bounded("very many points", 10_000, 100_000);
}
