//! The accelerator pump in motion: slide lift against time in, squirt against time out.
//!
//! Incompressible fuel in the chamber, a diaphragm without mass of area `A` at `y`, the rod's end at `z(lift)`, between them the driving
//! spring, compressed by `s = z - y`:
//!
//! ```text
//! A (dz/dt - ds/dt) = Qn(p) + Ql(p) - Qi(p)
//! p A = F0 + k s            s > 0: the spring yields and drives the diaphragm after the rod
//! -Fr <= p A <= F0          s = 0: the rod carries the diaphragm, p is what the holes need
//! p A = -Fr                 s < 0: the return spring cannot follow the rod back
//! Qn = nozzle(p + D - rho g h - pn)   if positive: valve held open by pn, mouth h above the level, suction D there
//! Ql = leak(p)                        both ways: an open hole to the bowl
//! Qi = inlet(-p - pi)                 if positive: valve held open by pi
//! ```
//!
//! `p` counts from the bowl's pressure at the level; each hole follows the jets' law. One implicit step of `dt` finds the one `p` at
//! which both relations hold, and takes `s` from the flows, so that displaced volume is nozzle + leak - inlet + stored to round-off.
//! First order in `dt`, stable for any.
//!
//! Suction opens the outlet valve by itself above `pn + rho g h`: then the pump siphons, steadily, through inlet and leak jet.
//!
//! Not modelled: inertia of fuel and rod, the diaphragm's own stiffness beyond its springs, coils that touch, vapour, an air gap
//! before the nozzle, what the squirt meets in the bore.

use crate::hardware::accelerator_pump::AcceleratorPump;
use crate::laws::jet::JetLaw;
use crate::media::atmosphere::G0;
use crate::media::fuel::Fuel;
use crate::numeric::root;

/// Tolerance of the chamber's pressure, over the span that is searched [-].
const TOLERANCE: f64 = 1e-12;

/// Compression of the driving spring below which a stroke is spent [m].
const SPENT: f64 = 1e-11;

/// Volumes of one step [m3].
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct PumpStep {
    /// Displaced by the rod, negative on the way back.
    pub displaced: f64,
    /// Squirted.
    pub nozzle: f64,
    /// Back to the bowl through the leak jet, negative when drawn in.
    pub leak: f64,
    /// Drawn in through the inlet valve.
    pub inlet: f64,
    /// Held back by the springs.
    pub stored: f64,
}

/// An accelerator pump in motion.
#[derive(Debug, Clone, PartialEq)]
pub struct PumpMetering {
    parts: AcceleratorPump,
    area: f64,
    nozzle: JetLaw,
    leak: Option<JetLaw>,
    inlet: JetLaw,
    /// Pressure over which the nozzle begins to deliver, without suction [Pa].
    threshold: f64,
    /// Travel of the rod's end [m].
    pub rod: f64,
    /// Compression of the driving spring [m]; negative while the diaphragm lags behind a returning rod.
    pub compression: f64,
    /// Pressure in the chamber over the bowl's [Pa].
    pub pressure: f64,
}

impl PumpMetering {
    /// The pump full and at rest, the slide at `lift` [m]; `level_below_bore` [m] is the height of the floor of the bore above the fuel.
    #[must_use]
    pub fn new(parts: &AcceleratorPump, level_below_bore: f64, fuel: &Fuel, lift: f64) -> Self {
        let law = |bore, length| JetLaw::new(bore, length, fuel.density, fuel.viscosity);
        Self {
            area: parts.area(),
            nozzle: law(parts.nozzle.bore, parts.nozzle.length),
            leak: parts.leak_jet.map(|j| law(j.bore, j.length)),
            inlet: law(parts.inlet.bore, parts.inlet.length),
            threshold: parts.outlet_opens + fuel.density * G0 * (level_below_bore + parts.rise),
            rod: parts.travel(lift),
            compression: 0.0,
            pressure: 0.0,
            parts: *parts,
        }
    }

    /// Suction at the nozzle [Pa] above which the pump siphons with the slide at rest.
    #[must_use]
    pub fn siphons_above(&self) -> f64 {
        self.threshold
    }

    /// Volume missing from a chamber whose diaphragm is all the way back [m3]: what the diaphragm has displaced.
    #[must_use]
    pub fn missing(&self) -> f64 {
        self.area * (self.rod - self.compression)
    }

    /// Whether a step to `lift` [m] under `suction` [Pa] at the nozzle would move nothing: rod at rest, springs as good as spent (a film
    /// of fuel thinner than an atom), every valve shut.
    #[must_use]
    pub fn rests(&self, lift: f64, suction: f64) -> bool {
        let still = (self.parts.travel(lift) - self.rod).abs() <= 0.0;
        still && self.compression.abs() < SPENT && suction <= self.threshold
    }

    /// Flows through nozzle, leak jet and inlet valve at the chamber's pressure `p` and the suction `suction` at the nozzle [Pa] -> [m3/s].
    #[must_use]
    pub fn flows(&self, p: f64, suction: f64) -> [f64; 3] {
        let at_nozzle = p + suction - self.threshold;
        let at_inlet = -p - self.parts.inlet_opens;
        [
            if at_nozzle > 0.0 { self.nozzle.flow(at_nozzle) } else { 0.0 },
            self.leak.as_ref().map_or(0.0, |l| l.flow(p)),
            if at_inlet > 0.0 { self.inlet.flow(at_inlet) } else { 0.0 },
        ]
    }

    /// One step of `dt` [s] that ends with the slide at `lift` [m] and the suction `suction` [Pa] at the nozzle, bowl less bore.
    pub fn step(&mut self, dt: f64, lift: f64, suction: f64) -> PumpStep {
        let rod = self.parts.travel(lift);
        let moved = rod - self.rod;
        self.rod = rod;
        // Compression if nothing left the chamber.
        let held = self.compression + moved;
        let compression = |p: f64| {
            let [nozzle, leak, inlet] = self.flows(p, suction);
            held - dt * (nozzle + leak - inlet) / self.area
        };
        let (yields, lags) = (self.parts.preload / self.area, -self.parts.return_force / self.area);
        let p = if compression(yields) > 0.0 {
            if self.parts.rate > 0.0 {
                let highest = yields + self.parts.rate * held / self.area;
                let spring = |p: f64| (p - yields) * self.area / self.parts.rate;
                solve(|p| compression(p) - spring(p), yields, highest)
            } else {
                yields
            }
        } else if compression(lags) < 0.0 {
            lags
        } else {
            solve(compression, lags, yields)
        };
        self.pressure = p;
        let [nozzle, leak, inlet] = self.flows(p, suction).map(|q| dt * q);
        let before = self.compression;
        self.compression = held - (nozzle + leak - inlet) / self.area;
        PumpStep { displaced: self.area * moved, nozzle, leak, inlet, stored: self.area * (self.compression - before) }
    }
}

/// Root of `f`, which does not rise, between `low` and `high` [Pa].
fn solve(f: impl Fn(f64) -> f64, low: f64, high: f64) -> f64 {
    // At an end without a change of sign the flow is nothing, and the end is the root.
    let end = if f(high) >= 0.0 { high } else { low };
    root::find(f, low, high, TOLERANCE * (high - low)).map_or(end, |r| r.x)
}
