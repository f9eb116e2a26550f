//! The simple wave: the equations it solves, its breaking, its limits.

use std::f64::consts::PI;

use bellmouth::exact::simple_wave::{Direction, SimpleWave};
use bellmouth::exact::state::State;

use super::super::{close, near, source};
use super::{integral, refusal};

const G: f64 = 1.4;
const AIR: State = State { rho: 1.2, u: 15.0, p: 1.0e5 };
const V: f64 = 40.0;

fn start(x: f64) -> f64 {
    V * libm::sin(2.0 * PI * x)
}

fn sine(direction: Direction) -> SimpleWave<fn(f64) -> f64> {
    SimpleWave::new(G, AIR, direction, start as fn(f64) -> f64, (-V, V), 2.0 * PI * V).unwrap()
}

#[test]
fn simple_wave_satisfies_the_equations_of_gas_dynamics() {
    source("Euler's equations by central differences; at the start, the start");
    for direction in [Direction::Right, Direction::Left] {
        let wave = sine(direction);
        let (t, h) = (0.6 * wave.breaking_time(), 1e-5);
        let tau = h / 340.0;
        for i in 0..20 {
            let x = f64::from(i) / 20.0 + 0.01;
            near(wave.at(x, 0.0).unwrap().u - AIR.u, start(x), 1e-9 * V);
            let conserved = |x: f64, t: f64| {
                let s = wave.at(x, t).unwrap();
                [s.rho, s.rho * s.u, s.p / (G - 1.0) + 0.5 * s.rho * s.u * s.u]
            };
            let flux = |x: f64| {
                let s = wave.at(x, t).unwrap();
                let energy = s.p / (G - 1.0) + 0.5 * s.rho * s.u * s.u;
                [s.rho * s.u, s.rho * s.u * s.u + s.p, s.u * (energy + s.p)]
            };
            let (later, earlier) = (conserved(x, t + tau), conserved(x, t - tau));
            let (ahead, behind) = (flux(x + h), flux(x - h));
            for k in 0..3 {
                let rate = (later[k] - earlier[k]) / (2.0 * tau);
                let slope = (ahead[k] - behind[k]) / (2.0 * h);
                // differences of the second order, of a wave already steep: a few 1e-6 of the largest slope
                let scale = [1.2, 500.0, 5e5][k] * 340.0 * 2.0 * PI;
                near(rate + slope, 0.0, 1e-5 * scale);
            }
        }
    }
}

#[test]
fn simple_wave_steepens_until_it_breaks_and_conserves_mass() {
    source("Whitham 1974 ch. 6, Liepmann & Roshko ch. 3 (from memory)");
    for direction in [Direction::Right, Direction::Left] {
        let wave = sine(direction);
        close(wave.breaking_time(), 2.0 / (2.4 * 2.0 * PI * V), 1e-14);
        let mass = |t: f64| integral(|x| wave.at(x, t).unwrap().rho, 0.0, 1.0, 200);
        close(mass(0.8 * wave.breaking_time()), mass(0.0), 1e-10);
        // the slope of a characteristic at its steepest grows as 1/(1 - t/t_b)
        let t = 0.9 * wave.breaking_time();
        let sign = if direction == Direction::Right { 1.0 } else { -1.0 };
        let x = 0.5 + (AIR.u + sign * AIR.sound(G)) * t;
        let h = 1e-6;
        let slope = (wave.at(x + h, t).unwrap().u - wave.at(x - h, t).unwrap().u) / (2.0 * h);
        close(slope, -2.0 * PI * V / (1.0 - 0.9), 1e-5);
        assert!(refusal(wave.at(0.3, wave.breaking_time())).contains("breaking"));
        assert!(refusal(wave.at(0.3, -1e-9)).contains('t'));
    }
}

#[test]
fn simple_wave_without_a_fall_never_breaks_and_one_to_vacuum_is_refused() {
    source("limits of the solution");
    let wave = SimpleWave::new(G, AIR, Direction::Right, |x: f64| x.clamp(0.0, 50.0), (0.0, 50.0), 0.0).unwrap();
    assert!(wave.breaking_time() > f64::MAX);
    close(wave.at(40.0, 0.1).unwrap().rho, 1.2, 0.1);
    // a uniform velocity is a wave too, wherever and whenever it is looked at
    let uniform = SimpleWave::new(G, AIR, Direction::Left, |_| 7.0, (7.0, 7.0), 0.0).unwrap();
    for i in 0..100 {
        let t = libm::pow(10.0, 0.1 * f64::from(i) - 6.0);
        near(uniform.at(1e-3 * f64::from(i), t).unwrap().u, 22.0, 1e-14);
    }
    let vacuum = -2.0 / (G - 1.0) * AIR.sound(G);
    let strong = SimpleWave::new(G, AIR, Direction::Right, |_| 0.0, (1.01 * vacuum, 0.0), 1.0);
    assert!(refusal(strong).contains("speed of sound"));
}
