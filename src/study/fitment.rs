//! What the dimensions alone say of how a carburettor fits its engine, before anything is run.

use serde::{Deserialize, Serialize};

use crate::hardware::machine::Machine;

/// Filling assumed for the air speeds [-]. Common practice for a road engine near its highest speed, no source.
pub const ASSUMED_FILLING: f64 = 0.8;
/// Openings in the table [slide lift over bore].
const OPENINGS: [f64; 8] = [0.0625, 0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 1.0];

/// The passages at one opening of the slide.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Passages {
    /// Slide lift over bore [-].
    pub throttle: f64,
    /// Share of the bore's area that is open under the engine-side edge [-].
    pub open_share: f64,
    /// Diameter of the needle in the metering edge of the needle jet [m].
    pub needle_diameter: f64,
    /// Area between needle and needle jet [m2]; 0 for a needle that fills the jet.
    pub annulus_area: f64,
    /// Area of the main jet over that of the annulus [-]: below 1 the main jet is the smaller hole and limits more than
    /// the needle does. `None` when the needle fills the jet.
    pub main_jet_share: Option<f64>,
}

/// How a carburettor fits its engine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Fitment {
    /// Swept volume [m3].
    pub swept_volume: f64,
    /// Mean piston speed at the highest speed [m/s].
    pub mean_piston_speed: f64,
    /// Speed for which the air speeds hold [rpm]: the highest of interest.
    pub rpm: f64,
    /// Air speed in the open bore, mean over the intake stroke [m/s].
    pub bore_air_speed: f64,
    /// Air speed in the throat of the inlet valves, mean over the intake stroke [m/s].
    pub port_air_speed: f64,
    /// Area of the bore over that of the inlet valves' throats [-].
    pub bore_over_port: f64,
    /// The passages at some openings.
    pub passages: Vec<Passages>,
}

impl Fitment {
    /// Works out the fitment of `machine`.
    ///
    /// Air speed, mean over the intake stroke: `4 Q / A` with `Q = V_d n / 2` times [`ASSUMED_FILLING`], since the air of
    /// two turns passes in half a turn. Annulus: `pi/4 (D^2 - d^2)`. Common practice, no source.
    #[must_use]
    pub fn of(machine: &Machine) -> Self {
        let (engine, slide) = (&machine.engine, &machine.carburettor.slide);
        let (rpm, swept_volume) = (engine.highest_rpm, engine.crank.swept_volume());
        let mean_flow = ASSUMED_FILLING * swept_volume * rpm / 120.0;
        let valve = &engine.inlet_valve;
        let throat = valve.port_diameter * valve.port_diameter - valve.stem_diameter * valve.stem_diameter;
        let throats = f64::from(valve.count) * 0.25 * std::f64::consts::PI * throat;
        Self {
            swept_volume,
            mean_piston_speed: engine.crank.mean_piston_speed(rpm),
            rpm,
            bore_air_speed: 4.0 * mean_flow / slide.bore_area(),
            port_air_speed: 4.0 * mean_flow / throats,
            bore_over_port: slide.bore_area() / throats,
            passages: OPENINGS.iter().map(|&throttle| passages(machine, throttle)).collect(),
        }
    }
}

fn passages(machine: &Machine, throttle: f64) -> Passages {
    let (slide, main) = (&machine.carburettor.slide, &machine.carburettor.main);
    let lift = throttle * slide.bore;
    let needle_diameter = main.needle.diameter(main.needle.station(lift));
    let ring = main.needle_jet.bore * main.needle_jet.bore - needle_diameter * needle_diameter;
    let annulus_area = 0.25 * std::f64::consts::PI * ring.max(0.0);
    let main_jet_share = (annulus_area > 0.0).then(|| main.main_jet.area() / annulus_area);
    Passages { throttle, open_share: slide.opening(lift), needle_diameter, annulus_area, main_jet_share }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::setup;

    fn single_650() -> Machine {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trade/single_650.toml");
        setup::load(&path, None).unwrap().value.machine
    }

    /// 100 x 82 mm, 40 mm bore, 6500 rpm, filling 0.80: 644 cm3 and 89 m/s. Worked by hand.
    #[test]
    fn air_speed_and_displacement_agree_with_hand_calculation() {
        let fitment = Fitment::of(&single_650());
        assert!((fitment.swept_volume - 644.0e-6).abs() < 0.5e-6);
        assert!((fitment.bore_air_speed - 89.0).abs() < 0.5, "{}", fitment.bore_air_speed);
        assert!((fitment.mean_piston_speed - 17.77).abs() < 0.01);
    }

    /// A 2.675 mm needle jet with a needle of the diameter shown leaves pi/4 (D^2 - d^2). Geometry.
    #[test]
    fn the_annulus_never_shrinks_as_the_slide_rises_and_ends_above_the_main_jet() {
        let passages = Fitment::of(&single_650()).passages;
        assert!(
            passages.windows(2).all(|p| p[1].annulus_area >= p[0].annulus_area && p[1].open_share > p[0].open_share)
        );
        for p in &passages {
            let ring = (2.675e-3_f64.powi(2) - p.needle_diameter.powi(2)) * std::f64::consts::FRAC_PI_4;
            assert!((p.annulus_area - ring).abs() < 1e-12);
        }
        let full = passages[passages.len() - 1];
        assert!((full.open_share - 1.0).abs() < 1e-12);
        assert!(full.main_jet_share.unwrap() < 1.0, "at full throttle the main jet limits");
    }
}
