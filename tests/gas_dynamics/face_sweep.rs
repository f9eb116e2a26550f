//! The face between two sides, swept over random states: it always ends, and keeps what it must.

use bellmouth::gas::exchange::EndFlux;
use bellmouth::gas::face::{EndState, FaceFlow, restriction};
use bellmouth::gas::step::Step;
use bellmouth::gas::trace::{Side, Trace, Vessel};
use bellmouth::media::composition::Composition;
use bellmouth::media::gas::GasModel;

use super::found;

const AREA: f64 = 1e-3;

/// Numerical Recipes' quick generator (constants from memory): the same bits everywhere.
struct Dice(u64);

impl Dice {
    fn roll(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, a: f64, b: f64) -> f64 {
        a + (b - a) * self.roll()
    }

    fn side(&mut self, gas: &GasModel) -> Side {
        let (p, t) = (2e4 * libm::pow(20.0, self.roll()), self.between(250.0, 1500.0));
        let y = Composition { burnt: self.roll(), vapour: 0.1 * self.roll(), liquid: 0.0 };
        let v = Vessel::new(gas, p, t, y);
        if self.roll() < 0.3 {
            return Side::Vessel(v);
        }
        let u = self.between(-0.6, 0.6) * (v.gamma * v.p / v.rho).sqrt();
        let area = AREA * libm::pow(10.0, self.between(-1.0, 0.5));
        Side::Duct(Trace { rho: v.rho, u, p, gamma: v.gamma, composition: y, area })
    }
}

fn throat(dice: &mut Dice) -> f64 {
    AREA * libm::pow(10.0, dice.between(-4.0, 0.7))
}

fn bits(f: &FaceFlow) -> Vec<u64> {
    let (a, b) = (f.upstream, f.downstream);
    [f.mass_flow, a.rho, a.u, a.p, b.rho, b.u, b.p, f.p0, f.rho0, f.throat_p, f.throat_u].map(f64::to_bits).to_vec()
}

#[test]
fn face_looks_the_same_from_both_sides() {
    // Exact: swapping the sides and their areas swaps the direction and nothing else.
    let gas = super::rest::real_gas();
    let mut dice = Dice(7);
    for _ in 0..10_000 {
        let (a, b) = (dice.side(&gas), dice.side(&gas));
        let (ab, ba) = (throat(&mut dice), throat(&mut dice));
        let (f, g) = (restriction(&a, &b, ab, ba, 0.0), restriction(&b, &a, ba, ab, 0.0));
        assert_eq!(bits(&f), bits(&g));
        assert_ne!(f.from_a, g.from_a);
    }
    found("swapped sides, 10 000 pairs", "same bits");
}

/// Largest relative defects of what has to hold.
#[derive(Debug, Default)]
struct Defects {
    mass: f64,
    energy: f64,
    momentum: f64,
    wave: f64,
    /// Largest fall of `ln(p / rho^gamma)`.
    entropy: f64,
}

impl Defects {
    /// Mass and total enthalpy on both sides, the waves into both ducts, momentum across the expansion, entropy.
    fn take(&mut self, f: &FaceFlow, up: &Side, down: &Side) {
        let (u, d, g) = (f.upstream, f.downstream, f.gamma);
        let h0 = g / (g - 1.0) * f.p0 / f.rho0;
        let enthalpy = |e: EndState| (g / (g - 1.0) * e.p / e.rho + 0.5 * e.u * e.u) / h0 - 1.0;
        let entropy = |p: f64, rho: f64| libm::log(p) - g * libm::log(rho);
        match up {
            Side::Duct(t) => {
                self.mass = self.mass.max((u.rho * u.u * t.area / f.mass_flow - 1.0).abs());
                self.energy = self.energy.max(enthalpy(u).abs());
                // The wave that leaves: J and entropy unchanged.
                let c = (g * u.p / u.rho).sqrt();
                let j = (u.u + 2.0 * c / (g - 1.0)) / (t.u + 2.0 * t.sound() / (g - 1.0)) - 1.0;
                self.wave = self.wave.max(j.abs()).max((entropy(u.p, u.rho) - entropy(t.p, t.rho)).abs());
            }
            Side::Vessel(v) => {
                self.energy = self.energy.max((g / (g - 1.0) * v.p / v.rho / h0 - 1.0).abs());
                self.wave = self.wave.max((f.p0 / v.p - 1.0).abs());
            }
        }
        match down {
            Side::Duct(t) => {
                self.mass = self.mass.max((d.rho * d.u * t.area / f.mass_flow - 1.0).abs());
                self.energy = self.energy.max(enthalpy(d).abs());
                self.entropy = self.entropy.max(entropy(f.p0, f.rho0) - entropy(d.p, d.rho));
                let s = 1.0 + 0.5 * (t.gamma - 1.0) * (d.u + t.u) / t.sound();
                let asked = t.p * libm::pow(s, 2.0 * t.gamma / (t.gamma - 1.0));
                self.wave = self.wave.max((d.p / asked - 1.0).abs());
                if !f.choked {
                    let before = f.throat_p * t.area + f.mass_flow * f.throat_u;
                    self.momentum = self.momentum.max(((d.p * t.area + f.mass_flow * d.u) / before - 1.0).abs());
                }
            }
            Side::Vessel(v) => {
                // The jet leaves at the vessel's pressure, or above it when choked.
                let over = f.throat_p / v.p - 1.0;
                self.wave = self.wave.max(if f.choked { -over } else { over.abs() });
                // In the throat it has the total enthalpy and the entropy of its source.
                let rho = f.rho0 * libm::pow(f.throat_p / f.p0, 1.0 / g);
                self.energy = self.energy.max(enthalpy(EndState { rho, u: f.throat_u, p: f.throat_p }).abs());
            }
        }
    }
}

fn kind(side: &Side) -> usize {
    usize::from(matches!(side, Side::Duct(_)))
}

#[test]
fn face_solves_every_pair_of_states_and_keeps_mass_energy_and_entropy() {
    // Identities of the model: mass and total enthalpy pass unchanged, momentum across the expansion, entropy does not
    // fall. States that the model does not cover (supersonic or thermally choked outlet) are flagged, and few.
    let gas = super::rest::real_gas();
    let mut dice = Dice(20_261_125);
    let (mut clipped, mut evaluations, mut most) = (0, 0_u64, 0);
    let (mut kept, mut beyond) = (Defects::default(), Defects::default());
    // By kind of source and sink (vessel, duct), and open or choked; from which side.
    let mut counts = [[[0_u32; 2]; 2]; 2];
    let mut from = [0_u32; 2];
    let mut gammas = (f64::MAX, f64::MIN);
    for k in 0..100_000 {
        let (a, b) = (dice.side(&gas), dice.side(&gas));
        let (ab, ba) = (throat(&mut dice), throat(&mut dice));
        let guess = if k % 2 == 0 { 0.0 } else { dice.roll() };
        let f = restriction(&a, &b, ab, ba, guess);
        let (up, down) = if f.from_a { (a, b) } else { (b, a) };
        let (u, d) = (f.upstream, f.downstream);
        let all = [f.mass_flow, u.rho, u.u, u.p, d.rho, d.u, d.p, f.p0, f.rho0, f.throat_p, f.throat_u];
        assert!(all.iter().all(|x| x.is_finite() && *x >= 0.0), "pair {k}: {f:?}");
        assert!(u.rho > 0.0 && u.p > 0.0 && f.throat_p > 0.0, "pair {k}: {f:?}");
        evaluations += u64::from(f.evaluations);
        most = most.max(f.evaluations);
        from[usize::from(f.from_a)] += 1;
        counts[kind(&up)][kind(&down)][usize::from(f.choked)] += 1;
        gammas = (gammas.0.min(f.gamma), gammas.1.max(f.gamma));
        if f.mass_flow > 0.0 {
            clipped += u32::from(f.clipped);
            (if f.clipped { &mut beyond } else { &mut kept }).take(&f, &up, &down);
        }
    }
    found("100 000 random faces, largest relative defects", &format!("{kept:?}"));
    found("faces beyond the model, flagged", &format!("{clipped}: {beyond:?}"));
    found(
        "open and choked faces from vessels and ducts into vessels and ducts, from b and a, gamma",
        &format!("{counts:?} {from:?} {gammas:.3?}"),
    );
    found("evaluations, mean and most", &format!("{:.1} {most}", evaluations as f64 / 1e5));
    assert!(kept.mass < 1e-9 && kept.energy < 1e-9 && kept.momentum < 1e-9 && kept.wave < 1e-8 && kept.entropy < 1e-9);
    assert!(most <= 84, "{most}");
    assert!(clipped < 5_000, "{clipped}");
    assert!(counts.iter().flatten().flatten().all(|&n| n > 1_000), "a kind is missing: {counts:?}");
    assert!(from.iter().all(|&n| n > 40_000) && gammas.0 < 1.28 && gammas.1 > 1.39);
}

#[test]
fn step_of_area_passes_the_same_mass_energy_and_species_on_both_sides() {
    // Exact: what leaves one side enters the other; the annulus of the step gives `p A` between them at the throat's pressure
    // where the stream widens. One gamma on both sides, so that a cell's energy is the stream's.
    let gas = GasModel::constant(287.05, 1.3);
    let mut dice = Dice(5);
    let (mut energy, mut push, mut moved, mut clipped) = (0.0_f64, 0.0_f64, 0, 0);
    while moved < 20_000 {
        let (Side::Duct(a), Side::Duct(b)) = (dice.side(&gas), dice.side(&gas)) else { continue };
        let mut step = Step::new(9, a.area, b.area);
        let (l, r, f) = step.solve(a, b);
        moved += 1;
        assert!(l.mass.to_bits() == r.mass.to_bits() && l.burnt.to_bits() == r.burnt.to_bits());
        assert!(l.vapour.to_bits() == r.vapour.to_bits() && (l.mass > 0.0) == f.from_a);
        if f.clipped {
            clipped += 1;
            continue;
        }
        let whole = |e: EndFlux| e.energy_rest + e.energy_per_xi / 0.3;
        energy = energy.max((whole(l) / whole(r) - 1.0).abs());
        let (up, down, narrow, wide) = if f.from_a { (l, r, a.area, b.area) } else { (r, l, b.area, a.area) };
        if narrow < wide && !f.choked {
            // LARGEST_THROAT: a throat of at most 0.999 of the wide side.
            let widening = down.momentum - up.momentum - f.throat_p * (wide - narrow);
            push = push.max(if narrow < 0.999 * wide { (widening / down.momentum).abs() } else { 0.0 });
        }
    }
    found(
        "20 000 random steps of area, relative defect of energy and of the step's push, clipped",
        &format!("{energy:.1e} {push:.1e} {clipped}"),
    );
    assert!(energy < 1e-9 && push < 1e-9);
    assert!(clipped < 2_000);
}

#[test]
fn face_is_the_same_from_any_start_of_its_solve() {
    // One root: from no guess, from any guess in either direction, and from the solution itself, in few evaluations.
    let gas = super::rest::real_gas();
    let mut dice = Dice(11);
    let (mut worst, mut most, mut again, mut solved) = (0.0_f64, 0, 0, 0);
    for _ in 0..20_000 {
        let (a, b) = (dice.side(&gas), dice.side(&gas));
        let (ab, ba) = (throat(&mut dice), throat(&mut dice));
        let f = restriction(&a, &b, ab, ba, 0.0);
        if f.clipped {
            continue;
        }
        let small = libm::pow(10.0, dice.between(-14.0, 0.0));
        for guess in [dice.between(-1.5, 1.5), small, -small, f.start, f64::NAN, f64::INFINITY] {
            let g = restriction(&a, &b, ab, ba, guess);
            assert!(g.from_a == f.from_a && g.choked == f.choked && !g.clipped, "{guess} {f:?} {g:?}");
            let apart = |x: f64, y: f64| (x - y).abs() / x.abs().max(1e-12);
            worst = worst.max(apart(f.mass_flow, g.mass_flow)).max(apart(f.upstream.p, g.upstream.p));
            worst = worst.max(apart(f.downstream.p, g.downstream.p)).max(apart(f.throat_p, g.throat_p));
            most = most.max(g.evaluations);
        }
        again += restriction(&a, &b, ab, ba, f.start).evaluations;
        solved += 1;
    }
    found(
        "20 000 random faces from seven starts each, largest relative difference, most evaluations, mean from the solution",
        &format!("{worst:.1e} {most} {:.2}", f64::from(again) / f64::from(solved)),
    );
    assert!(worst < 1e-8 && most <= 84 && again < 2 * solved);
}
