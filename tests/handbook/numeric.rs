use bellmouth::numeric::ode::{Accuracy, OdeError, Status, integrate};
use bellmouth::numeric::root::{RootError, find};
use bellmouth::numeric::table::{Pchip, TableError, linear};
use nalgebra::{SVector, vector};

use super::{close, near, source};

type Function = fn(f64) -> f64;

#[test]
fn root_finder_never_needs_more_than_one_step_above_bisection() {
    source("Oliveira & Takahashi 2020: worst case of the method (from memory)");
    let hard: [(Function, f64, f64); 5] = [
        (|x| x * x * x - 2.0, 0.0, 3.0),
        (|x| libm::tanh(50.0 * (x - 0.1)), -1.0, 1.0),
        (|x| if x < 0.3 { -1.0e-9 } else { 1.0e9 }, 0.0, 1.0),
        (|x| libm::expm1(40.0 * (x - 0.9)), 0.0, 1.0),
        (|x| -(x - 0.2) * (x - 0.2) * (x - 0.2), -4.0, 5.0),
    ];
    for (f, lo, hi) in hard {
        let tolerance = 1.0e-10;
        let root = find(f, lo, hi, tolerance).unwrap();
        let bisection = libm::ceil(libm::log2((hi - lo) / (2.0 * tolerance)));
        // two evaluations at the ends, one of slack, one for rounding of the bracket
        assert!(f64::from(root.evaluations) <= bisection + 4.0, "{} of {bisection}", root.evaluations);
        let step = 2.0 * tolerance;
        assert!(f(root.x - step) * f(root.x + step) <= 0.0);
    }
    close(find(|x| x * x * x - 2.0, 0.0, 3.0, 1.0e-14).unwrap().x, libm::cbrt(2.0), 1.0e-13);
    assert!(find(|x| x * x * x - 2.0, 0.0, 3.0, 1.0e-12).unwrap().evaluations < 20);
    assert!(find(|x| x - 1.0 / 3.0, 0.0, 1.0, 0.0).unwrap().residual.abs() < 1.0e-16);
}

#[test]
fn root_finder_says_why_it_has_no_root() {
    source("contract of the function");
    match find(|x| x * x + 1.0, -1.0, 2.0, 1.0e-9) {
        Err(RootError::NotBracketed { f_lo, f_hi, .. }) => {
            near(f_lo, 2.0, 0.0);
            near(f_hi, 5.0, 0.0);
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(
        find(|x| if x > 0.4 { f64::NAN } else { -1.0 }, 0.0, 1.0, 1e-9),
        Err(RootError::NotANumber { .. })
    ));
    assert!(matches!(
        find(|x| if (0.2..0.8).contains(&x) { f64::NAN } else { x - 0.5 }, 0.0, 1.0, 1e-9),
        Err(RootError::NotANumber { .. })
    ));
}

#[test]
fn tables_pass_through_their_points_and_do_not_overshoot() {
    source("Fritsch & Butland 1984: monotone points give a monotone curve (from memory)");
    let points = vec![(0.0, 0.0), (1.0, 0.1), (2.0, 0.1), (3.0, 5.0), (3.5, 5.2), (9.0, 5.2)];
    let smooth = Pchip::new(points.clone()).unwrap();
    for (x, y) in &points {
        near(smooth.value(*x), *y, 1.0e-14);
        near(linear(&points, *x), *y, 1.0e-14);
    }
    let (mut last, mut last_linear) = (-1.0, -1.0);
    for i in -10..1_000 {
        let x = 0.01 * f64::from(i);
        let (y, z) = (smooth.value(x), linear(&points, x));
        assert!(y >= last - 1.0e-14 && z >= last_linear && (0.0..=5.2 + 1.0e-14).contains(&y));
        (last, last_linear) = (y, z);
    }
    // a peak is not overshot on either side
    let peak = Pchip::new(vec![(0.0, 0.0), (1.0, 1.0), (1.2, 0.3), (4.0, 0.2), (5.0, 0.9)]).unwrap();
    for i in 0..500 {
        let y = peak.value(0.01 * f64::from(i));
        assert!((0.0..=1.0).contains(&y) && (i < 120 || y >= 0.2 - 1.0e-14), "{y} at {i}");
    }
    // a straight line is reproduced
    let line = Pchip::new((0..5).map(|i| (f64::from(i * i), 2.0 * f64::from(i * i))).collect()).unwrap();
    near(line.value(7.3), 14.6, 1.0e-12);
    assert_eq!(Pchip::new(vec![(0.0, 1.0)]), Err(TableError::TooShort(1)));
    assert_eq!(Pchip::new(vec![(0.0, 1.0), (0.0, 2.0)]), Err(TableError::NotRising(1)));
    assert!(linear(&[], 0.0).is_nan());
}

#[test]
fn integration_of_an_oscillator_keeps_its_exact_solution() {
    source("cos t, exact");
    let rhs = |_: f64, y: &SVector<f64, 2>| vector![y[1], -y[0]];
    let end = 20.0;
    let run = integrate(rhs, 0.0, end, vector![1.0, 0.0], Accuracy::default(), |_, _| false).unwrap();
    let (t, y) = run.last().unwrap();
    near(t, end, 1.0e-12);
    near(y[0], libm::cos(end), 1.0e-7);
    assert_eq!(run.status, Status::Finished);
    let event = integrate(rhs, 0.0, end, vector![1.0, 0.0], Accuracy::default(), |_, y| y[0] < 0.0).unwrap();
    assert_eq!(event.status, Status::Event);
    assert!(event.last().unwrap().0 < 3.0);
}

#[test]
fn integration_keeps_its_order_when_the_driving_term_depends_on_time() {
    source("integral of cos t, exact; a fifth-order method gains 10^5 for ten times the steps");
    let run = |tolerance: f64| {
        let accuracy = Accuracy { relative: tolerance, absolute: tolerance, ..Accuracy::default() };
        let rhs = |t: f64, _: &SVector<f64, 1>| vector![libm::cos(t)];
        let run = integrate(rhs, 0.0, 10.0, vector![0.0], accuracy, |_, _| false).unwrap();
        (run.evaluations, (run.last().unwrap().1[0] - libm::sin(10.0)).abs())
    };
    for tolerance in [1.0e-6, 1.0e-9, 1.0e-12] {
        let (evaluations, error) = run(tolerance);
        assert!(error < 10.0 * tolerance, "error {error} at tolerance {tolerance}");
        assert!(evaluations < 5_000, "{evaluations} evaluations at tolerance {tolerance}");
    }
    // thousandfold accuracy for 1000^(1/5) = 4 times the work, not for a thousand times
    assert!(run(1.0e-9).0 < 8 * run(1.0e-6).0);
}

#[test]
fn integration_reports_what_stopped_it() {
    source("contract of the wrapper");
    let accuracy = Accuracy::default();
    let broken = integrate(
        |t, _: &SVector<f64, 1>| vector![if t > 0.5 { f64::NAN } else { 1.0 }],
        0.0,
        1.0,
        vector![0.0],
        accuracy,
        |_, _| false,
    );
    assert!(matches!(broken, Err(OdeError::NotFinite { .. })), "{broken:?}");
    let blown =
        integrate(|_, y: &SVector<f64, 1>| vector![y[0] * y[0]], 0.0, 2.0, vector![1.0], accuracy, |_, _| false);
    assert!(blown.is_err(), "{blown:?}");
    let short = Accuracy { steps: 3, ..accuracy };
    let cut =
        integrate(|t, _: &SVector<f64, 1>| vector![libm::cos(50.0 * t)], 0.0, 10.0, vector![0.0], short, |_, _| false);
    assert!(matches!(cut, Err(OdeError::StepLimit { .. })), "{cut:?}");
}
