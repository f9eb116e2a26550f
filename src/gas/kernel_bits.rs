//! The version of each loop that this processor takes (AVX-512, AVX2, SSE4.2) against the same loop as any x86-64 runs it: the same bits.
//! On a processor without these both are one.

use super::block::{Block, Row};
use super::duct_cells::DuctCells;
use super::kernel;
use super::lone_duct::{End, LoneDuct};
use crate::hardware::duct::Piece;
use crate::laws::riemann::{FaceState, hllc};
use crate::media::atmosphere::FreeAir;
use crate::media::composition::Composition;
use crate::media::fuel::Fuel;
use crate::media::gas::GasModel;

/// Steps before the loops are compared: the gas flows both ways by then, and its pressures have steps.
const STEPS: u32 = 40;

fn gas() -> GasModel {
    let air = FreeAir { pressure: 1e5, temperature: 300.0, relative_humidity: 0.5 };
    GasModel::new(&air, &Fuel::petrol(745.0, 298.0))
}

/// A tapered duct between shut ends, with walls and bends, of gas from 300 to 1400 K with all that it carries, some steps on its way; and
/// its next step [s].
fn block(gas: &GasModel) -> (Block, f64) {
    let piece = Piece { loss: 0.4, ..Piece::plain("duct", 0.5, 0.045, 0.032, 350.0) };
    let mut duct = DuctCells::new(&[piece], 5e-3, gas, 1e5, 300.0).expect("cells fit");
    let wave = |x: f64, n: f64| 0.5 + 0.5 * libm::sin(n * std::f64::consts::PI * x);
    duct.fill(gas, |x| {
        let y = Composition { burnt: 0.6 * wave(x, 6.0), vapour: 0.05 * wave(x, 9.0), liquid: 0.04 * wave(x, 11.0) };
        let p = if x < 0.2 { 2.2e5 } else { 0.9e5 };
        (p / (gas.r(y.burnt, y.vapour) * (300.0 + 1100.0 * wave(x, 5.0))), 150.0 * (wave(x, 7.0) - 0.5), p, y)
    });
    let mut duct = LoneDuct::new(*gas, duct, [End::Shut; 2]);
    for _ in 0..STEPS {
        duct.step(duct.stable_step()).expect("sound gas");
    }
    (duct.cells.blocks[0].clone(), duct.stable_step())
}

/// Bits of the cells 1 to `n` in each of `rows`.
fn bits(rows: &[&Row], n: usize) -> Vec<u64> {
    rows.iter().flat_map(|row| row[1..=n].iter().map(|x| x.to_bits())).collect()
}

fn half_time(b: &Block) -> Vec<u64> {
    let side = |p: &super::block::Primitives| bits(&[&p.rho, &p.u, &p.p, &p.burnt, &p.vapour, &p.liquid], b.n);
    [side(&b.low), side(&b.high)].concat()
}

fn state(b: &Block) -> Vec<u64> {
    let (s, a) = (&b.now, &b.also);
    let carried = [&s.rho, &s.u, &s.p, &s.burnt, &s.vapour, &s.liquid, &b.owed];
    let derived = [&a.gamma, &a.xi, &a.per_xi, &a.per_rho, &a.r, &a.t, &a.sound];
    [bits(&carried, b.n), bits(&derived, b.n)].concat()
}

#[test]
fn half_time_values_have_the_same_bits_in_every_version() {
    let (b, dt) = block(&gas());
    let [mut chosen, mut plain, mut alone, mut alone_plain] = [b.clone(), b.clone(), b.clone(), b];
    assert_eq!(kernel::predict(&mut chosen, 0.5 * dt), kernel::predict_as::<true>(&mut plain, 0.5 * dt));
    assert_eq!(half_time(&chosen), half_time(&plain));
    kernel::predict_alone(&mut alone, 0.5 * dt);
    kernel::predict_as::<false>(&mut alone_plain, 0.5 * dt);
    assert_eq!(half_time(&alone), half_time(&alone_plain));
}

#[test]
fn flows_have_the_same_bits_as_face_by_face() {
    let (mut b, dt) = block(&gas());
    kernel::predict(&mut b, 0.5 * dt);
    kernel::flows(&mut b);
    let onwards = (1..b.n).filter(|k| b.flow.mass[*k] > 0.0).count();
    assert!(onwards > 9 && onwards < b.n - 9, "{onwards} of {} faces", b.n);
    let side =
        |p: &super::block::Primitives, i: usize, sound: f64| FaceState { rho: p.rho[i], u: p.u[i], p: p.p[i], sound };
    for k in 1..b.n {
        let f = hllc(side(&b.high, k, b.also.sound[k]), side(&b.low, k + 1, b.also.sound[k + 1]));
        let (area, from) = (b.shape.face_area[k], if f.mass >= 0.0 { (&b.high, k) } else { (&b.low, k + 1) });
        let (w, x) = (area * f.mass, area * f.energy_per_xi);
        let carried = [&from.0.burnt, &from.0.vapour, &from.0.liquid].map(|row| w * row[from.1]);
        let d_xi = b.also.xi[k] - b.also.xi[k + 1];
        let gap = if d_xi.abs() > 0.0 { d_xi * x + (b.offset[k] - b.offset[k + 1]) * w } else { 0.0 };
        let (behind, before) = if w >= 0.0 { (gap, 0.0) } else { (0.0, gap) };
        let want = [w, area * f.momentum, area * f.energy_rest, x, carried[0], carried[1], carried[2], behind, before];
        let g = &b.flow;
        let rows =
            [&g.mass, &g.momentum, &g.energy, &g.energy_per_xi, &g.burnt, &g.vapour, &g.liquid, &g.behind, &g.before];
        // Plus and minus nothing are one here.
        assert_eq!(rows.map(|row| (row[k] + 0.0).to_bits()), want.map(|x| (x + 0.0).to_bits()), "face {k}");
    }
}

#[test]
fn new_states_have_the_same_bits_in_every_version() {
    let gas = gas();
    let (mut b, dt) = block(&gas);
    kernel::predict(&mut b, 0.5 * dt);
    kernel::flows(&mut b);
    let (mut chosen, mut plain) = (b.clone(), b.clone());
    let fastest = kernel::renew(&mut chosen, &gas, dt, 0.1);
    assert_eq!(fastest, kernel::renew_as::<true, true>(&mut plain, &gas, dt, 0.1));
    assert!(fastest.speed > 400.0 && chosen.owed[1..=b.n].iter().any(|owed| owed.abs() > 0.0), "{fastest:?}");
    assert_eq!(state(&chosen), state(&plain));
    let hot = chosen.also.t[1..=b.n].iter().filter(|t| **t > 1000.0).count();
    assert!(hot > 5 && hot < b.n - 5, "{hot} of {} cells in the upper range of temperature", b.n);
    kernel::renew_offsets(&mut chosen, &gas);
    for i in 1..=b.n {
        let cp = (plain.also.xi[i] + 1.0) * plain.also.r[i];
        let enthalpy = gas.enthalpy_without_branch(plain.also.t[i], plain.now.burnt[i], plain.now.vapour[i], cp);
        let offset = enthalpy - cp * plain.also.t[i];
        let owed = plain.owed[i] + plain.now.rho[i] * (plain.offset[i] - offset);
        assert_eq!([chosen.offset[i], chosen.owed[i]].map(f64::to_bits), [offset, owed].map(f64::to_bits), "cell {i}");
    }
    let (mut chosen, mut plain) = (b.clone(), b.clone());
    kernel::renew_one_gamma(&mut chosen, &gas, dt, 0.1);
    kernel::renew_as::<true, false>(&mut plain, &gas, dt, 0.1);
    assert_eq!(state(&chosen), state(&plain));
    let (mut chosen, mut plain) = (b.clone(), b);
    kernel::renew_alone(&mut chosen, &gas, dt);
    kernel::renew_as::<false, false>(&mut plain, &gas, dt, 0.0);
    assert_eq!(state(&chosen), state(&plain));
}
