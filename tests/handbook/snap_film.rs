//! The wall film against the exact solution of its equation, and its published values.

use bellmouth::laws::wall_film::{SHARES, TIMES, WARM_WALL, WallFilm, fitted, longer_when_cold};

use super::source;

/// Petrol: latent heat 349 kJ/kg over 8314.46/110 J/(kg K).
const PETROL: f64 = 349.0e3 / (8314.46 / 110.0);

#[test]
fn a_step_of_fuel_comes_out_as_the_exact_solution_says_on_any_time_step() {
    source("exact: out/step = 1 - X exp(-t/tau); Aquino, SAE 810494; Hires and Overington, SAE 810495");
    for (share, time) in [(0.3, 0.4), (0.45, 2.0), (0.6, 12.0)] {
        let film = WallFilm { share, time };
        // From a steady 1 g/s to 3 g/s; the steps of time are uneven on purpose.
        let (low, high) = (1e-3, 3e-3);
        let mut mass = film.steady(low);
        let (mut t, mut worst) = (0.0, 0.0_f64);
        for i in 0..400 {
            let dt = [1e-4, 3e-3, 0.05, 2e-5][i % 4];
            let landed = share * high * dt;
            let left = film.leaves(mass, landed, dt);
            mass += landed - left;
            t += dt;
            let exact = low + (high - low) * film.response(t);
            let out = (1.0 - share) * high + mass / time;
            worst = worst.max((out - exact).abs() / high);
        }
        assert!(worst < 1e-12, "X {share} tau {time}: {worst:e}");
        assert!((film.response(0.0) - (1.0 - share)).abs() < 1e-15, "at once 1 - X");
    }
}

#[test]
fn a_steady_film_is_x_tau_times_the_flow_and_gives_back_what_lands() {
    source("exact: dm/dt = 0, m = X tau mi, out = in");
    let film = WallFilm { share: 0.4, time: 0.7 };
    let mass = film.steady(2e-3);
    assert!((mass - 0.4 * 0.7 * 2e-3).abs() < 1e-18);
    for dt in [1e-6, 1e-3, 0.1, 10.0] {
        let landed = 0.4 * 2e-3 * dt;
        assert!((film.leaves(mass, landed, dt) - landed).abs() < 1e-13 * landed.max(mass), "{dt}");
        let all = film.leaves(mass, 0.0, 1e4);
        assert!((all - mass).abs() <= 1e-18 && all <= mass, "never more than there is");
    }
}

#[test]
fn the_fit_gives_its_published_values_and_is_held_where_it_leaves_what_was_measured() {
    source("Hendricks and Sorenson, SAE 900616 (from memory), worked by hand");
    for (p, rpm, share, time) in [(0.8e5, 2000.0, 0.348, 0.590), (0.8e5, 4000.0, 0.238, 0.469)] {
        let film = fitted(p, rpm);
        assert!((film.share - share).abs() < 6e-4 && (film.time - time).abs() < 6e-4, "{film:?}");
    }
    // Near 6000 rpm and 0.4 bar the fit's time has no meaning.
    let beyond = fitted(0.4e5, 6000.0);
    assert!(beyond.time < 0.2, "{beyond:?}");
    let held = beyond.held(0.7);
    assert!(held.time_held && (held.film.time - TIMES.0).abs() < 1e-12);
    let inside = fitted(0.8e5, 2000.0).held(0.7);
    assert!(!inside.share_held && !inside.time_held);
    // A film takes no more than is liquid.
    let dry = fitted(0.8e5, 2000.0).held(0.1);
    assert!(dry.share_held && (dry.film.share - 0.1).abs() < 1e-12);
    assert!(fitted(1.0e5, 6000.0).held(1.0).film.share >= SHARES.0);
}

#[test]
fn a_cold_wall_takes_the_warm_times_into_the_range_measured_cold() {
    source("Aquino, SAE 810494 (from memory): warm 0.4 to 2 s, cold 5 to 30 s");
    assert!((longer_when_cold(PETROL, WARM_WALL) - 1.0).abs() < 1e-12);
    let cold = longer_when_cold(PETROL, 288.15);
    assert!((5.0..=30.0).contains(&(0.5 * cold)), "0.5 s becomes {} s", 0.5 * cold);
    // Clausius and Clapeyron by hand: 4617 K times (1/288.15 - 1/353.15).
    assert!((libm::log(cold) - PETROL * (1.0 / 288.15 - 1.0 / 353.15)).abs() < 1e-12);
}
