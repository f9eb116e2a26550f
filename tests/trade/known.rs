//! The known engine, and the ways the checks run it.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;
use std::sync::atomic::{AtomicUsize, Ordering};

use bellmouth::rig::settings::Settings;
use bellmouth::setup::{Setup, load, load_text};
use bellmouth::study::idle;
use bellmouth::study::point::{PointResult, solve};

/// The set-up of the known engine.
const TEXT: &str = include_str!("single_650.toml");

/// Cells for full throttle: the program's own default.
pub const FINE: f64 = 5e-3;
/// Cells for idle, where waves in the intake do not matter: against cells of 5 mm the filling moves by less than
/// 0.5 % and the mixture by less than 0.2 of AFR.
pub const COARSE: f64 = 20e-3;

/// A file of this repository.
pub fn path(relative: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(relative)
}

/// Settings with cells of `cell` [m].
pub fn settings(cell: f64) -> Settings {
    Settings { cell_size: cell, ..Settings::default() }
}

/// The known engine as it stands in its file.
pub fn engine() -> Setup {
    load(&path("tests/trade/single_650.toml"), None).unwrap().value
}

/// The known engine after the mechanic has changed lines of its file, each from the first text to the second.
pub fn engine_with(changes: &[(&str, &str)]) -> Setup {
    let mut text = TEXT.to_owned();
    for (line, changed) in changes {
        assert_eq!(text.matches(line).count(), 1, "`{line}` stands once in the file");
        text = text.replace(line, changed);
    }
    load_text("single_650.toml", &text).unwrap().value
}

/// Lines of the known engine's needle for a taper that starts at an eighth of lift and ends on the same diameter: 1.29 degrees
/// included.
pub fn early_taper() -> Vec<(String, String)> {
    let (at_eighth, at_full) = (2.525, 1.740);
    let old = ["2.525", "2.394", "2.263", "2.132", "2.001", "1.870"];
    old.iter()
        .enumerate()
        .map(|(i, old)| {
            let station = 21.9 + 5.0 * i as f64;
            let new = at_eighth - (at_eighth - at_full) * (i as f64 + 1.0) / 7.0;
            (format!("[\"{station:.1} mm\", \"{old} mm\"]"), format!("[\"{station:.1} mm\", \"{new:.4} mm\"]"))
        })
        .collect()
}

/// One operating point from a cold start, which has to converge.
pub fn run(setup: &Setup, throttle: f64, rpm: f64, cell: f64) -> PointResult {
    let (result, _) = solve(&setup.machine, throttle, rpm, None, &settings(cell));
    assert!(result.converged, "{throttle} at {rpm} rpm: {:?} {:?}", result.status, result.note);
    result
}

/// Throttle [lift over bore] at which the known engine idles at 1200, 1300 and 1400 rpm, by `study::idle::find`.
pub fn idle_throttles() -> &'static [(f64, f64)] {
    static IDLE: OnceLock<Vec<(f64, f64)>> = OnceLock::new();
    IDLE.get_or_init(|| {
        let setup = engine();
        let find = |rpm: &f64| (*rpm, idle::find(&setup.machine, *rpm, &settings(COARSE)).unwrap());
        side_by_side(&[1200.0, 1300.0, 1400.0], find)
    })
}

/// Throttle [lift over bore] at which the known engine idles at 1300 rpm.
pub fn idle_throttle() -> f64 {
    idle_throttles()[1].1
}

/// Fuel over air [-] of a point, by what was metered.
pub fn richness(point: &PointResult) -> f64 {
    1.0 / point.afr_metered.unwrap()
}

/// Change [%] from `before` to `after`.
pub fn percent(before: f64, after: f64) -> f64 {
    100.0 * (after / before - 1.0)
}

/// Volume flow [cc/min] of `g_s` [g/s] of the set-up's fuel.
pub fn cc_min(setup: &Setup, g_s: f64) -> f64 {
    60.0 * 1e3 * g_s / setup.machine.fuel.density
}

/// `work` on each of `jobs` on two threads; results in the order of the jobs.
pub fn side_by_side<J: Sync, R: Send>(jobs: &[J], work: impl Fn(&J) -> R + Sync) -> Vec<R> {
    let next = AtomicUsize::new(0);
    let worker = || {
        let mut done = Vec::new();
        while let Some((i, job)) = {
            let i = next.fetch_add(1, Ordering::Relaxed);
            jobs.get(i).map(|j| (i, j))
        } {
            done.push((i, work(job)));
        }
        done
    };
    let mut all: Vec<(usize, R)> = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..2).map(|_| scope.spawn(worker)).collect();
        workers.into_iter().flat_map(|w| w.join().unwrap()).collect()
    });
    all.sort_by_key(|(i, _)| *i);
    all.into_iter().map(|(_, result)| result).collect()
}
