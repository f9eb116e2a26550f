//! How completely the fuel burns.

use crate::media::blend::Blend;
use crate::media::burnt_gas;

/// Share of the fuel that burns at all [-]; the rest hides in crevices and the quench layer and leaves unburnt. Source: Heywood, 1988,
/// fig. 3-9: 0.95 to 0.98 for lean mixtures (from memory).
pub const COMPLETENESS: f64 = 0.98;

/// Share of the lower heating value of `fuel` that is released [-] at `lambda` [-], when the burnt gas has cooled: what carbon
/// monoxide and hydrogen keep is missing when rich. Rises with lambda, constant from about 1 on.
///
/// Not modelled: misfire of lean mixtures.
#[must_use]
pub fn efficiency(fuel: &Blend, lambda: f64) -> f64 {
    COMPLETENESS * burnt_gas::released(fuel, lambda)
}
