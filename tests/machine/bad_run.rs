//! A run of the machine that leaves physical bounds says where, when and what.

use bellmouth::rig::error::RigError;
use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::rig::settings::Settings;

use crate::{coarse, found, single};

#[test]
fn machine_run_at_an_unstable_step_names_the_duct_the_place_and_the_time() {
    // Beyond a Courant number of 1 the waves run through more than a cell in a step, and the scheme amplifies them.
    let machine = single();
    let settings = Settings { courant: 3.0, largest_angle: 5.0_f64.to_radians(), ..coarse() };
    let point = OperatingPoint { rpm: 4000.0, lift: machine.carburettor.slide.bore };
    let mut rig = Rig::cold(&machine, point, &settings).unwrap();
    let error = (0..5).find_map(|_| rig.run_cycle(false).err()).expect("an unstable step passes");
    found("the machine at a Courant number of 3", &error.to_string());
    let RigError::Unphysical { part, x_mm, crank_deg, cycle, rho, p } = error else { panic!("{error}") };
    assert!(error_names(&error.to_string(), part, x_mm, crank_deg, cycle), "{error}");
    assert!(x_mm > 0.0 && (-360.0..=360.0).contains(&crank_deg) && cycle >= 1);
    assert!(!(rho > 0.0 && p > 0.0 && p.is_finite()), "a state that could be: {rho} {p}");
    // At its own step the same machine runs on.
    let mut rig = Rig::cold(&machine, point, &coarse()).unwrap();
    assert!((0..2).all(|_| rig.run_cycle(false).is_ok()));
}

/// Whether the message holds the duct, the place, the crank angle and the cycle, with their units.
fn error_names(message: &str, part: &str, x_mm: f64, crank_deg: f64, cycle: u32) -> bool {
    let parts = [
        format!("the gas in the {part}"),
        format!("x = {x_mm:.1} mm"),
        format!("crank {crank_deg:.1} deg"),
        format!("cycle {cycle}"),
        "kg/m3".into(),
        "Pa".into(),
        "try a smaller `--cell-size`".into(),
    ];
    parts.iter().all(|part| message.contains(part.as_str()))
}
