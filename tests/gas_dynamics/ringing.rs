//! A duct left to ring: a standing wave put in, its tone heard at one place.

use std::f64::consts::PI;

use bellmouth::exact::resonator::Resonator;
use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::plenum::Plenum;
use bellmouth::hardware::duct::Piece;
use bellmouth::media::composition::Composition;

use super::bench::{GAMMA, SOUND, STILL, air, free, smooth, still_temperature};
use super::found;

/// What was heard.
#[derive(Debug, Clone, Copy)]
pub struct Tone {
    /// Frequency [Hz].
    pub frequency: f64,
    /// Height of a crest over that of the crest a period before, mean over the periods heard [-].
    pub kept: f64,
}

/// Puts a standing wave of pressure `height(x)` over `STILL` [-] into the duct: isentropic, gas at rest, composition plain.
pub fn strike(duct: &mut DuctCells, height: impl Fn(f64) -> f64) {
    let rho = GAMMA * STILL / (SOUND * SOUND);
    duct.fill(&air(), |x| {
        let ratio = 1.0 + height(x);
        (rho * libm::pow(ratio, 1.0 / GAMMA), 0.0, STILL * ratio, Composition::default())
    });
}

/// Hears `periods` periods of about `period` [s] by `pressure` [Pa] over `STILL`, after one period of settling.
///
/// The upward crossings of zero are placed by straight lines between steps. With some 100 steps or more in a period a crossing is
/// placed to 1e-5 of a period or better, and the frequency over ten periods to 1e-6.
pub fn hear(run: &mut LoneDuct, period: f64, periods: usize, pressure: impl Fn(&LoneDuct) -> f64) -> Tone {
    let mut crossings: Vec<f64> = Vec::new();
    let mut crests: Vec<f64> = Vec::new();
    let (mut crest, mut before): (f64, f64) = (0.0, pressure(run) - STILL);
    while crossings.len() <= periods {
        assert!(run.time < period * (periods + 3) as f64, "no tone of about {} Hz", 1.0 / period);
        let (t, dt) = (run.time, run.stable_step());
        assert!(run.steps < 10 || dt < 0.02 * period, "too few steps in a period");
        run.step(dt).unwrap();
        let now = pressure(run) - STILL;
        crest = crest.max(now);
        if before < 0.0 && now >= 0.0 && t > 0.5 * period {
            crossings.push(t - dt * before / (now - before));
            crests.push(crest);
            crest = 0.0;
        }
        before = now;
    }
    let n = crossings.len() - 1;
    // The crest before the first crossing is the one put in; the ones after it are whole.
    let kept = libm::pow(crests[n] / crests[1], 1.0 / (n as f64 - 1.0));
    Tone { frequency: n as f64 / (crossings[n] - crossings[0]), kept }
}

/// Share of its amplitude that a standing wave loses to the jets in a period, for a pipe that is open at the start and has a vessel
/// behind an opening of the share `open` of its area at the end. `height` is the amplitude in the vessel over `STILL`.
///
/// The gas runs at `U cos(k x)`. Each outflow loses the kinetic energy of its jet: `rho u^3 A / 2` at the start, `1/open^2` times
/// that at the opening into the vessel; what runs back spreads into the pipe and loses `(1/open - 1)^2` heads (Borda-Carnot). Over a
/// half period `u^3` has the mean `4 U^3 / (3 pi)`. The pipe and the vessel hold `rho A U^2 / 2` times the integral of `cos^2(k x)`.
/// Energy balance, no published source.
pub fn lost_to_jets(exact: &Resonator, open: f64, height: f64) -> f64 {
    let f = exact.frequency(1).unwrap();
    let (rho, k) = (GAMMA * STILL / (SOUND * SOUND), 2.0 * PI * f / SOUND);
    let angle = k * exact.length;
    let speed = height * STILL / (rho * SOUND * libm::sin(angle));
    let inner = speed * libm::cos(angle);
    let heads = 1.0 / (open * open) + (1.0 / open - 1.0) * (1.0 / open - 1.0);
    let lost = 2.0 / (3.0 * PI * f) * (libm::pow(speed, 3.0) + heads * libm::pow(inner, 3.0));
    let held = speed * speed * (0.5 * exact.length + libm::sin(2.0 * angle) / (4.0 * k));
    0.5 * lost / held
}

/// What [`hear`] should find kept over `periods`, where the jets take the share `b` of the first amplitude in a period and less as it
/// falls: `a_n = a_0 / (1 + n b)`.
pub fn kept_by_jets(b: f64, periods: usize) -> f64 {
    let n = periods as f64;
    libm::pow((1.0 + b) / (1.0 + n * b), 1.0 / (n - 1.0))
}

/// Tone of a pipe that is open at the start, on a vessel at rest behind an opening: `Room` where `open` is none, else `OrificeRoom` with
/// that share of the pipe's area. The lowest mode of the exact solution is put in.
pub fn pipe_on_vessel(
    pieces: &[Piece],
    cell: f64,
    volume: f64,
    open: Option<f64>,
    height: f64,
    periods: usize,
) -> (Tone, Resonator) {
    let mut duct = smooth(pieces, cell);
    let (length, area) = (duct.length(), duct.end_area(true));
    let exact = Resonator { length, area, volume, sound: SOUND };
    let f = exact.frequency(1).unwrap();
    let k = 2.0 * PI * f / SOUND;
    strike(&mut duct, |x| height * libm::sin(k * x) / libm::sin(k * length));
    let t = still_temperature() * libm::pow(1.0 + height, (GAMMA - 1.0) / GAMMA);
    let room = Plenum::new(&air(), volume, STILL * (1.0 + height), t, Composition::default());
    let far = match open {
        None => End::Room(room, 0.0),
        Some(open) => End::OrificeRoom(room, open * area),
    };
    let mut run = LoneDuct::new(air(), duct, [End::Open(free(STILL), 0.0), far]);
    let tone = hear(&mut run, 1.0 / f, periods, |run| match &run.ends[1] {
        End::Room(room, _) | End::OrificeRoom(room, _) => room.pressure,
        _ => unreachable!(),
    });
    (tone, exact)
}

/// Says what was heard.
pub fn say(what: &str, cell: f64, height: f64, want: f64, tone: Tone) {
    found(
        &format!("{what}, {} mm cells, {} % of pressure, exact {want:.2} Hz", 1e3 * cell, 100.0 * height),
        &format!(
            "{:.3} Hz ({:+.4} %), {:.4} % lost in a period",
            tone.frequency,
            100.0 * (tone.frequency / want - 1.0),
            100.0 * (1.0 - tone.kept)
        ),
    );
}
