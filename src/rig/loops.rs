//! The work of a cycle's two loops: compression and expansion, gas exchange.

use std::f64::consts::PI;

use super::machine_state::Rig;

impl Rig {
    /// Books the `work` [J] of the step up to crank angle `next` [rad], which began at `volume` [m3] and `pressure` [Pa], to its loop: from
    /// `-pi` to `pi` compression and expansion, from there to `3 pi` gas exchange. A step across `pi` is shared at the volume there, by its
    /// mean pressure, which is what its work was made of.
    pub(super) fn book_loops(&mut self, next: f64, volume: f64, pressure: f64, work: f64) {
        let upper = if next <= PI {
            work
        } else if self.phase >= PI {
            0.0
        } else {
            let mean = 0.5 * (pressure + self.cylinder.charge.pressure);
            mean * (self.machine.engine.crank.volume(PI) - volume)
        };
        self.sums.work_closed += upper;
        self.sums.work_exchange += work - upper;
    }
}
