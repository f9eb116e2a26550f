//! Pipes and vessels that ring: quarter-wave pipe and resonator of a neck and a vessel.
//!
//! Exact for small waves: a pipe of length `L` and area `A`, open at one end, on a vessel of volume `V`:
//! `k L tan(k L) = A L / V`, `f = k c / (2 pi)`; without a vessel `k L = pi/2, 3 pi/2, ...`. Source: Kinsler, Frey, Coppens &
//! Sanders, *Fundamentals of Acoustics*, chapters 9 and 10 (from memory). Added lengths in radii: Levine & Schwinger 1948.
//!
//! Walls off, c = 343.2 m/s. What is lost in a period is printed: velocity heads of the jets at the mouths, in proportion to the
//! amplitude, and what the solver loses. Frequencies are heard to 1e-6, see `ringing`.

use bellmouth::exact::resonator::{FLANGED, Resonator, UNFLANGED, quarter_wave};
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::gas::plenum::Plenum;
use bellmouth::hardware::duct::Piece;
use bellmouth::media::composition::Composition;

use super::bench::{SOUND, STILL, air, free, smooth, still_temperature};
use super::ringing::{Tone, hear, strike};
use super::{close, found};

const PI: f64 = std::f64::consts::PI;
const PERIODS: usize = 10;

fn straight(length: f64, diameter: f64) -> Piece {
    Piece::plain("pipe", length, diameter, diameter, 300.0)
}

fn added(correction: f64, diameter: f64) -> Piece {
    Piece::added_length(correction, diameter, 300.0).unwrap()
}

/// Tone of mode `n` of a pipe that is open at the start and shut at the end.
fn shut_pipe(pieces: &[Piece], cell: f64, n: u32, height: f64) -> Tone {
    let mut duct = smooth(pieces, cell);
    let length = duct.length();
    let k = (2.0 * f64::from(n) - 1.0) * PI / (2.0 * length);
    strike(&mut duct, |x| height * libm::sin(k * x));
    let last = duct.cells() - 1;
    let mut run = LoneDuct::new(air(), duct, [End::Open(free(STILL), 0.0), End::Shut]);
    hear(&mut run, 2.0 * PI / (k * SOUND), PERIODS, |run| run.cells.cell(last).2)
}

fn say(what: &str, cell: f64, height: f64, want: f64, tone: Tone) {
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

#[test]
fn quarter_wave_pipe_sounds_its_tone_and_its_overtones() {
    let pieces = [added(UNFLANGED, 24e-3), straight(0.3, 24e-3)];
    for (cell, height) in [(5e-3, 1e-3), (2.5e-3, 1e-3), (5e-3, 1e-5), (2.5e-3, 1e-5)] {
        for (n, tolerance) in [(1, 0.005), (2, 0.01), (3, 0.01)] {
            let tone = shut_pipe(&pieces, cell, n, height);
            let want = quarter_wave(SOUND, 0.3, UNFLANGED * 12e-3, n).unwrap();
            say(&format!("quarter-wave pipe of 300 mm x 24 mm, mode {n}"), cell, height, want, tone);
            close("279.15 Hz and its odd multiples", want, 279.15 * (2.0 * f64::from(n) - 1.0), 2e-5);
            close("frequency", tone.frequency, want, tolerance);
            assert!(tone.kept < 1.0, "a wave without a source grows: {}", tone.kept);
        }
    }
}

/// Tone of a neck on a vessel of `volume`, open at the start.
fn neck(pieces: &[Piece], cell: f64, volume: f64, height: f64) -> (Tone, Resonator) {
    let mut duct = smooth(pieces, cell);
    let (length, area) = (duct.length(), duct.end_area(true));
    let exact = Resonator { length, area, volume, sound: SOUND };
    let want = exact.frequency(1).unwrap();
    let k = 2.0 * PI * want / SOUND;
    strike(&mut duct, |x| height * libm::sin(k * x) / libm::sin(k * length));
    let t = still_temperature() * libm::pow(1.0 + height, 0.4 / 1.4);
    let room = Plenum::new(&air(), volume, STILL * (1.0 + height), t, Composition::default());
    let mut run = LoneDuct::new(air(), duct, [End::Open(free(STILL), 0.0), End::Room(room, 0.0)]);
    let tone = hear(&mut run, 1.0 / want, PERIODS, |run| match &run.ends[1] {
        End::Room(room, _) => room.pressure,
        _ => unreachable!(),
    });
    (tone, exact)
}

#[test]
fn neck_and_vessel_sound_the_tone_of_one_dimension() {
    let d = 30e-3;
    let bare = vec![straight(0.1, d)];
    let inside = vec![straight(0.1, d), added(FLANGED, d)];
    let both = vec![added(UNFLANGED, d), straight(0.1, d), added(FLANGED, d)];
    for (what, pieces, lumped, wave) in [
        ("no added length", bare, 145.22, None),
        ("added length inside", inside, 137.02, None),
        ("added length inside and outside", both, 131.74, Some(129.88)),
    ] {
        for cell in [5e-3, 2.5e-3] {
            let (tone, exact) = neck(&pieces, cell, 1e-3, 1e-3);
            let want = exact.frequency(1).unwrap();
            say(&format!("1 L on a neck of 100 mm x r 15 mm, {what}, lumped {lumped} Hz"), cell, 1e-3, want, tone);
            close("lumped", exact.lumped().unwrap(), lumped, 5e-5);
            close("one dimension", want, wave.unwrap_or(want), 5e-5);
            close("frequency", tone.frequency, want, 0.01);
        }
    }
}

#[test]
fn ringing_neck_loses_the_heads_of_its_jets_and_next_to_nothing_else() {
    // Each outflow loses its kinetic energy, `rho u^3 A / 2`, at one mouth or at the other; inflow loses nothing at zeta = 0.
    // Against the energy `rho U^2 A L / 2` of the gas in the neck that is `b = 2 U T / (3 pi L)` of the amplitude in a
    // period, and b falls with the amplitude: `a_n = a_0 / (1 + n b)`. 5 %: the gas of the neck moves as one only within 3 %
    // (`k L tan(k L)` against `sin(k L)^2`). Energy balance, no published source.
    let pieces = vec![straight(0.1, 30e-3)];
    for cell in [5e-3, 2.5e-3] {
        let (tone, exact) = neck(&pieces, cell, 1e-3, 1e-3);
        let (f, rho) = (exact.frequency(1).unwrap(), 1.4 * STILL / (SOUND * SOUND));
        let speed = 1e-3 * STILL / (rho * SOUND * libm::tan(2.0 * PI * f * exact.length / SOUND));
        let b = 2.0 * speed / (f * 3.0 * PI * exact.length);
        let n = PERIODS as f64;
        let want = 1.0 - libm::pow((1.0 + b) / (1.0 + n * b), 1.0 / (n - 1.0));
        let lost = 1.0 - tone.kept;
        say("1 L on a neck of 100 mm x r 15 mm", cell, 1e-3, f, tone);
        found(
            "lost to the jets in a period, energy balance",
            &format!("{:.4} % of {:.4} %", 100.0 * lost, 100.0 * want),
        );
        close("lost to the jets", lost, want, 0.05);
        // A hundredth of the amplitude loses a hundredth: what remains is the solver's.
        let (weak, _) = neck(&pieces, cell, 1e-3, 1e-5);
        say("1 L on a neck of 100 mm x r 15 mm", cell, 1e-5, f, weak);
        let own = 1.0 - weak.kept - 0.01 * b;
        found("lost to the solver in a period", &format!("{:.5} %", 100.0 * own));
        assert!(own.abs() < 1e-4, "{own}");
    }
}
