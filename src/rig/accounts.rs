//! The accounts of energy of the ducts' cells on their way to the periodic cycle.
//!
//! A cell pays its account back over [`RELEASE_TIME`]: a cycle of the time `t` keeps the share `q = exp(-t/RELEASE_TIME)` of it, seven tenths
//! at 7000 rpm, and adds what the flow made in it, `s`. So the change of a cycle is `(q - 1) o + s`, and the account that repeats is
//! known at once from one cycle, `o + change/(1 - q)`, as far as the flow itself repeats. At the periodic state nothing changes, so that
//! where it ends up is not moved.

use super::machine_state::Rig;
use crate::gas::owed_energy::RELEASE_TIME;

/// What the cells of each duct were owed when the present cycle began [J/m3].
#[derive(Debug, Default)]
pub(super) struct Accounts {
    begun: Vec<Vec<f64>>,
}

impl Accounts {
    /// Notes where the accounts of `rig` stand before a cycle.
    pub(super) fn note(&mut self, rig: &Rig) {
        self.begun = rig.ducts().map(|duct| duct.owed_per_volume(&rig.gas)).collect();
    }

    /// Sets each account to the one that the last cycle, of `time` [s], would repeat.
    pub(super) fn settle(&self, rig: &mut Rig, time: f64) {
        let further = further(time);
        let gas = rig.gas;
        for (duct, begun) in rig.ducts_mut().zip(&self.begun) {
            let now = duct.owed_per_volume(&gas);
            let more: Vec<f64> = now.iter().zip(begun).map(|(now, begun)| further * (now - begun)).collect();
            duct.owe(&more);
        }
        rig.owed_before = rig.owed_energy();
    }
}

/// How far beyond its end the change of a cycle of `time` [s] points, over that change [-]: `q/(1 - q)`.
fn further(time: f64) -> f64 {
    let kept = libm::exp(-time / RELEASE_TIME);
    kept / (1.0 - kept)
}

#[cfg(test)]
mod tests {
    use super::*;

    // Exact: an account that keeps `q` of itself in a cycle and gets `s` stands at `s/(1 - q)` when it repeats.
    #[test]
    fn one_cycle_tells_the_account_that_repeats() {
        let (time, gets, begun) = (0.02, 3.0, 25.0);
        let kept = libm::exp(-time / RELEASE_TIME);
        let end = kept * begun + gets;
        assert!((end + further(time) * (end - begun) - gets / (1.0 - kept)).abs() < 1e-12);
    }
}
