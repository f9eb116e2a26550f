//! Where the needle jet hands over to the main jet: two restrictions in series, from the parts alone.

use serde::{Deserialize, Serialize};

use crate::hardware::machine::Machine;
use crate::laws::annulus::AnnulusLaw;
use crate::laws::jet::JetLaw;
use crate::laws::orifice;
use crate::numeric::root;

/// Pressure drop over both restrictions at which their coefficients are taken [Pa]: about the mean signal of an open
/// throttle.
pub const REFERENCE_DROP: f64 = 2000.0;
/// Parts of full lift between rows.
const PARTS: u32 = 128;
/// Relative tolerance of the flow through both [-].
const FLOW_TOLERANCE: f64 = 1e-10;

/// Areas at one lift, for fuel alone.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct HandOverRow {
    /// Slide lift over bore [-].
    pub throttle: f64,
    /// Slide lift [m].
    pub lift_m: f64,
    /// Open area of the ring between needle and needle jet [m2].
    pub ring_m2: f64,
    /// The same times the coefficient that the whole drop over it would give [m2].
    pub ring_effective_m2: f64,
    /// Effective area of ring and main jet in series [m2]: what passes under the whole drop, over its ideal speed.
    pub series_effective_m2: f64,
    /// The main jet's say by areas [-]: `(1/Am^2) / (1/Am^2 + 1/An^2)`.
    pub main_jet_share: f64,
    /// The main jet's part of the drop [-], each restriction with its own coefficient: the same with `Cd A` for `A`.
    pub main_jet_share_by_drop: f64,
}

/// Areas against lift and where the main jet takes over.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct HandOver {
    /// Drop over both restrictions at which the coefficients are taken [Pa].
    pub reference_drop_pa: f64,
    /// Area of the main jet [m2].
    pub main_jet_m2: f64,
    /// The same times its coefficient [m2].
    pub main_jet_effective_m2: f64,
    /// Rows, lift rising from shut to full.
    pub rows: Vec<HandOverRow>,
    /// Throttles at which the main jet's say by areas first reaches 1/4, 1/2 and 3/4 [-]; none where it never does.
    pub quarters: [Option<f64>; 3],
}

/// The hand-over of `machine`.
#[must_use]
pub fn hand_over(machine: &Machine) -> HandOver {
    let (main, fuel, bore) = (&machine.carburettor.main, &machine.fuel, machine.carburettor.slide.bore);
    let jet = JetLaw::new(main.main_jet.bore, main.main_jet.length, fuel.density, fuel.viscosity);
    let area = main.main_jet.area();
    let ideal = (2.0 * REFERENCE_DROP / fuel.density).sqrt();
    let most = jet.flow(REFERENCE_DROP);
    let row = |i: u32| {
        let throttle = f64::from(i) / f64::from(PARTS);
        let lift = throttle * bore;
        let a = main.needle_jet.annulus(&main.needle, lift);
        let ring =
            AnnulusLaw::new(a.outer_diameter, a.inner_diameter, a.length, a.eccentricity, fuel.density, fuel.viscosity);
        let over = |q: f64| jet.pressure_loss(q) + ring.pressure_loss(q) - REFERENCE_DROP;
        // both losses grow with the flow: none at 0, more than the drop at what the jet alone passes
        let flow = root::find(over, 0.0, 1.001 * most, FLOW_TOLERANCE * most).map_or(f64::NAN, |r| r.x);
        HandOverRow {
            throttle,
            lift_m: lift,
            ring_m2: a.area(),
            ring_effective_m2: ring.flow(REFERENCE_DROP) / ideal,
            series_effective_m2: flow / ideal,
            main_jet_share: orifice::series_share(area, a.area()),
            main_jet_share_by_drop: jet.pressure_loss(flow) / REFERENCE_DROP,
        }
    };
    let rows: Vec<HandOverRow> = (0..=PARTS).map(row).collect();
    let quarters = [0.25, 0.5, 0.75].map(|share| reaches(&rows, share));
    HandOver {
        reference_drop_pa: REFERENCE_DROP,
        main_jet_m2: area,
        main_jet_effective_m2: most / ideal,
        rows,
        quarters,
    }
}

/// Throttle at which the say by areas first reaches `share`, linear between rows.
fn reaches(rows: &[HandOverRow], share: f64) -> Option<f64> {
    if rows.first()?.main_jet_share >= share {
        return rows.first().map(|r| r.throttle);
    }
    let pair = rows.windows(2).find(|w| w[1].main_jet_share >= share)?;
    let (a, b) = (&pair[0], &pair[1]);
    Some(a.throttle + (b.throttle - a.throttle) * (share - a.main_jet_share) / (b.main_jet_share - a.main_jet_share))
}
