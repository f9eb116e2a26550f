//! The two carburettors of the sidecar outfit: what the larger bore does at wide-open throttle. No absolute mixture is
//! checked here.

use bellmouth::setup::load;

use crate::known::{FINE, path, run, side_by_side};
use crate::source;

#[test]
fn the_larger_carburettor_fills_more_at_the_top_speed_and_gives_less_signal_at_every_speed() {
    source("common practice, no source: a larger bore gives top end and costs signal");
    let setups =
        ["scenarios/sidecar_34mm.toml", "scenarios/sidecar_38mm.toml"].map(|p| load(&path(p), None).unwrap().value);
    let top = setups[0].machine.engine.highest_rpm;
    let speeds: Vec<f64> = [0.35, 0.5, 0.65, 0.8, 1.0].iter().map(|share| share * top).collect();
    let jobs: Vec<_> = speeds.iter().flat_map(|rpm| setups.iter().map(move |s| (s, *rpm))).collect();
    let points = side_by_side(&jobs, |(setup, rpm)| run(setup, 1.0, *rpm, FINE));
    println!("rpm   filling: {} / {}   depression kPa", setups[0].name, setups[1].name);
    for pair in points.chunks(2) {
        let ve = [0, 1].map(|i| pair[i].ve.unwrap());
        let signal = [0, 1].map(|i| 1e-3 * pair[i].nozzle_depression_pa.unwrap());
        println!("{:4.0}  {:.3} / {:.3}   {:.2} / {:.2}", pair[0].rpm, ve[0], ve[1], signal[0], signal[1]);
        assert!(signal[1] < signal[0], "at {} rpm", pair[0].rpm);
    }
    let last = &points[points.len() - 2..];
    assert!(last[1].ve.unwrap() > last[0].ve.unwrap());
}
