//! The two carburettors of the demo at full throttle: what the larger bore gives and costs.

use std::path::Path;

use bellmouth::plot::comparison::{Comparison, Kind, Scale, Series};
use bellmouth::rig::settings::Settings;
use bellmouth::setup::load;
use bellmouth::study::point::{PointResult, solve};

use super::bench::{Outcome, Points, chart};

/// The two set-ups, the smaller bore first.
const FILES: [&str; 2] = ["scenarios/sidecar_34mm.toml", "scenarios/sidecar_38mm.toml"];

/// Full throttle at each speed [rpm].
fn full_throttle(file: &str, speeds: &[f64]) -> Outcome<Vec<PointResult>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(file);
    let machine = load(&path, None).map_err(|report| report.to_string())?.value.machine;
    let settings = Settings::default();
    let run = |rpm: &f64| solve(&machine, 1.0, *rpm, None, &settings).0;
    Ok(speeds.iter().map(run).collect())
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    let speeds: Vec<f64> = (0..14).map(|i| 2000.0 + 400.0 * f64::from(i)).collect();
    let (small, large) = std::thread::scope(|s| {
        let small = s.spawn(|| full_throttle(FILES[0], &speeds).map_err(|e| e.to_string()));
        let large = full_throttle(FILES[1], &speeds).map_err(|e| e.to_string());
        (small.join(), large)
    });
    let small = small.map_err(|_| "the run of the smaller bore broke off")??;
    let large = large?;
    let over = |points: &[PointResult], value: &dyn Fn(&PointResult) -> Option<f64>| -> Points {
        points.iter().filter(|p| p.converged && p.fired).filter_map(|p| Some((p.rpm, value(p)?))).collect()
    };
    let pair = |title: &str, axis: &str, value: &dyn Fn(&PointResult) -> Option<f64>| {
        chart(
            title,
            "speed [rpm]",
            Scale::new(axis),
            vec![
                Series::new("34 mm", Kind::Marked, 0, over(&small, value)),
                Series::new("38 mm", Kind::Marked, 1, over(&large, value)),
            ],
        )
    };
    let more = |value: &dyn Fn(&PointResult) -> Option<f64>| -> Points {
        small
            .iter()
            .zip(&large)
            .filter(|(a, b)| a.fired && b.fired && a.converged && b.converged)
            .filter_map(|(a, b)| Some((a.rpm, 100.0 * (value(b)? / value(a)? - 1.0))))
            .collect()
    };
    let gain = chart(
        "What the larger bore adds",
        "speed [rpm]",
        Scale::new("difference [%]"),
        vec![
            Series::new("torque", Kind::Marked, 2, more(&|p| p.torque_nm)),
            Series::new("filling", Kind::Marked, 3, more(&|p| p.ve)),
        ],
    );
    Ok(Comparison {
        title: "Two bores on one engine at full throttle".to_owned(),
        caption: "The demo's single of 499 cc with a carburettor of 34 and one of 38 mm, each with its own jets, open mouth, 640 m \
                  above the sea. The larger bore gives torque at the top and costs signal, and with it mixture and torque, at \
                  the bottom (common practice, no source). Points that did not fire or did not converge are left out."
            .to_owned(),
        rows: vec![
            vec![pair("Torque", "torque [N m]", &|p| p.torque_nm), gain],
            vec![
                pair("Suction at the nozzle", "depression [kPa]", &|p| p.nozzle_depression_pa.map(|x| 1e-3 * x)),
                pair("Mixture", "AFR [-]", &|p| p.afr),
            ],
        ],
        height: 300.0,
    })
}
