//! The well of a bleed nozzle: its fuel is drawn down, uncovers the side holes one after the other, and refills.
//!
//! ```text
//! surface z [m below the floor of the bore]:   A dz/dt = sum q_i
//! hole i, its covered share:                   q_i = Cd a_i (1 - s_i) sqrt(2 D_i/rho),  D_i = p_w + rho g (h_i - z) - p_i
//! hole i, its uncovered share s_i(z):          air, in series with the main air jet
//! gas above the fuel:                          p_w = p_air - (p_air - p_c) (A_series/A_jet)^2
//! fuel in the holder beside the hole:          p_i = p_c + weight of the emulsion + rho g (h_i - top of the fuel without air)
//! ```
//!
//! At rest the fuel stands at the bowl's level, above some or all holes. A weak signal draws fuel from the well and no air: a late start of
//! the bleed. A stronger one draws the surface down to where the holes above it pass the air that leaves the rest in balance. When the
//! signal ends, fuel comes back through the covered holes. The stock is delivered when the slide is opened.
//!
//! Limits: quasi-steady orifices, no inertia of the fuel in the holes; the pressure drop of the jet incompressible (exact within 1 % to
//! 2 kPa); air through a partly covered hole does not carry fuel from the well. Source: orifice flow, hydrostatics; what such wells
//! do: Arias & Shedd, J. Fluids Eng. 127, 778 (2005) (abstract).

use super::main_circuit::{AIR_JET_DISCHARGE, OUTLET_DISCHARGE};
use crate::hardware::bleed_well::{BleedWell, SideHole};
use crate::laws::orifice::series;
use crate::media::atmosphere::G0;

/// What stands beside the holes in the holder.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Holder {
    /// Pressure of the emulsion chamber [Pa].
    pub pressure: f64,
    /// Pressure that the weight of the emulsion adds where air enters [Pa].
    pub weight: f64,
    /// Depth below the floor of the bore from which on fuel without air stands in the holder [m].
    pub top: f64,
}

/// The well in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct Well {
    holes: Vec<SideHole>,
    area: f64,
    jet_area: f64,
    density: f64,
    /// Depth of the surface at rest below the floor of the bore [m].
    full: f64,
    /// Depth of the surface below the floor of the bore [m].
    pub surface: f64,
}

impl Well {
    /// The well at rest, its surface `level_below_bore` [m] below the floor of the bore. `jet_area` [m2] is the main air jet's area, `density`
    /// [kg/m3] the fuel's.
    #[must_use]
    pub fn new(parts: &BleedWell, jet_area: f64, level_below_bore: f64, density: f64) -> Self {
        Self {
            holes: parts.holes.clone(),
            area: parts.surface_area(),
            jet_area: AIR_JET_DISCHARGE * jet_area,
            density,
            full: level_below_bore,
            surface: level_below_bore,
        }
    }

    /// Lowers the level at rest by `depth` [m]: a bowl that is tilted or accelerated.
    pub fn lower(&mut self, depth: f64) {
        self.full += depth;
        self.surface += depth;
    }

    /// How far the surface can fall below the level at rest [m].
    #[must_use]
    pub fn range(&self) -> f64 {
        (self.lowest() - self.full).max(0.0)
    }

    /// Depth of the lower edge of the lowest hole [m].
    fn lowest(&self) -> f64 {
        self.holes.iter().fold(f64::NEG_INFINITY, |a, h| a.max(h.below + 0.5 * h.bore))
    }

    /// Sets the surface lower by `depth` [m], between the floor of the bore and the lowest hole.
    pub fn sink(&mut self, depth: f64) {
        self.surface = (self.surface + depth).min(self.lowest().max(self.surface)).max(0.0);
    }

    /// Draws this well down as far below its own level at rest as `other` is.
    pub fn drawn_down_as(&mut self, other: &Self) {
        self.surface = self.full + (other.surface - other.full);
    }

    /// Effective area for air from the main air jet's entry into the holder [m2]: the jet and the uncovered holes in series.
    #[must_use]
    pub fn air_area(&self) -> f64 {
        let holes: f64 = self.holes.iter().map(|h| OUTLET_DISCHARGE * h.area() * h.uncovered(self.surface)).sum();
        series(self.jet_area, holes)
    }

    /// Fuel missing from the well against its level at rest [kg].
    #[must_use]
    pub fn missing(&self) -> f64 {
        self.density * self.area * (self.surface - self.full)
    }

    /// Pressure of the gas above the fuel [Pa], `air` [Pa] in front of the air jet.
    #[must_use]
    pub fn pressure(&self, air: f64, holder: f64) -> f64 {
        let share = self.air_area() / self.jet_area;
        air - (air - holder) * share * share
    }

    /// One step of `dt` [s]; returns the volume given to the holder, negative when it flowed back [m3].
    ///
    /// The fuel neither leaves over the floor of the bore nor sinks below the lowest hole.
    pub fn step(&mut self, dt: f64, air: f64, holder: &Holder) -> f64 {
        let gas = self.pressure(air, holder.pressure);
        let mut rate = 0.0;
        for h in &self.holes {
            let covered = 1.0 - h.uncovered(self.surface);
            let outside = gas + self.density * G0 * (h.below - self.surface);
            let inside = holder.pressure + holder.weight + self.density * G0 * (h.below - holder.top).max(0.0);
            let drop = outside - inside;
            let speed = (2.0 * drop.abs() / self.density).sqrt().copysign(drop);
            rate += OUTLET_DISCHARGE * h.area() * covered * speed;
        }
        let lowest = self.lowest();
        let before = self.surface;
        self.surface = (before + dt * rate / self.area).clamp(0.0_f64.min(before), lowest.max(before));
        self.area * (self.surface - before)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const FUEL: f64 = 740.0;
    const AIR: f64 = 101_325.0;

    fn parts() -> BleedWell {
        let hole = |below| SideHole { bore: 0.8e-3, below };
        BleedWell { outer: 9e-3, inner: 7e-3, holes: vec![hole(14e-3), hole(20e-3), hole(26e-3)] }
    }

    fn well() -> Well {
        Well::new(&parts(), 1.77e-6, 12e-3, FUEL)
    }

    fn settled(depression: f64) -> Well {
        let mut w = well();
        let holder = Holder { pressure: AIR - depression, weight: 50.0, top: 14e-3 };
        for _ in 0..400_000 {
            w.step(2e-5, AIR, &holder);
        }
        w
    }

    #[test]
    fn at_rest_nothing_moves() {
        let mut w = well();
        let holder = Holder { pressure: AIR, weight: 0.0, top: 12e-3 };
        for _ in 0..1000 {
            assert!(w.step(2e-5, AIR, &holder).abs() < 1e-18);
        }
        assert!((w.surface - 12e-3).abs() < 1e-12 && w.missing().abs() < 1e-12);
    }

    // Hydrostatics and orifices: the emulsion in the holder weighs 50 Pa, some 14 mm of half the fuel's density.
    #[test]
    fn a_signal_draws_the_surface_down_and_opens_holes_the_more_the_stronger_it_is() {
        let wells: Vec<Well> = [20.0, 60.0, 200.0, 2000.0].iter().map(|d| settled(*d)).collect();
        assert!(well().air_area() <= 0.0);
        assert!(
            wells.windows(2).all(|w| w[1].surface >= w[0].surface && w[1].air_area() >= w[0].air_area()),
            "{wells:?}"
        );
        assert!(wells[0].surface < 14.0e-3 && wells[3].surface > 26.0e-3, "{wells:?}");
    }

    #[test]
    fn what_it_gives_is_what_it_loses_and_it_refills_to_the_level_of_the_bowl() {
        let mut w = well();
        let mut given = 0.0;
        let suction = Holder { pressure: AIR - 800.0, weight: 0.0, top: 40e-3 };
        for _ in 0..20_000 {
            given += w.step(2e-5, AIR, &suction);
        }
        assert!((FUEL * given - w.missing()).abs() < 1e-15 && given > 0.0, "{given}");
        let still = Holder { pressure: AIR, weight: 0.0, top: 12e-3 };
        for _ in 0..400_000 {
            given += w.step(2e-5, AIR, &still);
        }
        assert!((w.surface - 12e-3).abs() < 1e-6, "{}", w.surface);
        assert!(given.abs() < 1e-12);
    }

    // Torricelli, one covered hole under a constant drop: A z = Cd a sqrt(2 D/rho) t; here D falls by the sinking head, less than 2 %.
    #[test]
    fn a_covered_hole_passes_what_torricelli_says() {
        let one = BleedWell { holes: vec![SideHole { bore: 0.8e-3, below: 30e-3 }], ..parts() };
        let mut w = Well::new(&one, 1.77e-6, 12e-3, FUEL);
        let holder = Holder { pressure: AIR - 5000.0, weight: 0.0, top: 40e-3 };
        let given: f64 = (0..100).map(|_| w.step(1e-5, AIR, &holder)).sum();
        let drop = 5000.0 + FUEL * G0 * 18e-3;
        let want = OUTLET_DISCHARGE * one.holes[0].area() * (2.0 * drop / FUEL).sqrt() * 1e-3;
        assert!((given / want - 1.0).abs() < 2e-3, "{given} {want}");
    }
}
