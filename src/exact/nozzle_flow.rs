//! Laval nozzle: steady flow from rest at `p0` through a throat to a back pressure.
//!
//! As the back pressure falls: subsonic throughout; the throat becomes sonic (at `first_choking`); a normal shock stands in
//! the divergent part and moves to the exit (at `shock_at_exit`); then all of the divergent part is supersonic and the flow
//! inside no longer changes: shocks outside above `matched`, no wave at it, a fan outside below it.
//!
//! Isentropic but for the shock. With a shock, the exit Mach number follows from the mass flow and the pressure at the exit,
//! `M sqrt(1 + (g-1)/2 M^2) = sqrt((2/(g+1))^((g+1)/(g-1))) (A*/Ae) (p0/pe)`, the loss of stagnation pressure from that, and
//! the Mach number in front of the shock from the loss.
//!
//! Limits: one-dimensional, no friction, no separation from the wall. Source: Liepmann & Roshko, *Elements of Gasdynamics*,
//! 1957, chapter 5; Anderson, *Modern Compressible Flow*, chapter 5 (both from memory).

use super::branch::Branch;
use super::error::{Error, need, need_gamma, need_positive};
use super::isentropic::{self, Isentropic};
use super::normal_shock::{self, NormalShock};

/// A nozzle: three areas in one unit, and the gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LavalNozzle {
    inlet: f64,
    throat: f64,
    exit: f64,
    gamma: f64,
}

/// What stands in the divergent part.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Regime {
    /// Subsonic flow; the throat is sonic at `first_choking` only.
    Subsonic,
    /// Supersonic flow up to a shock at `area`, subsonic behind it.
    Shock {
        /// Where it stands, as the area there.
        area: f64,
        /// Mach numbers and ratios across it.
        shock: NormalShock,
    },
    /// Supersonic flow to the exit.
    Supersonic,
}

/// Which side of the throat.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// Between inlet and throat.
    Convergent,
    /// Between throat and exit.
    Divergent,
}

/// The flow at one back pressure. Pressures are over the stagnation pressure upstream.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NozzleFlow {
    nozzle: LavalNozzle,
    /// What stands in the divergent part.
    pub regime: Regime,
    /// Area of sonic flow upstream of any shock, in the unit of the areas; the throat's if that is sonic.
    pub sonic_area: f64,
    /// Mach number at the inlet [-].
    pub inlet_mach: f64,
    /// Mach number in the throat [-].
    pub throat_mach: f64,
    /// Mach number in the plane of the exit [-].
    pub exit_mach: f64,
    /// Pressure in the plane of the exit [-]: the back pressure unless the flow leaves at Mach 1 or more.
    pub exit_pressure: f64,
    /// Stagnation pressure at the exit [-], below 1 behind a shock.
    pub exit_stagnation_pressure: f64,
}

/// The state at one place of the nozzle [-].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Local {
    /// Mach number.
    pub mach: f64,
    /// Pressure over the stagnation pressure upstream.
    pub p: f64,
    /// Stagnation pressure over that upstream.
    pub p0: f64,
    /// Temperature over the stagnation temperature.
    pub t: f64,
    /// Density over the stagnation density upstream.
    pub rho: f64,
}

impl LavalNozzle {
    /// A nozzle of areas `inlet >= throat <= exit`, in any one unit.
    ///
    /// # Errors
    /// An area not above 0, a throat wider than an end, `gamma` not above 1.
    pub fn new(inlet: f64, throat: f64, exit: f64, gamma: f64) -> Result<Self, Error> {
        need_gamma(gamma)?;
        need_positive("throat", throat)?;
        need(inlet >= throat && inlet.is_finite(), "inlet", inlet, "an area not below that of the throat")?;
        need(exit >= throat && exit.is_finite(), "exit", exit, "an area not below that of the throat")?;
        Ok(Self { inlet, throat, exit, gamma })
    }

    fn isentropic_exit(&self, branch: Branch) -> Result<Isentropic, Error> {
        let mach = isentropic::mach_from_area(self.exit / self.throat, self.gamma, branch)?;
        isentropic::at(mach, self.gamma)
    }

    /// Back pressure [-] at which the throat first becomes sonic, the flow behind it still subsonic.
    ///
    /// # Errors
    /// An exit so wide that no Mach number fits it.
    pub fn first_choking(&self) -> Result<f64, Error> {
        Ok(self.isentropic_exit(Branch::Subsonic)?.p)
    }

    /// Back pressure [-] at which the shock stands in the exit.
    ///
    /// # Errors
    /// As `first_choking`.
    pub fn shock_at_exit(&self) -> Result<f64, Error> {
        let exit = self.isentropic_exit(Branch::Supersonic)?;
        Ok(exit.p * normal_shock::across(exit.mach, self.gamma)?.p)
    }

    /// Back pressure [-] of supersonic flow without a shock, inside or outside.
    ///
    /// # Errors
    /// As `first_choking`.
    pub fn matched(&self) -> Result<f64, Error> {
        Ok(self.isentropic_exit(Branch::Supersonic)?.p)
    }

    /// Flow at the back pressure `back` over the stagnation pressure upstream [-].
    ///
    /// # Errors
    /// A back pressure outside (0, 1), an exit so wide that no Mach number fits it.
    pub fn flow(&self, back: f64) -> Result<NozzleFlow, Error> {
        need(back > 0.0 && back < 1.0, "pe/p0", back, "between 0 and 1")?;
        if back >= self.first_choking()? {
            let exit_mach = isentropic::mach_from_pressure(back, self.gamma)?;
            let sonic_area = self.exit / isentropic::at(exit_mach, self.gamma)?.area;
            return self.assemble(Regime::Subsonic, sonic_area.min(self.throat), exit_mach, back, 1.0);
        }
        if back > self.shock_at_exit()? {
            let exit_mach = self.exit_mach_behind_shock(back);
            let p0 = back / isentropic::at(exit_mach, self.gamma)?.p;
            let shock = normal_shock::from_stagnation_pressure(p0.min(1.0), self.gamma)?;
            let area = self.throat * isentropic::at(shock.mach_1, self.gamma)?.area;
            return self.assemble(Regime::Shock { area, shock }, self.throat, exit_mach, back, p0);
        }
        let exit = self.isentropic_exit(Branch::Supersonic)?;
        self.assemble(Regime::Supersonic, self.throat, exit.mach, exit.p, 1.0)
    }

    /// Root of the quadratic in `M^2`: `(g-1)/2 M^4 + M^2 = k^2`, written so that nothing cancels.
    fn exit_mach_behind_shock(&self, back: f64) -> f64 {
        let g = self.gamma;
        let k = libm::pow(2.0 / (g + 1.0), 0.5 * (g + 1.0) / (g - 1.0)) * self.throat / (self.exit * back);
        (2.0 * k * k / (1.0 + (1.0 + 2.0 * (g - 1.0) * k * k).sqrt())).sqrt()
    }

    fn assemble(&self, regime: Regime, sonic_area: f64, mach: f64, p: f64, p0: f64) -> Result<NozzleFlow, Error> {
        let subsonic = |area: f64| isentropic::mach_from_area(area / sonic_area, self.gamma, Branch::Subsonic);
        Ok(NozzleFlow {
            nozzle: *self,
            regime,
            sonic_area,
            inlet_mach: subsonic(self.inlet)?,
            throat_mach: subsonic(self.throat)?,
            exit_mach: mach,
            exit_pressure: p,
            exit_stagnation_pressure: p0,
        })
    }
}

impl NozzleFlow {
    /// State where the area is `area`, in the part before or after the throat. At the shock itself: the state in front.
    ///
    /// # Errors
    /// An area that this part of the nozzle does not have.
    pub fn at(&self, area: f64, part: Part) -> Result<Local, Error> {
        let widest = match part {
            Part::Convergent => self.nozzle.inlet,
            Part::Divergent => self.nozzle.exit,
        };
        need(area >= self.nozzle.throat && area <= widest, "area", area, "an area between the throat and that end")?;
        let (branch, p0) = match (part, self.regime) {
            (Part::Convergent, _) | (_, Regime::Subsonic) => (Branch::Subsonic, 1.0),
            (_, Regime::Shock { area: place, shock }) if area > place => (Branch::Subsonic, shock.p0),
            (_, Regime::Shock { .. } | Regime::Supersonic) => (Branch::Supersonic, 1.0),
        };
        // behind the shock the area of sonic flow has grown as the stagnation pressure has fallen
        // (never below 1 but for rounding, close behind a shock that has just left the throat)
        let ratio = (area * p0 / self.sonic_area).max(1.0);
        let mach = isentropic::mach_from_area(ratio, self.nozzle.gamma, branch)?;
        let here = isentropic::at(mach, self.nozzle.gamma)?;
        Ok(Local { mach, p: p0 * here.p, p0, t: here.t, rho: p0 * here.rho })
    }
}
