//! Pipes and vessels that ring: quarter-wave pipe and resonator of a neck and a vessel.
//!
//! Exact for small waves: a pipe of length `L` and area `A`, open at one end, on a vessel of volume `V`:
//! `k L tan(k L) = A L / V`, `f = k c / (2 pi)`; without a vessel `k L = pi/2, 3 pi/2, ...`. Source: Kinsler, Frey, Coppens &
//! Sanders, *Fundamentals of Acoustics*, chapters 9 and 10 (from memory). Added lengths in radii: Levine & Schwinger 1948.
//!
//! Walls off, c = 343.2 m/s. What is lost in a period is printed: velocity heads of the jets at the mouths, in proportion to the
//! amplitude, and what the solver loses. Frequencies are heard to 1e-6, see `ringing`.

use bellmouth::exact::resonator::{FLANGED, UNFLANGED, quarter_wave};
use bellmouth::gas::lone_duct::{End, LoneDuct};
use bellmouth::hardware::duct::Piece;

use super::bench::{SOUND, STILL, air, free, smooth};
use super::ringing::{Tone, hear, kept_by_jets, lost_to_jets, pipe_on_vessel, say, strike};
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
            let (tone, exact) = pipe_on_vessel(&pieces, cell, 1e-3, None, 1e-3, PERIODS);
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
    // See `lost_to_jets`; 2 %: the jets' share itself bends the wave.
    let pieces = vec![straight(0.1, 30e-3)];
    for cell in [5e-3, 2.5e-3] {
        let (tone, exact) = pipe_on_vessel(&pieces, cell, 1e-3, None, 1e-3, PERIODS);
        let f = exact.frequency(1).unwrap();
        let b = lost_to_jets(&exact, 1.0, 1e-3);
        let want = 1.0 - kept_by_jets(b, PERIODS);
        let lost = 1.0 - tone.kept;
        say("1 L on a neck of 100 mm x r 15 mm", cell, 1e-3, f, tone);
        found(
            "lost to the jets in a period, energy balance",
            &format!("{:.4} % of {:.4} %", 100.0 * lost, 100.0 * want),
        );
        close("lost to the jets", lost, want, 0.02);
        // A hundredth of the amplitude loses a hundredth: what remains is the solver's.
        let (weak, _) = pipe_on_vessel(&pieces, cell, 1e-3, None, 1e-5, PERIODS);
        say("1 L on a neck of 100 mm x r 15 mm", cell, 1e-5, f, weak);
        let own = 1.0 - weak.kept - 0.01 * b;
        found("lost to the solver in a period", &format!("{:.5} %", 100.0 * own));
        assert!(own.abs() < 1e-4, "{own}");
    }
}
