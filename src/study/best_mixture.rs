//! How far a point's mixture is from the one of most torque.

use crate::rig::machine_state::Rig;
use crate::rig::record::CycleRecord;

/// Lambda between which the best mixture is looked for [-]: wider than 0.84 to 0.98, where it is expected.
const BRACKET: (f64, f64) = (0.75, 1.1);
/// Width of the bracket at which the search ends [-]. Torque falls by up to 0.3 of itself per lambda beside its peak, where the burnt gas's
/// table has a corner, so that this costs at most 2e-4 of it.
const WIDTH: f64 = 1e-3;
/// Share of the bracket that a step of the golden section keeps [-].
const GOLDEN: f64 = 0.618_033_988_749_895;

/// The mixture of most torque.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BestMixture {
    /// Lambda of the whole charge [-].
    pub lambda: f64,
    /// Share of the best brake torque that the point's own mixture gives away [-]: `1 - torque / best torque`, 0 at the best mixture; none
    /// where even the best mixture gives no brake torque.
    pub lost: Option<f64>,
}

/// The mixture of most brake torque at the point of `rig`, whose last cycle is `record`, and what the point's own mixture loses against
/// it.
///
/// Held: speed, spark, trapped air and residual gas, their temperature, and with them the work of gas exchange and the work after the
/// exhaust valve opens. Varied: the trapped fuel alone ([`Rig::closed_part`]). So it says what jetting alone could win here, not what
/// another carburettor would. Brake work is `W = W_own + (W_c - W_c,own) - b (p_max - p_max,own) V_d` with the work `W_c` of the closed part
/// and the share `b` of the highest pressure in the friction. Golden section over lambda 0.75 to 1.1.
///
/// None if the point did not fire.
#[must_use]
pub fn best_mixture(rig: &Rig, record: &CycleRecord) -> Option<BestMixture> {
    if !record.trapped.fired {
        return None;
    }
    let engine = &rig.machine().engine;
    let swept = engine.crank.swept_volume();
    let own = rig.closed_part(None)?;
    let own_work = record.bmep() * swept;
    let work = |lambda: f64| -> Option<f64> {
        let part = rig.closed_part(Some(lambda))?;
        let friction = engine.friction.peak_pressure * (part.peak_pressure - own.peak_pressure) * swept;
        Some(own_work + (part.work - own.work) - friction)
    };
    let (mut lo, mut hi) = BRACKET;
    let (mut a, mut b) = (hi - GOLDEN * (hi - lo), lo + GOLDEN * (hi - lo));
    let (mut at_a, mut at_b) = (work(a)?, work(b)?);
    while hi - lo > WIDTH {
        if at_a > at_b {
            (hi, b, at_b) = (b, a, at_a);
            a = hi - GOLDEN * (hi - lo);
            at_a = work(a)?;
        } else {
            (lo, a, at_a) = (a, b, at_b);
            b = lo + GOLDEN * (hi - lo);
            at_b = work(b)?;
        }
    }
    let (mut lambda, mut best) = if at_a > at_b { (a, at_a) } else { (b, at_b) };
    if own_work >= best {
        (lambda, best) = (own.lambda, own_work);
    }
    let lost = (best > 0.0).then(|| 1.0 - own_work / best).filter(|l| l.is_finite());
    Some(BestMixture { lambda, lost })
}
