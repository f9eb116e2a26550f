//! The demonstration with an air box or a pod filter in front: books, a periodic cycle, and the bowl's vent.

use std::path::Path;

use bellmouth::hardware::machine::Machine;
use bellmouth::setup::load;
use bellmouth::study::point::{self, PointResult};

use crate::{coarse, cold, found};

/// The demonstration with more lines at its end, and its bowl vented into the part named.
fn demo(more: &str, vent: Option<&str>) -> Machine {
    let scenarios = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios");
    let folder = tempfile::tempdir().unwrap();
    std::fs::create_dir(folder.path().join("engines")).unwrap();
    std::fs::copy(scenarios.join("engines/sidecar_499.toml"), folder.path().join("engines/sidecar_499.toml")).unwrap();
    let mut text = std::fs::read_to_string(scenarios.join("sidecar_38mm.toml")).unwrap();
    if let Some(part) = vent {
        let changed = text.replacen("[carburettor.bowl]", &format!("[carburettor.bowl]\nvent = \"{part}\""), 1);
        assert_ne!(changed, text, "the demonstration has no bowl");
        text = changed;
    }
    let path = folder.path().join("demo.toml");
    std::fs::write(&path, format!("{text}\n{more}\n")).unwrap();
    load(&path, None).unwrap_or_else(|report| panic!("{report}")).value.machine
}

const FRONTS: [(&str, Option<&str>); 5] = [
    ("[air_box]", None),
    ("[air_box]", Some("air box")),
    ("[air_box]\nfilter = \"none\"", None),
    ("[pod_filter]", None),
    ("[pod_filter]", Some("pod filter")),
];

/// The starter's air comes out of the box as well.
const STARTED: (&str, Option<&str>) =
    ("[air_box]\n[carburettor.starter]\njet = { bore_number = 70 }\nopen = \"100 %\"", Some("air box"));

fn solved(m: &Machine, throttle: f64, rpm: f64) -> PointResult {
    let (result, _) = point::solve(m, throttle, rpm, None, &coarse());
    assert!(result.converged, "throttle {throttle}, {rpm} rpm: {:?} {:?}", result.status, result.note);
    result
}

// Exact. The limit is round-off: some 1e4 steps of 1e-16 each over what is stored.
#[test]
fn books_of_mass_close_with_an_air_box_or_a_pod_filter() {
    for (front, vent) in FRONTS.into_iter().chain([STARTED]) {
        let m = demo(front, vent);
        let mut worst: f64 = 0.0;
        for (throttle, rpm) in [(0.0625, 1500.0), (0.25, 3500.0), (1.0, 2500.0), (1.0, 6000.0)] {
            let mut rig = cold(&m, throttle, rpm);
            for _ in 0..6 {
                let d = rig.run_cycle(false).unwrap().mass_defect;
                worst = worst.max(d.air).max(d.burnt).max(d.fuel);
            }
        }
        found("books of mass, largest defect (exact)", &format!("{front} {vent:?} {worst:.1e}"));
        assert!(worst <= 1e-12, "{front} {vent:?}: {worst:e}");
    }
}

#[test]
fn a_point_with_an_air_box_or_a_pod_filter_becomes_periodic() {
    for (front, vent) in FRONTS {
        let m = demo(front, vent);
        for (throttle, rpm) in [(0.0625, 1500.0), (0.25, 3000.0), (1.0, 5000.0)] {
            let r = solved(&m, throttle, rpm);
            let said =
                format!("{front} {vent:?} {throttle} {rpm}: AFR {:?}, filling {:?}, {} cycles", r.afr, r.ve, r.cycles);
            found("periodic", &said.replace('\n', " "));
            assert!(r.fired && r.afr.is_some(), "{said}");
        }
    }
}

/// Resistance of the filter about that of a wave in the inlet, and two and a half times as much: the inner end is solved together with the
/// filter, so that neither swings up.
#[test]
fn a_filter_tighter_than_the_inlets_wave_resistance_becomes_periodic_at_every_cell_size() {
    for area in ["100 cm2", "40 cm2"] {
        let filter =
            format!("[air_box.inlet]\ndiameter = \"60 mm\"\n[air_box.filter]\narea = \"{area}\"\ndrop = \"1500 Pa\"");
        let m = demo(&filter, Some("air box"));
        for cell_size in [3e-3, 5e-3, 10e-3] {
            let settings = bellmouth::rig::settings::Settings { cell_size, ..coarse() };
            let (r, _) = point::solve(&m, 1.0, 6000.0, None, &settings);
            found("tight filter", &format!("{area}, cells of {cell_size} m: filling {:?}, {} cycles", r.ve, r.cycles));
            assert!(r.converged, "{area} {cell_size}: {:?} {:?}", r.status, r.note);
        }
    }
}

/// Common practice, no source: an air cleaner enriches only if the bowl is vented outside it. For a steady flow the worked
/// examples of textbooks have AFR2 = AFR1 sqrt(dp1/(dp1 + dp_cleaner)) with the vent outside, and no change with it inside.
#[test]
fn a_filter_enriches_at_full_throttle_only_if_the_bowl_is_vented_outside_it() {
    for (part, vent) in [("[air_box]", "air box"), ("[pod_filter]", "pod filter")] {
        for rpm in [4000.0, 6000.0] {
            let free = solved(&demo("", None), 1.0, rpm);
            let bare = free.afr_metered.unwrap();
            let (outside, inside) = (solved(&demo(part, None), 1.0, rpm), solved(&demo(part, Some(vent)), 1.0, rpm));
            let (a, b) = (outside.afr_metered.unwrap(), inside.afr_metered.unwrap());
            let dp = |r: &PointResult| r.nozzle_depression_pa.unwrap();
            let by_law = (dp(&inside) / dp(&outside)).sqrt();
            found(
                "vent, common practice",
                &format!(
                    "{part} {rpm} rpm: AFR {bare:.2} bare, {a:.2} vented outside, {b:.2} inside; outside over inside {:.3}, \
                     {by_law:.3} by the steady law, suction {:.0}, {:.0} and {:.0} Pa, \
                     blown back {:.3}, {:.3} and {:.3} g/s",
                    a / b,
                    dp(&free),
                    dp(&outside),
                    dp(&inside),
                    free.standoff_g_s.unwrap(),
                    outside.standoff_g_s.unwrap(),
                    inside.standoff_g_s.unwrap()
                ),
            );
            assert!(a < b * (1.0 - 2e-3), "{part} {rpm} rpm: {a} outside, {b} inside");
            assert!(b > bare * (1.0 - 2e-3), "{part} {rpm} rpm: {bare} bare, {b} vented inside");
        }
    }
}
