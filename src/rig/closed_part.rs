//! The closed part of a cycle, from the inlet valve's closing to the exhaust valve's opening, run again by itself.

use super::machine_state::{CYCLE_ANGLE, CYCLE_START, Rig};
use crate::cylinder::burn::Burn;
use crate::cylinder::combustion_chamber::Cylinder;

/// The cylinder when the inlet valve shut, before its burn was decided.
#[derive(Debug, Clone, PartialEq)]
pub struct TrappedState {
    pub(super) cylinder: Cylinder,
    /// Crank angle [rad after firing top centre, -pi to 3 pi].
    pub(super) phase: f64,
}

/// What the closed part did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClosedPart {
    /// Work on the piston [J].
    pub work: f64,
    /// Highest pressure [Pa].
    pub peak_pressure: f64,
    /// Lambda of the whole charge [-].
    pub lambda: f64,
    /// Whether it burnt.
    pub fired: bool,
}

impl Rig {
    /// The closed part of the last cycle that trapped a charge, with as much fuel as makes its lambda `lambda` [-], or with its own.
    ///
    /// Held: the trapped air and burnt gas, their temperature, the speed, the spark's setting, the walls. Fuel is vapour and liquid in the
    /// proportion trapped; what is added or taken has the charge's temperature, and the pressure follows from the mass of gas. Not
    /// followed: what another mixture does to the charge's temperature and filling on its way in, and the other residual gas of
    /// the cycles after.
    ///
    /// None if no charge was trapped yet, or it has no fuel or no air.
    #[must_use]
    pub fn closed_part(&self, lambda: Option<f64>) -> Option<ClosedPart> {
        let trapped = self.trapped.as_deref()?;
        let mut cylinder = trapped.cylinder.clone();
        let needed = self.machine.fuel.stoichiometric / self.dry;
        let c = &mut cylinder.charge;
        let fuel = c.vapour + c.liquid;
        if !(fuel > 0.0 && c.air > 0.0) {
            return None;
        }
        if let Some(lambda) = lambda {
            let factor = c.air / (needed * lambda * fuel);
            let m = c.gas();
            let before = m * self.gas.r(c.burnt / m, c.vapour / m);
            let added = (factor - 1.0) * c.vapour;
            c.energy += added * self.gas.internal_energy(c.temperature, 0.0, 1.0);
            c.vapour += added;
            c.liquid *= factor;
            let m = c.gas();
            c.pressure *= m * self.gas.r(c.burnt / m, c.vapour / m) / before;
            cylinder.trap();
        }
        let burn = self.plan_burn(&cylinder, trapped.phase);
        cylinder.ignite(burn);
        Some(self.run_closed(cylinder, trapped.phase, &burn))
    }

    /// The burn of the charge in `cylinder`, decided at crank angle `phase` [rad].
    pub(super) fn plan_burn(&self, cylinder: &Cylinder, phase: f64) -> Burn {
        let e = &self.machine.engine;
        Burn::plan(
            &e.combustion,
            &e.crank,
            (phase, self.point.rpm),
            (&cylinder.charge, cylinder.volume),
            (self.dry, &self.machine.fuel),
        )
    }

    /// Runs `cylinder` from `phase` [rad] in the machine's largest steps to the next opening of the exhaust valve.
    fn run_closed(&self, mut cylinder: Cylinder, phase: f64, burn: &Burn) -> ClosedPart {
        let rpm = self.point.rpm;
        let omega = rpm * std::f64::consts::PI / 30.0;
        let open = self.machine.engine.exhaust_valve.lift.opening();
        let length = (open - phase).rem_euclid(CYCLE_ANGLE);
        let steps = libm::ceil(length / self.settings.largest_angle).max(1.0);
        let angle = length / steps;
        let before = cylinder.books.work;
        cylinder.peak_pressure = cylinder.charge.pressure;
        for i in 1..=steps as u32 {
            let along = phase + f64::from(i) * angle;
            let theta = if along >= CYCLE_START + CYCLE_ANGLE { along - CYCLE_ANGLE } else { along };
            cylinder.step(&self.gas, angle / omega, theta, rpm, Default::default(), true);
        }
        ClosedPart {
            work: cylinder.books.work - before,
            peak_pressure: cylinder.peak_pressure,
            lambda: burn.lambda,
            fired: burn.fired,
        }
    }
}
