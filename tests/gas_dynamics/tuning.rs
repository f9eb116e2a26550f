//! Intake pipe and cylinder as a resonator.
//!
//! A pipe of 300 mm x 24 mm with the added length of its open end, on the volume of a cylinder held at mid-stroke behind an open
//! valve: `k L tan(k L) = A L / V` (Kinsler, Frey, Coppens & Sanders, *Fundamentals of Acoustics*, chapter 10, from memory). The
//! volume is Engelman's, of a cylinder of 200 cm3 and a compression ratio of 9: 125 cm3. Walls off, cells of 5 mm.
//!
//! The valve is a quasi-steady restriction without inertia of its own: it takes heads from the flow, so it damps the tone
//! and leaves its frequency.

use bellmouth::exact::resonator::UNFLANGED;
use bellmouth::exact::tuning::Engelman;
use bellmouth::hardware::duct::Piece;

use super::bench::SOUND;
use super::ringing::{kept_by_jets, lost_to_jets, pipe_on_vessel, say};
use super::{close, found};

const CELL: f64 = 5e-3;

fn intake() -> Vec<Piece> {
    vec![Piece::added_length(UNFLANGED, 24e-3, 300.0).unwrap(), Piece::plain("pipe", 0.3, 24e-3, 24e-3, 300.0)]
}

fn engelman() -> Engelman {
    let area = intake()[1].area_end();
    let length = intake().iter().map(|p| p.length).sum();
    Engelman { displacement: 200e-6, compression_ratio: 9.0, length, area, sound: SOUND }
}

#[test]
fn pipe_and_cylinder_ring_at_the_tone_of_one_dimension_whatever_the_valve() {
    let volume = engelman().effective_volume().unwrap();
    close("125 cm3", volume, 125e-6, 1e-12);
    for open in [None, Some(1.0), Some(0.8), Some(0.6)] {
        for height in [1e-3, 1e-2] {
            let (tone, exact) = pipe_on_vessel(&intake(), CELL, volume, open, height, 10);
            let want = exact.frequency(1).unwrap();
            say(&format!("intake pipe and cylinder, valve open to {open:?} of the pipe"), CELL, height, want, tone);
            let b = lost_to_jets(&exact, open.unwrap_or(1.0), height);
            let lost = 1.0 - kept_by_jets(b, 10);
            found("lost to jets and valve in a period, energy balance", &format!("{:.4} %", 100.0 * lost));
            close("frequency", tone.frequency, want, 0.02);
            close("lost", 1.0 - tone.kept, lost, 0.02);
        }
    }
}

#[test]
fn strong_ringing_keeps_the_tone_too() {
    // 10 % of pressure, as in a running engine: waves steepen and the valve's loss is no longer small. No source; the limit is that
    // of the weak tone.
    let volume = engelman().effective_volume().unwrap();
    let mut before = 0.0;
    for open in [None, Some(0.6), Some(0.3)] {
        let (tone, exact) = pipe_on_vessel(&intake(), CELL, volume, open, 0.1, 3);
        let want = exact.frequency(1).unwrap();
        say(&format!("intake pipe and cylinder, valve open to {open:?} of the pipe"), CELL, 0.1, want, tone);
        close("frequency", tone.frequency, want, 0.02);
        assert!(1.0 - tone.kept > before, "a smaller valve takes more");
        before = 1.0 - tone.kept;
    }
    // What a lumped resonator of the same length, area and volume says: gas in the pipe is no spring there.
    let lumped = engelman().frequency().unwrap();
    found("the same as a lumped resonator (no limit)", &format!("{lumped:.2} Hz"));
}
