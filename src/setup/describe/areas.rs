//! Areas that change with a lift.

use std::f64::consts::PI;

use serde::Serialize;

use crate::hardware::carburettor::Carburettor;
use crate::hardware::poppet_valve::PoppetValve;
use crate::laws::orifice::series_share;
use crate::laws::valve_flow::discharge_curtain;

/// Areas of all valves of one kind at one lift.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ValveRow {
    /// Lift [m].
    pub lift: f64,
    /// Curtain area `n pi D L` [m2].
    pub curtain: f64,
    /// Geometric minimum area [m2].
    pub geometric: f64,
    /// Area that passes the flow without loss [m2]: discharge coefficient times curtain.
    pub effective: f64,
}

/// Rows from a twentieth of the head's diameter on, in twentieths, and one at full lift.
#[must_use]
pub fn valve_rows(valve: &PoppetValve) -> Vec<ValveRow> {
    let highest = valve.lift.max_lift();
    let step = 0.05 * valve.head_diameter;
    let below = (1..20).map(|i| f64::from(i) * step).take_while(|l| *l < highest * (1.0 - 1e-6));
    let n = f64::from(valve.count);
    below
        .chain([highest])
        .map(|lift| {
            let curtain = n * PI * valve.head_diameter * lift;
            let share = discharge_curtain(lift / valve.head_diameter) * valve.flow_factor;
            ValveRow { lift, curtain, geometric: n * valve.geometric_area(lift), effective: share * curtain }
        })
        .collect()
}

/// Needle and needle jet at one lift of the slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct NeedleRow {
    /// Lift over bore [-].
    pub throttle: f64,
    /// Lift [m].
    pub lift: f64,
    /// Diameter of the needle in the jet [m].
    pub needle: f64,
    /// Area of the ring [m2].
    pub ring: f64,
    /// Area of the main jet [m2].
    pub main_jet: f64,
    /// Part of the resistance that the main jet has [-]: `(1/Am^2) / (1/Am^2 + 1/An^2)`, equal coefficients taken.
    pub main_jet_share: f64,
    /// Area of the bore open under the slide's engine-side edge [m2].
    pub slide: f64,
}

/// Rows at each sixteenth of full lift.
#[must_use]
pub fn needle_rows(carburettor: &Carburettor) -> Vec<NeedleRow> {
    let (main, slide) = (&carburettor.main, &carburettor.slide);
    let main_jet = main.main_jet.area();
    (1..=16)
        .map(|i| {
            let throttle = f64::from(i) / 16.0;
            let lift = throttle * slide.bore;
            let annulus = main.needle_jet.annulus(&main.needle, lift);
            let ring = annulus.area();
            NeedleRow {
                throttle,
                lift,
                needle: annulus.inner_diameter,
                ring,
                main_jet,
                main_jet_share: series_share(main_jet, ring),
                slide: slide.segment_area(lift),
            }
        })
        .collect()
}
