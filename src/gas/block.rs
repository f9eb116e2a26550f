//! A block of cells: a piece of a duct between two joints, one array per variable.
//!
//! The arrays have one fixed size and lie in one struct, so that the loops over them need one base address and the
//! compiler sees that no two overlap. Cell `i` of `n` (counted from 1) stands at index `i`; indices 0 and `n + 1` are
//! *guests*: what lies beyond the joints, as far as the slopes and the inner fluxes look there. Face `i` lies between the
//! cells `i` and `i + 1`. Loops run over whole groups of [`LANES`] cells; what they make of the guests and of the
//! gas at rest behind them nothing reads.

use super::exchange::{EndFlux, Exchange};
use super::grid::Geometry;
use crate::media::composition::Composition;
use crate::media::gas::GasModel;

/// Cells that the loops take at once.
pub const LANES: usize = 8;
/// Most cells of a block.
pub const MOST: usize = 255;
/// Size of the arrays. Above 256: nearer together, the compiler fears that a load waits for a store to the array before and takes fewer cells at
/// once, or one. And not a part of 4096 bytes, at which distance it would wait.
pub const SIZE: usize = 264;

/// One variable in all cells of a block, or at all its faces.
pub type Row = [f64; SIZE];

/// Primitive variables in the cells or on one side of the faces.
#[derive(Debug, Clone, PartialEq)]
pub struct Primitives {
    /// Density [kg/m3].
    pub rho: Row,
    /// Velocity [m/s].
    pub u: Row,
    /// Pressure [Pa].
    pub p: Row,
    /// Burnt gas [-].
    pub burnt: Row,
    /// Fuel vapour [-].
    pub vapour: Row,
    /// Liquid fuel carried, over the mass of gas [-].
    pub liquid: Row,
}

/// Flows through the faces, areas included.
#[derive(Debug, Clone, PartialEq)]
pub struct Flows {
    /// Gas [kg/s].
    pub mass: Row,
    /// Momentum [N].
    pub momentum: Row,
    /// Energy without the part per `xi` [W].
    pub energy: Row,
    /// Energy per `xi` [W].
    pub energy_per_xi: Row,
    /// Burnt gas [kg/s].
    pub burnt: Row,
    /// Fuel vapour [kg/s].
    pub vapour: Row,
    /// Liquid fuel [kg/s].
    pub liquid: Row,
    /// Into the account of the cell behind the face, see [`super::owed_energy`] [W].
    pub behind: Row,
    /// Into the account of the cell before the face [W].
    pub before: Row,
}

/// What follows from the primitive variables.
#[derive(Debug, Clone, PartialEq)]
pub struct Derived {
    /// Ratio of specific heats [-].
    pub gamma: Row,
    /// `xi = 1/(gamma - 1)` [-].
    pub xi: Row,
    /// `gamma - 1` [-].
    pub per_xi: Row,
    /// One over the density [m3/kg].
    pub per_rho: Row,
    /// Gas constant [J/(kg K)].
    pub r: Row,
    /// Temperature [K].
    pub t: Row,
    /// Speed of sound [m/s].
    pub sound: Row,
}

/// Shape of the cells and their walls.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    /// Area of each face [m2].
    pub face_area: Row,
    /// One over the volume of each cell [1/m3].
    pub per_volume: Row,
    /// One over the length of each cell [1/m].
    pub per_length: Row,
    /// Growth of area over each cell [m2].
    pub rise: Row,
    /// Growth of area over each cell, over its mean area [-].
    pub spread: Row,
    /// Temperature of the wall [K].
    pub wall_temperature: Row,
    /// Diameter to the power -5/4 [m^-5/4]: turbulent friction goes with it.
    pub turbulent: Row,
    /// Diameter to the power -2 [1/m2]: laminar friction goes with it.
    pub laminar: Row,
    /// Wall friction: 1, or 0 where there is no wall [-].
    pub drag: Row,
    /// Factor on the wall heat: 1 for a long straight pipe, 0 where there is no wall [-].
    pub heat: Row,
    /// Loss coefficient of bends per length [1/m].
    pub loss: Row,
}

/// A block.
#[derive(Debug, Clone, PartialEq)]
pub struct Block {
    /// Cells.
    pub n: usize,
    /// Index in the duct of its first cell.
    pub first: usize,
    /// Shape.
    pub shape: Shape,
    /// State.
    pub now: Primitives,
    /// What follows from it.
    pub also: Derived,
    /// Half-time values on the near side of each cell.
    pub low: Primitives,
    /// Half-time values on the far side of each cell.
    pub high: Primitives,
    /// Flows of a step.
    pub flow: Flows,
    /// What each cell is owed [J/m3].
    pub owed: Row,
    /// `e0` of each cell [J/kg].
    pub offset: Row,
}

/// `n` rounded up to whole groups.
#[inline(always)]
#[must_use]
pub fn whole(n: usize) -> usize {
    (n + LANES - 1) & !(LANES - 1)
}

impl Primitives {
    /// Gas at rest.
    fn still() -> Self {
        let zero = [0.0; SIZE];
        Self { rho: [1.0; SIZE], u: zero, p: [1.0; SIZE], burnt: zero, vapour: zero, liquid: zero }
    }

    /// Composition at index `i`.
    #[inline]
    #[must_use]
    pub fn composition(&self, i: usize) -> Composition {
        Composition { burnt: self.burnt[i], vapour: self.vapour[i], liquid: self.liquid[i] }
    }

    /// Copies every variable of `from[i]` to index `to`.
    #[inline]
    pub fn copy(&mut self, to: usize, from: &Self, i: usize) {
        self.rho[to] = from.rho[i];
        self.u[to] = from.u[i];
        self.p[to] = from.p[i];
        self.burnt[to] = from.burnt[i];
        self.vapour[to] = from.vapour[i];
        self.liquid[to] = from.liquid[i];
    }
}

impl Block {
    /// `n` cells of a duct from its cell `first` on, its faces' areas in `faces` (one more than cells), still empty.
    #[must_use]
    pub fn new(whole: &Geometry, first: usize, faces: &[f64]) -> Self {
        let n = faces.len() - 1;
        let (zero, one) = ([0.0; SIZE], [1.0; SIZE]);
        let row = |values: &[f64]| {
            let mut row = zero;
            row[1..=n].copy_from_slice(&values[first..first + n]);
            row
        };
        let mut face_area = zero;
        face_area[..=n].copy_from_slice(faces);
        let power = |exponent: f64| {
            let mut row = zero;
            for (to, area) in row[1..=n].iter_mut().zip(&whole.cell_area[first..first + n]) {
                *to = libm::pow(area * (4.0 / std::f64::consts::PI), 0.5 * exponent);
            }
            row
        };
        let flow = Flows {
            mass: zero,
            momentum: zero,
            energy: zero,
            energy_per_xi: zero,
            burnt: zero,
            vapour: zero,
            liquid: zero,
            behind: zero,
            before: zero,
        };
        let shape = Shape {
            face_area,
            per_volume: row(&whole.per_volume),
            per_length: row(&whole.per_length),
            rise: row(&whole.rise),
            spread: row(&whole.spread),
            wall_temperature: row(&whole.wall_temperature),
            turbulent: power(-1.25),
            laminar: power(-2.0),
            drag: row(&whole.drag),
            heat: row(&whole.heat),
            loss: row(&whole.loss),
        };
        let also = Derived { gamma: [2.0; SIZE], xi: one, per_xi: one, per_rho: one, r: one, t: one, sound: one };
        let (now, low, high) = (Primitives::still(), Primitives::still(), Primitives::still());
        Self { n, first, shape, now, also, low, high, flow, owed: zero, offset: zero }
    }

    /// Takes over what the other block beyond a plain joint shows before a step: `mine` is the guest's index, `i` that of
    /// the cell in the `other`.
    #[inline]
    pub fn see(&mut self, mine: usize, other: &Self, i: usize) {
        self.now.copy(mine, &other.now, i);
        self.also.sound[mine] = other.also.sound[i];
        self.also.xi[mine] = other.also.xi[i];
        self.offset[mine] = other.offset[i];
    }

    /// Sets cell `i` to a density [kg/m3], velocity [m/s], pressure [Pa] and composition; nothing is owed to it.
    pub fn set(&mut self, i: usize, gas: &GasModel, (rho, u, p, y): (f64, f64, f64, Composition)) {
        let (s, d) = (&mut self.now, &mut self.also);
        (s.rho[i], s.u[i], s.p[i]) = (rho, u, p);
        (s.burnt[i], s.vapour[i], s.liquid[i]) = (y.burnt, y.vapour, y.liquid);
        let r = gas.r(y.burnt, y.vapour);
        let (per_rho, per_r) = (1.0 / rho, 1.0 / r);
        let t = p * per_rho * per_r;
        let cp = gas.cp(t, y.burnt, y.vapour);
        let xi = cp * per_r - 1.0;
        let per_xi = 1.0 / xi;
        (d.gamma[i], d.xi[i], d.per_xi[i]) = (1.0 + per_xi, xi, per_xi);
        (d.per_rho[i], d.r[i], d.t[i]) = (per_rho, r, t);
        d.sound[i] = (d.gamma[i] * p * per_rho).sqrt();
        let whole = (xi + 1.0) * r;
        self.offset[i] = gas.enthalpy_at(t, y.burnt, y.vapour, whole) - whole * t;
        self.owed[i] = 0.0;
    }

    /// Sets the flow through face `k`, with what goes into the accounts of the cells behind and before it [W].
    pub fn set_flow(&mut self, k: usize, flux: &EndFlux, (behind, before): (f64, f64)) {
        let f = &mut self.flow;
        (f.mass[k], f.momentum[k]) = (flux.mass, flux.momentum);
        (f.energy[k], f.energy_per_xi[k]) = (flux.energy_rest, flux.energy_per_xi);
        (f.burnt[k], f.vapour[k], f.liquid[k]) = (flux.burnt, flux.vapour, flux.liquid);
        (f.behind[k], f.before[k]) = (behind, before);
    }

    /// What circuits put into cell `i` less what they draw from it [kg, N s, J], the energy as the cell counts it.
    #[must_use]
    pub fn flow_of_exchange(&self, i: usize, x: &Exchange) -> EndFlux {
        let (s, xi) = (&self.now, self.also.xi[i]);
        let drawn = (xi + 1.0) * s.p[i] * self.also.per_rho[i] + 0.5 * s.u[i] * s.u[i];
        EndFlux {
            mass: x.gas_in - x.gas_out,
            momentum: -x.gas_out * s.u[i],
            energy_rest: (xi + 1.0) * x.gas_in_rt + x.heat - x.gas_out * drawn,
            energy_per_xi: 0.0,
            burnt: x.burnt_in - x.gas_out * s.burnt[i],
            vapour: x.vapour_in - x.gas_out * s.vapour[i],
            liquid: x.liquid_in - x.gas_out * s.liquid[i],
        }
    }
}
