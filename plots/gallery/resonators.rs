//! A pipe and a neck on a vessel left to ring, against their exact tones.

use std::f64::consts::PI;

use bellmouth::exact::resonator::{FLANGED, Resonator, UNFLANGED, quarter_wave};
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::plenum::Plenum;
use bellmouth::hardware::duct::Piece;
use bellmouth::media::composition::Composition;
use bellmouth::plot::comparison::{Chart, Comparison, Kind, Scale, Series};

use super::bench::{
    GAMMA, Outcome, Points, SOUND, STILL, air, chart, curve, fill, pipe, smooth, squeezed, still_temperature,
    unphysical, vessel,
};

const CELL: f64 = 2.5e-3;
/// Amplitude over the pressure of still air [-]: so small that the jets at the mouths take next to nothing.
const HEIGHT: f64 = 1e-4;
/// Periods drawn, and listened to for the spectrum.
const DRAWN: f64 = 8.0;
const HEARD: f64 = 60.0;
/// Pipe: length and bore; neck: length and bore [m]; vessel [m3].
const PIPE: (f64, f64) = (0.3, 24e-3);
const NECK: (f64, f64) = (0.1, 30e-3);
const VESSEL: f64 = 1e-3;
/// Shares of the first three modes at the start [-].
const MODES: [f64; 3] = [1.0, 0.5, 0.25];

/// Pressure above that outside [Pa] against time [s] while `run` goes on to `end` [s].
fn listen(mut run: LoneDuct, end: f64, pressure: impl Fn(&LoneDuct) -> f64) -> Outcome<Points> {
    let mut heard = vec![(0.0, pressure(&run) - STILL)];
    while run.time < end {
        run.step(run.stable_step()).map_err(unphysical)?;
        heard.push((run.time, pressure(&run) - STILL));
    }
    Ok(heard)
}

/// Frequency [Hz] from the first to the last upward crossing of zero, each placed by a straight line.
fn frequency(heard: &[(f64, f64)]) -> f64 {
    let up = |w: &[(f64, f64)]| {
        (w[0].1 < 0.0 && w[1].1 >= 0.0).then(|| w[0].0 - w[0].1 * (w[1].0 - w[0].0) / (w[1].1 - w[0].1))
    };
    let crossings: Vec<f64> = heard.windows(2).filter_map(up).collect();
    match (crossings.first(), crossings.last()) {
        (Some(a), Some(b)) => (crossings.len() - 1) as f64 / (b - a),
        _ => f64::NAN,
    }
}

/// Amplitude [Pa] at each of `count` frequencies up to `highest` [Hz]: Fourier integral under a raised cosine, by
/// trapezia.
fn spectrum(heard: &[(f64, f64)], highest: f64, count: u32) -> Points {
    let whole = heard.last().map_or(0.0, |l| l.0);
    let window = |t: f64| 1.0 - libm::cos(2.0 * PI * t / whole);
    let at = |i: u32| {
        let f = highest * f64::from(i) / f64::from(count);
        let (mut re, mut im) = (0.0, 0.0);
        for w in heard.windows(2) {
            let dt = 0.5 * (w[1].0 - w[0].0);
            for (t, p) in w {
                let share = window(*t) * p * dt;
                re += share * libm::cos(2.0 * PI * f * t);
                im += share * libm::sin(2.0 * PI * f * t);
            }
        }
        (f, 2.0 / whole * (re * re + im * im).sqrt())
    };
    (1..=count).map(at).collect()
}

/// What was heard up to `end` [s], over the exact sum of tones, time in ms.
fn trace(name: &str, heard: &[(f64, f64)], end: f64, exact: impl Fn(f64) -> f64) -> Outcome<Chart> {
    let ms = |p: &(f64, f64)| (1e3 * p.0, p.1);
    let got = heard.iter().filter(|p| p.0 <= end).map(ms).collect();
    let want = curve(0.0, end, 1500, |t| Ok(exact(t)))?.iter().map(ms).collect();
    let series =
        vec![Series::new("exact, no losses", Kind::Exact, 0, want), Series::new("computed", Kind::Computed, 0, got)];
    Ok(chart(name, "time [ms]", Scale::new("pressure, over outside [Pa]"), series))
}

fn lines(name: &str, heard: &[(f64, f64)], highest: f64, label: String, exact: &[f64]) -> Chart {
    let series = vec![Series::new(&label, Kind::Computed, 0, spectrum(heard, highest, 700))];
    let mut chart = chart(name, "frequency [Hz]", Scale::new("amplitude [Pa]"), series);
    chart.x = chart.x.within(0.0, highest);
    chart.y = chart.y.within(1e-3, 20.0).in_ratios();
    let numbers: Vec<String> = exact.iter().map(|f| format!("{f:.2}")).collect();
    chart.uprights = Some((exact.to_vec(), format!("exact: {} Hz", numbers.join(", "))));
    chart
}

/// Pieces of a pipe between two added lengths, in radii; none where 0.
fn pieces((length, bore): (f64, f64), outside: f64, inside: f64) -> Vec<Piece> {
    let added = |c: f64| Piece::added_length(c, bore, still_temperature());
    [added(outside), Some(pipe(length, bore)), added(inside)].into_iter().flatten().collect()
}

/// Sets a duct to a standing wave at its crest: gas at rest at `1 + height(x)` of the pressure of still air.
fn strike(duct: &mut DuctCells, height: impl Fn(f64) -> f64) {
    fill(duct, &air(), |x| squeezed(1.0 + height(x)));
}

fn open() -> End {
    End::Open(vessel(STILL, still_temperature()), 0.0)
}

/// Pipe shut at one end, struck in its first three modes.
fn quarter() -> Outcome<[Chart; 2]> {
    let mut duct = smooth(&pieces(PIPE, UNFLANGED, 0.0), CELL)?;
    let (length, last) = (duct.length(), duct.cells() - 1);
    let odd = |n: usize| (2 * n + 1) as f64;
    // the sign gives each mode its crest at the shut end
    let shape = |n: usize, x: f64| libm::sin(0.5 * PI * odd(n)) * libm::sin(0.5 * PI * odd(n) * x / length);
    strike(&mut duct, |x| HEIGHT * MODES.iter().enumerate().map(|(n, m)| m * shape(n, x)).sum::<f64>());
    let tones: Vec<f64> =
        (1..=3).map(|n| quarter_wave(SOUND, PIPE.0, UNFLANGED * 0.5 * PIPE.1, n)).collect::<Result<_, _>>()?;
    let run = LoneDuct::new(air(), duct, [open(), End::Shut]);
    let heard = listen(run, HEARD / tones[0], |run| run.cells.cell(last).2)?;
    let sum = |t: f64| {
        let tone = |(m, f): (&f64, &f64)| m * libm::cos(2.0 * PI * f * t);
        HEIGHT * STILL * MODES.iter().zip(&tones).map(tone).sum::<f64>()
    };
    let label = format!("computed; first tone {}", against(frequency(&heard), tones[0]));
    Ok([
        trace("Pipe: pressure at the shut end", &heard, DRAWN / tones[0], sum)?,
        lines("Pipe: spectrum", &heard, 1800.0, label, &tones),
    ])
}

/// Neck on a vessel, struck in its lowest mode.
fn neck() -> Outcome<[Chart; 2]> {
    let mut duct = smooth(&pieces(NECK, UNFLANGED, FLANGED), CELL)?;
    let exact = Resonator { length: duct.length(), area: duct.end_area(true), volume: VESSEL, sound: SOUND };
    let (root, tone) = (exact.root(1)?, exact.frequency(1)?);
    strike(&mut duct, |x| HEIGHT * libm::sin(root * x / exact.length) / libm::sin(root));
    let hot = still_temperature() * libm::pow(1.0 + HEIGHT, (GAMMA - 1.0) / GAMMA);
    let room = Plenum::new(&air(), VESSEL, STILL * (1.0 + HEIGHT), hot, Composition::default());
    let run = LoneDuct::new(air(), duct, [open(), End::Room(room, 0.0)]);
    let in_vessel = |run: &LoneDuct| match &run.ends[1] {
        End::Room(room, _) => room.pressure,
        _ => f64::NAN,
    };
    let heard = listen(run, HEARD / tone, in_vessel)?;
    let label = format!("computed; tone {}", against(frequency(&heard), tone));
    let heading = format!("Vessel: spectrum (lumped: {:.1} Hz)", exact.lumped()?);
    let spectrum = lines(&heading, &heard, 400.0, label, &[tone]);
    let wave = |t: f64| HEIGHT * STILL * libm::cos(2.0 * PI * tone * t);
    Ok([trace("Vessel: pressure in it", &heard, DRAWN / tone, wave)?, spectrum])
}

/// A frequency, and how far it is from the exact one.
fn against(got: f64, want: f64) -> String {
    format!("{got:.2} Hz ({:+.3} %)", 100.0 * (got / want - 1.0)).replace('-', "\u{2212}")
}

/// The sheet.
pub fn sheet() -> Outcome<Comparison> {
    let ([pipe, pipe_lines], [vessel, vessel_lines]) = (quarter()?, neck()?);
    Ok(Comparison {
        title: "A pipe and a neck on a vessel left to ring".to_owned(),
        caption: "Pipe of 300 x 24 mm, shut at one end, struck in three modes; vessel of 1 litre on a neck of 100 x \
                  30 mm. Amplitude 1e-4 of the pressure of still air (343.2 m/s), cells of 2.5 mm, no friction. Tone \
                  from the crossings of zero and spectrum (raised cosine) over 60 periods. Source: Kinsler, Frey, \
                  Coppens & Sanders, Fundamentals of Acoustics, chapters 9 and 10; added lengths 0.6133 r at the \
                  mouth, 0.8217 r in the vessel: Levine & Schwinger, Phys. Rev. 73 (1948) 383."
            .to_owned(),
        rows: vec![vec![pipe, pipe_lines], vec![vessel, vessel_lines]],
        height: 420.0,
    })
}
