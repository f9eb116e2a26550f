//! The carburettor's air passage at one lift: throat, area at the nozzle, areas at the by-pass holes.

use crate::hardware::carburettor::Carburettor;
use crate::hardware::duct::Piece;
use crate::laws::stream::Local;
use crate::metering::surroundings::Outside;

/// Areas of the passage under the slide at one lift.
#[derive(Debug, Clone, PartialEq)]
pub struct Passage {
    /// Effective area of the throat [m2].
    pub throat: f64,
    /// Share of the flow that passes under the slide; the rest leaks around it [-].
    pub under: f64,
    /// Share of the passage's height at the nozzle that is open above the shroud [-]. It scales the signal
    /// coefficient: a shroud whose top stands in the slide's relief has no free edge to shed a wake from.
    pub exposure: f64,
    /// Area that the stream fills at the nozzle [m2].
    pub nozzle: f64,
    /// Area at each by-pass hole under or ahead of the slide [m2], none for a hole behind it.
    pub bypass: Vec<Option<f64>>,
}

impl Passage {
    /// The passage at `lift` [m].
    ///
    /// Throat: the smaller of the opening under the engine-side edge and the opening at the nozzle, times the
    /// discharge coefficient, which runs from its small-opening to its open value with the square of the opening
    /// (contraction under a gate stays near its small-opening value to half lift). The slide's leak is added.
    ///
    /// A shroud that stands in the hollow of the slide's underside, as it must when the slide is nearly shut, blocks nothing that its
    /// mouth could feel: the mouth has the pressure of the hollow.
    #[must_use]
    pub fn new(c: &Carburettor, lift: f64) -> Self {
        let slide = &c.slide;
        let edge = slide.segment_area(lift);
        let height = slide.local_height(lift, c.main.nozzle.cutaway_share).min(slide.bore);
        let shroud = c.main.nozzle.protrusion.clamp(0.0, height);
        let exposure = if height > 0.0 { 1.0 - shroud / height } else { 0.0 };
        let needle = c.main.needle.diameter(c.main.needle.station(lift));
        let blocked = exposure * c.main.nozzle.width * shroud + needle * (height - shroud);
        let local = slide.segment_area(height);
        // A shroud as wide as a nearly shut opening cannot take all of it: the gas passes on both sides.
        let nozzle = (local - blocked).max(0.5 * local);
        let s = slide.opening(lift);
        let discharge = slide.discharge_shut + (slide.discharge_open - slide.discharge_shut) * s * s;
        let under = discharge * edge.min(nozzle);
        let throat = under + slide.leak_area;
        // Behind a vacuum piston they stand at the butterfly.
        let holes = if c.vacuum.is_some() { &[][..] } else { &c.pilot.bypass[..] };
        let bypass = holes
            .iter()
            .map(|hole| {
                let station = hole.upstream_of_edge / slide.width;
                // Ahead of the lip the underside stands as high as at the nozzle; under the lip it has hardly risen.
                let risen = if station > slide.kind.lip() { station.max(c.main.nozzle.cutaway_share) } else { station };
                // Ahead of the slide the bore is open.
                let height = if station > 1.0 { slide.bore } else { slide.local_height(lift, risen).min(slide.bore) };
                (station >= 0.0).then(|| slide.segment_area(height))
            })
            .collect();
        Self { throat, under: if throat > 0.0 { under / throat } else { 0.0 }, nozzle, exposure, bypass }
    }
}

/// What the main nozzle meets in a stream that is `local` there: `p_s - k rho u^2 / 2`.
#[must_use]
pub fn nozzle(local: &Local, signal: f64) -> Outside {
    Outside { p: local.p - signal * local.head(), rho: local.rho }
}

/// Pieces from the open end to the slide, the end's added length in front.
#[must_use]
pub fn atmosphere_side(c: &Carburettor, air_temperature: f64) -> Vec<Piece> {
    let added = c.mouth.first().and_then(|p| Piece::added_length(c.end_correction, p.diameter_start, air_temperature));
    added.into_iter().chain(c.mouth.iter().cloned()).collect()
}
