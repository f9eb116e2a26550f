//! A duct left to ring: a standing wave put in, its tone heard at one place.

use bellmouth::gas::duct_cells::DuctCells;
use bellmouth::gas::lone_duct::LoneDuct;
use bellmouth::media::composition::Composition;

use super::bench::{GAMMA, SOUND, STILL, air};

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
