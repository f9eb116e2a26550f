//! The temperature in a silencer on its way to the periodic cycle: the slowest state of most machines.
//!
//! A vessel stirred at once, with `M` in it and `m` of a steady kind passing in a cycle, keeps the share `exp(-m/M)` of a difference
//! over a cycle: two thirds at full throttle, nine tenths and more at small openings. Everything else has long settled and follows it.
//! So the change of one cycle, seen as a function of the temperature at its start, is nearly a straight line of slope `exp(-m/M) - 1`
//! through nothing at the periodic temperature: a secant finds that in a few cycles. At the periodic state nothing changes, so that
//! where it ends up is not moved; the pressure is kept, and no cycle's books see it.

/// Cycle after which the gas that enters is nearly what it will be, from rest: the first fuel has burnt and come out.
const FIRST_BURNT: u32 = 3;
/// The same of a run that began with the gas of a running machine. As early as that, since the other states still move and a guess costs
/// no cycle then.
const FIRST_WARM: u32 = 1;
/// Most guesses in a run: what they cannot help by then is another's trouble.
const MOST_GUESSES: u32 = 8;
/// Largest and smallest guess [K].
const GUESS: (f64, f64) = (300.0, 0.15);
/// Difference of two starts that a slope can be told from [K].
const TOLD_APART: f64 = 1.0;
/// How much steeper than the stirred vessel's the first slope is taken [-]: gas that swings in and out stirs besides.
const STEEPER: f64 = 1.3;
/// Slopes that are believed, over that of the stirred vessel [-].
const BELIEVED: (f64, f64) = (0.7, 4.0);

/// What is known of the silencer's way.
#[derive(Debug, Default)]
pub(super) struct Silencing {
    /// Temperature that the present cycle began with [K].
    pub(super) begun: Option<f64>,
    /// Temperature [K] that an earlier cycle began with, and its change [K].
    earlier: Option<(f64, f64)>,
    guesses: u32,
    /// Whether the run began with gas from a running machine.
    warm: bool,
}

impl Silencing {
    /// Before the first cycle: the temperature [K], and whether it is that of a running machine.
    pub(super) fn before(&mut self, begun: Option<f64>, warm: bool) {
        (self.begun, self.warm) = (begun, warm);
    }

    /// How much warmer than at the `end` of the present cycle [K] it is to be taken, when `changed` is the share of its gas that
    /// passed in the cycle number `cycle` [-].
    pub(super) fn warmer(&mut self, cycle: u32, end: f64, changed: f64) -> Option<f64> {
        let begun = self.begun?;
        let change = end - begun;
        let first = if self.warm { FIRST_WARM } else { FIRST_BURNT };
        if cycle <= first || self.guesses >= MOST_GUESSES {
            return None;
        }
        let stirred = libm::exp(-changed.max(0.0)) - 1.0;
        let slope = match self.earlier {
            Some((t, d)) if (t - begun).abs() > TOLD_APART => (d - change) / (t - begun),
            _ => STEEPER * stirred,
        };
        // both are negative
        let slope = slope.clamp(BELIEVED.1 * stirred, BELIEVED.0 * stirred);
        self.earlier = Some((begun, change));
        let warmer = begun - change / slope - end;
        if warmer.is_nan() || warmer.abs() < GUESS.1 {
            return None;
        }
        self.guesses += 1;
        Some(warmer.clamp(-GUESS.0, GUESS.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    // Exact: a stirred vessel whose real slope is twice what its flow tells.
    #[test]
    fn a_secant_finds_the_periodic_temperature_of_a_stirred_vessel() {
        let mut silencing = Silencing::default();
        let (settled, kept) = (900.0, 0.6);
        let mut t = 700.0;
        for cycle in 1..12 {
            silencing.begun = Some(t);
            t = settled + kept * (t - settled);
            t += silencing.warmer(cycle, t, 0.2).unwrap_or(0.0);
            if cycle == 7 {
                assert!((t - settled).abs() < 0.3, "{t}");
            }
        }
        assert!((t - settled).abs() < 0.01, "{t}");
    }

    #[test]
    fn nothing_is_guessed_before_the_first_burnt_gas_nor_where_nothing_changes() {
        let mut silencing = Silencing { begun: Some(700.0), ..Silencing::default() };
        assert_eq!(silencing.warmer(FIRST_BURNT, 750.0, 0.4), None);
        assert_eq!(silencing.warmer(9, 700.0, 0.4), None);
        assert_eq!(silencing.warmer(9, 700.0, 0.0), None);
        assert_eq!(Silencing::default().warmer(9, 750.0, 0.4), None);
        silencing.before(Some(700.0), true);
        assert_eq!(silencing.warmer(FIRST_WARM, 750.0, 0.4), None);
        assert!(silencing.warmer(FIRST_WARM + 1, 750.0, 0.4).is_some_and(|warmer| warmer > 0.0));
    }
}
