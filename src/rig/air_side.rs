//! What the carburettor's mouth draws from: free air with what was blown out, or an air box or pod filter before it.

use super::cloud::Cloud;
use crate::gas::duct_cells::{DuctCells, Unphysical};
use crate::gas::exchange::{EndFlux, Exchange};
use crate::gas::face::{FaceFlow, Trend, loss_area, restriction};
use crate::gas::grid::GridError;
use crate::gas::lone_duct::into_vessel;
use crate::gas::plenum::{Inflow, Plenum};
use crate::gas::trace::{Side, Trace, Vessel};
use crate::hardware::air_box::AirBox;
use crate::hardware::duct::Piece;
use crate::laws::loss::FLUSH_PIPE;
use crate::media::atmosphere::FreeAir;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Relative change of the filter's flow at which its solve ends [-].
const FILTER_TOLERANCE: f64 = 1e-9;
/// Largest number of solves of the inlet's inner end in one step.
const MOST_SOLVES: u32 = 30;

/// A volume in front of the mouth, with its inlet.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxAir {
    /// Gas in the volume.
    pub plenum: Plenum,
    /// Inlet duct from the free air; none for a pod filter.
    pub inlet: Option<DuctCells>,
    inlet_loss: f64,
    /// Pressure drop of the filter per volume flow [Pa s/m3].
    resistance: f64,
    /// Volume flow through the filter into the volume [m3/s].
    through_filter: Trend,
    /// Slope that the last solve of the filter's flow ended with [-].
    slope: f64,
    trends: [Trend; 2],
    /// What mouth and air jets give to the volume in this step.
    pub(super) pending: [Inflow; 4],
}

/// The air in front of the mouth.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSide {
    /// What was blown out into the free air and waits there.
    pub cloud: Cloud,
    /// Air box or pod filter.
    pub air_box: Option<BoxAir>,
    /// The free air as a vessel, and its density [kg/m3].
    free: (Vessel, f64),
}

/// What crossed the border to the free air in one step.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Crossed {
    /// Free air drawn in [kg].
    pub air_in: f64,
    /// Gas blown out [kg], what it is, and its temperature [K].
    pub out: (f64, Composition, f64),
}

/// The duct of the box's inlet with the added lengths of both its ends.
fn inlet_pieces(part: &AirBox, t: f64) -> Vec<Piece> {
    let (outer, inner) = part.end_corrections;
    let first = part.inlet.first().and_then(|p| Piece::added_length(outer, p.diameter_start, t));
    let last = part.inlet.last().and_then(|p| Piece::added_length(inner, p.diameter_end, t));
    first.into_iter().chain(part.inlet.iter().cloned()).chain(last).collect()
}

impl AirSide {
    /// Everything at rest.
    ///
    /// # Errors
    /// An inlet that cannot be cut into cells.
    pub fn new(part: Option<&AirBox>, air: &FreeAir, gas: &GasModel, cell_size: f64) -> Result<Self, GridError> {
        let (p, t) = (air.pressure, air.temperature);
        let air_box = match part {
            None => None,
            Some(part) => {
                let pieces = inlet_pieces(part, t);
                let inlet = if pieces.is_empty() { None } else { Some(DuctCells::new(&pieces, cell_size, gas, p, t)?) };
                Some(BoxAir {
                    plenum: Plenum::new(gas, part.volume, p, t, Composition::default()),
                    inlet,
                    inlet_loss: part.inlet_loss,
                    resistance: part.filter.map_or(0.0, |f| f.resistance()),
                    through_filter: Trend::default(),
                    slope: f64::INFINITY,
                    trends: [Trend::default(); 2],
                    pending: [Inflow::default(); 4],
                })
            }
        };
        Ok(Self {
            cloud: Cloud::default(),
            air_box,
            free: (Vessel::new(gas, p, t, Composition::default()), air.density()),
        })
    }

    /// Free air at the border, or what was blown out and waits there.
    fn border(&self, gas: &GasModel, air: &FreeAir) -> Vessel {
        if self.cloud.gas <= 0.0 {
            return self.free.0;
        }
        let t = self.cloud.temperature(air.temperature);
        Vessel::new(gas, air.pressure, t, self.cloud.composition())
    }

    /// What the mouth opens to.
    #[must_use]
    pub fn at_mouth(&self, gas: &GasModel, air: &FreeAir) -> Vessel {
        match &self.air_box {
            Some(b) => b.plenum.vessel_at_half_time(gas),
            None => self.border(gas, air),
        }
    }

    /// Pressure [Pa] and density [kg/m3] where the air jets draw.
    pub(super) fn at_jets(&self) -> (f64, f64) {
        match &self.air_box {
            Some(b) => (b.plenum.pressure, b.plenum.gas / b.plenum.volume),
            None => (self.free.0.p, self.free.1),
        }
    }

    /// Ducts in front of the mouth.
    pub(super) fn duct(&self) -> Option<&DuctCells> {
        self.air_box.as_ref().and_then(|b| b.inlet.as_ref())
    }

    pub(super) fn predict(&mut self, dt: f64) {
        if let Some(inlet) = self.air_box.as_mut().and_then(|b| b.inlet.as_mut()) {
            inlet.predict(dt);
        }
    }

    /// One step of box and inlet, after `pending` is known.
    ///
    /// # Errors
    /// A cell of the inlet left physical bounds.
    pub(super) fn advance(&mut self, gas: &GasModel, air: &FreeAir, dt: f64) -> Result<Crossed, Unphysical> {
        let border = self.border(gas, air);
        let Some(b) = &mut self.air_box else { return Ok(Crossed::default()) };
        let (crossed, inflow) = if b.inlet.is_some() {
            b.through_inlet(gas, border, &mut self.cloud, dt)?
        } else {
            b.through_pod(gas, border, &mut self.cloud, dt)
        };
        let [a, c, d, e] = b.pending;
        b.plenum.step(gas, &[inflow, a, c, d, e]);
        b.pending = [Inflow::default(); 4];
        Ok(crossed)
    }
}

impl BoxAir {
    /// The inlet's inner end against the volume, the filter's drop between them: `p_end = p + R Q` with the flow `Q` that this pressure
    /// gives. The flow falls as the pressure rises, at most as fast as a wave in the duct says, `A/(rho c)`, so that `Q` less what it
    /// gives rises with a slope between 1 and `1 + R A/(rho c)`. Secant within these bounds, from the slope of the last step; what is
    /// left after the last solve is the lag of a step's change.
    fn through_medium(&mut self, inside: Vessel, inner: &Trace) -> FaceFlow {
        let back = loss_area(inner.area, FLUSH_PIPE);
        let steepest = 1.0 + self.resistance * inner.area / (inner.rho * inner.sound());
        let mut slope = self.slope.min(steepest);
        // Drawn on, but not below half the pressure.
        let mut q = self.through_filter.next().max(-0.5 * inside.p / self.resistance);
        let mut guess = self.trends[1].next();
        let mut before: Option<(f64, f64)> = None;
        for solve in 1.. {
            // Throttled at one temperature.
            let p = inside.p + self.resistance * q;
            let behind = Vessel { p, rho: inside.rho * p / inside.p, ..inside };
            // From the volume back into the pipe the edge is sharp.
            let f = restriction(&Side::Vessel(behind), &Side::Duct(*inner), back, inner.area, guess);
            let flow = if f.from_a { -f.mass_flow / inside.rho } else { f.mass_flow / f.upstream.rho };
            let miss = flow - q;
            if let Some((q_before, miss_before)) = before {
                let secant = (miss_before - miss) / (q - q_before);
                // Not a number where nothing moved.
                slope = if secant >= 1.0 { secant.min(steepest) } else { slope };
            }
            let small = miss.abs() <= FILTER_TOLERANCE * (flow.abs() + q.abs());
            if self.resistance <= 0.0 || small || solve >= MOST_SOLVES {
                self.through_filter.push(flow);
                self.trends[1].push(f.start);
                self.slope = slope;
                return f;
            }
            before = Some((q, miss));
            q += miss / slope;
            guess = f.start;
        }
        unreachable!("the last solve returns")
    }

    fn through_inlet(
        &mut self,
        gas: &GasModel,
        border: Vessel,
        cloud: &mut Cloud,
        dt: f64,
    ) -> Result<(Crossed, Inflow), Unphysical> {
        let Some(inlet) = &self.inlet else { return Ok(Default::default()) };
        let (outer, inner) = (inlet.trace(false), inlet.trace(true));
        let inside = self.plenum.vessel_at_half_time(gas);
        let throat = loss_area(outer.area, self.inlet_loss);
        let f = restriction(&Side::Vessel(border), &Side::Duct(outer), throat, outer.area, self.trends[0].next());
        self.trends[0].push(f.start);
        let g = self.through_medium(inside, &inner);
        let mut crossed = Crossed::default();
        let mut drawn = border.composition;
        if f.from_a {
            (drawn, crossed.air_in) = cloud.draw(f.mass_flow * dt);
        } else {
            let y = outer.composition;
            crossed.out = (f.mass_flow * dt, y, f.upstream.temperature(gas, y));
        }
        let near = EndFlux::at_volume(&f, &outer, drawn, false);
        let inflow = into_vessel(gas, &self.plenum, &inner, &g, dt);
        let far = EndFlux::at_volume(&g, &inner, inside.composition, true);
        if let Some(inlet) = &mut self.inlet {
            inlet.update(gas, dt, (near, far), (Exchange::default(), Exchange::default()))?;
        }
        Ok((crossed, inflow))
    }

    /// Flow through the face of a pod filter: `Q (R + gamma p dt/V) = p_free - p`, implicit in the volume's pressure.
    fn through_pod(&mut self, gas: &GasModel, border: Vessel, cloud: &mut Cloud, dt: f64) -> (Crossed, Inflow) {
        let inside = self.plenum.vessel(gas);
        let stiffness = inside.gamma * inside.p * dt / self.plenum.volume;
        let volume_flow = (border.p - inside.p) / (self.resistance + stiffness);
        let mut crossed = Crossed::default();
        if volume_flow >= 0.0 {
            let mass = border.rho * volume_flow * dt;
            let (composition, free) = cloud.draw(mass);
            crossed.air_in = free;
            let t = border.p / (border.rho * gas.r(border.composition.burnt, border.composition.vapour));
            let total_enthalpy = gas.enthalpy(t, composition.burnt, composition.vapour);
            (crossed, Inflow { mass, composition, total_enthalpy })
        } else {
            let mass = -inside.rho * volume_flow * dt;
            crossed.out = (mass, inside.composition, self.plenum.temperature);
            (crossed, self.plenum.leaving(gas, mass))
        }
    }

    /// What leaves the mouth backwards, or what the mouth draws [kg, into the duct positive].
    pub(super) fn at_mouth(&mut self, gas: &GasModel, trace: &Trace, face: &FaceFlow, dt: f64) {
        self.pending[0] = into_vessel(gas, &self.plenum, trace, face, dt);
    }
}
