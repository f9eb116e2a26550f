//! Filling of a motored single with a plain inlet pipe: ram within the stroke, standing wave of the last cycle, tuned
//! speed.

use bellmouth::exact::tuning::Engelman;
use bellmouth::plot::comparison::{Comparison, Kind, Scale, Series};

use super::bench::{Outcome, Points, chart, curve};
use super::tuned_pipe::{BORE, HEAD, K, PIPE, R, RATIO, STROKE, Timing, area, machine, peak, sweep, swept};

/// Usual constant of Engelman's formula [-].
const USUAL: f64 = 2.1;
/// Lengths of the pipe [m]; the second one is drawn over the speed.
const LENGTHS: [f64; 3] = [0.35, 0.5, 0.7];

fn timing() -> Timing {
    Timing { opens: 10f64.to_radians(), closes: 55f64.to_radians() }
}

/// Engelman's speed [rpm] for a pipe of `length` [m].
fn engelman(length: f64, sound: f64) -> Outcome<f64> {
    let resonator = Engelman { displacement: swept(), compression_ratio: RATIO, length, area: area(), sound };
    Ok(60.0 * resonator.tuned_speed(USUAL)?)
}

/// Speed of the highest filling [rpm] of a pipe of `length` [m], with the standing wave or by ram alone.
fn tuned(length: f64, want: f64, wave_kept: bool) -> Outcome<f64> {
    let speeds: Vec<f64> = (0..26).map(|i| want * (0.75 + 0.02 * f64::from(i))).collect();
    let ve = sweep(&machine(length, timing()), &speeds, wave_kept);
    let top = (0..ve.len()).max_by(|a, b| ve[*a].total_cmp(&ve[*b])).unwrap_or(0);
    if top == 0 || top + 1 == ve.len() {
        return Err(format!("no peak of filling within a quarter of {want:.0} rpm with {length} m of pipe").into());
    }
    Ok(peak(&speeds, &ve).0)
}

/// Mean of speed times the root of the length, which Engelman's formula holds constant, and the largest relative
/// difference to it.
fn scaled(peaks: &[(f64, f64)]) -> (f64, f64) {
    let mean = peaks.iter().map(|(l, n)| n * l.sqrt()).sum::<f64>() / peaks.len() as f64;
    (mean, peaks.iter().map(|(l, n)| (n * l.sqrt() / mean - 1.0).abs()).fold(0.0, f64::max))
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    let m = machine(LENGTHS[1], timing());
    let sound = (K * R * m.air.temperature).sqrt();
    let want = engelman(LENGTHS[1], sound)?;
    let speeds: Vec<f64> = (0..46).map(|i| 2750.0 + 100.0 * f64::from(i)).collect();
    let (both, ram) = (sweep(&m, &speeds, true), sweep(&m, &speeds, false));
    let over = |values: &[f64]| -> Points { speeds.iter().copied().zip(values.iter().copied()).collect() };
    let wave: Vec<f64> = both.iter().zip(&ram).map(|(b, r)| b - r).collect();
    let speed = "speed [rpm]";
    let mut filling = chart(
        "Filling, pipe of 0.5 m",
        speed,
        Scale::new("filling [-]"),
        vec![
            Series::new("ram and standing wave", Kind::Computed, 0, over(&both)),
            Series::new("ram alone", Kind::Computed, 1, over(&ram)),
        ],
    );
    let label = format!("Engelman, K {USUAL}: {want:.0} rpm");
    filling.uprights = Some((vec![want], label.clone()));
    let mut difference = chart(
        "What the standing wave adds, pipe of 0.5 m",
        speed,
        Scale::new("difference of filling [-]"),
        vec![Series::new("both less ram alone", Kind::Computed, 2, over(&wave))],
    );
    difference.uprights = Some((vec![want], label));
    let peaks = |wave_kept: bool| -> Outcome<Points> {
        LENGTHS.into_iter().map(|l| Ok((l, tuned(l, engelman(l, sound)?, wave_kept)?))).collect()
    };
    let (with_wave, of_ram) = (peaks(true)?, peaks(false)?);
    let (mean, spread) = scaled(&with_wave);
    let named = |name: &str, spread: f64| format!("{name}: as 1/\u{221a}L within {:.1} %", 100.0 * spread);
    let lengths = (0.3, 0.8);
    let line = |f: &dyn Fn(f64) -> Outcome<f64>| curve(lengths.0, lengths.1, 100, f);
    let mut tuning = chart(
        "Speed of the highest filling",
        "length of the pipe, added length included [m]",
        Scale::new(speed),
        vec![
            Series::new(&named("ram and standing wave", spread), Kind::Spots, 0, with_wave),
            Series::new("1/\u{221a}L through these", Kind::Reference, 0, line(&|l| Ok(mean / l.sqrt()))?),
            Series::new(&named("ram alone", scaled(&of_ram).1), Kind::Spots, 1, of_ram),
            Series::new(&format!("Engelman, K {USUAL}"), Kind::Computed, 2, line(&|l| engelman(l, sound))?),
        ],
    );
    tuning.x = tuning.x.within(lengths.0, lengths.1);
    let mm = |x: f64| 1e3 * x;
    Ok(Comparison {
        title: "Inlet tuning of a motored single: ram and standing wave both act".to_owned(),
        caption: format!(
            "Cylinder {:.0} x {:.0} mm, compression ratio {RATIO}, inlet valve {:.0} mm, open from 10 degrees before \
             top to 55 degrees after bottom, plain pipe of {:.0} mm bore, turned by a motor, cells of 10 mm. Ram \
             alone: the gas in the pipe is put to rest just before the inlet opens. Filling: air trapped over free \
             air in the swept volume. Source: Taylor, Livengood & Tsai, Trans. ASME 77 (1955) 1133 (abstract: both \
             act); Engelman, ASME 73-WA/DGP-2, 1973 (speed of best filling, as the root of the length).",
            mm(BORE),
            mm(STROKE),
            mm(HEAD),
            mm(PIPE)
        ),
        rows: vec![vec![filling, difference], vec![tuning]],
        height: 420.0,
    })
}
