//! The demo on three grids: what is left of the error at the default cell size.

use std::path::Path;

use bellmouth::rig::settings::Settings;
use bellmouth::setup::load;
use bellmouth::study::point::{PointResult, solve};

use super::found;

/// Filling, air-fuel ratio, torque.
fn figures(p: &PointResult) -> [f64; 3] {
    [p.ve.unwrap(), p.afr.unwrap(), p.torque_nm.unwrap()]
}

#[test]
fn default_cell_size_leaves_less_than_a_third_of_a_percent_of_filling_and_two_percent_of_mixture() {
    // Independent: the same machine on cells of half and double the length. The scheme is of second order where the gas is smooth and
    // of first order at shocks and contacts: the error falls at least in proportion to the cell. The sum of what is left is then
    // at most the difference to half the cell, doubled.
    let file = Path::new(env!("CARGO_MANIFEST_DIR")).join("scenarios/sidecar_38mm.toml");
    let machine = load(&file, None).unwrap().value.machine;
    let usual = Settings::default();
    let speeds = [3500.0, 5000.0, 6500.0];
    let run = |factor: f64| {
        let settings = Settings { cell_size: factor * usual.cell_size, ..usual };
        speeds.map(|rpm| {
            let point = solve(&machine, 1.0, rpm, None, &settings).0;
            assert!(point.converged);
            figures(&point)
        })
    };
    let grids = std::thread::scope(|s| {
        let fine = s.spawn(|| run(0.5));
        let rest = [run(2.0), run(1.0)];
        [rest[0], rest[1], fine.join().unwrap()]
    });
    let limits = [0.003, 0.02, 0.02];
    for (k, what) in ["filling", "air-fuel ratio", "torque"].into_iter().enumerate() {
        for (i, rpm) in speeds.iter().enumerate() {
            let [coarse, usual, fine] = grids.map(|g| g[i][k]);
            let (double, single) = (coarse / fine - 1.0, usual / fine - 1.0);
            found(
                "demo at full throttle on cells of 12, 6 and 3 mm (exhaust five times as long)",
                &format!(
                    "{what} at {rpm:.0} rpm: {coarse:.4} {usual:.4} {fine:.4}, {:+.2} % and {:+.2} % to the finest",
                    100.0 * double,
                    100.0 * single
                ),
            );
            assert!(single.abs() <= limits[k], "{what} at {rpm} rpm: {single}");
            // Where the coarse error can be told from chance it has to be the larger one.
            assert!(single.abs() <= double.abs().max(1e-3), "{what} at {rpm} rpm: {double} {single}");
        }
    }
}
