//! The column of fuel, alone.

use std::f64::consts::PI;

use bellmouth::metering::column::Column;

use crate::{close, found};

const FUEL: f64 = 740.0;
const LENGTH: f64 = 30e-3;

struct Passage {
    area: f64,
    loss: f64,
}

impl Passage {
    /// A passage of `bore` with a jet of bore `jet`, coefficient 0.8 [m].
    fn new(bore: f64, jet: f64) -> Self {
        let ratio = bore * bore / (0.8 * jet * jet);
        Self { area: 0.25 * PI * bore * bore, loss: ratio * ratio }
    }

    fn column(&self) -> Column {
        Column::full(self.area, LENGTH, 0.0, FUEL)
    }

    fn step(&self, column: &mut Column, dt: f64, drive: f64) -> f64 {
        let k = 0.5 * FUEL * self.loss / (self.area * self.area);
        let s = column.step(dt, drive, FUEL * LENGTH / self.area, |q| (k * q * q.abs(), 2.0 * k * q.abs()));
        FUEL * s.delivered
    }
}

#[test]
fn column_starts_from_rest_along_the_exact_tanh() {
    // u = u_inf tanh(t/T), T = 2L/(K u_inf), exact: u_inf 0.46499 m/s, T 5.1614 ms. At the machine's step of some 10 us the
    // second-order error is (dt/T)^2, 4e-6, and a hundred times that at ten times the step.
    let passage = Passage::new(2.6e-3, 1.3e-3);
    let u_inf = (2.0 * 2000.0 / (FUEL * passage.loss)).sqrt();
    let time = 2.0 * LENGTH / (passage.loss * u_inf);
    close("u_inf", u_inf, 0.46499, 2e-5);
    close("T", time, 5.1614e-3, 2e-5);
    let error = |dt: f64| {
        let mut column = passage.column();
        let mut worst: f64 = 0.0;
        for k in 1..=(4.0 * time / dt) as u32 {
            passage.step(&mut column, dt, 2000.0);
            let want = u_inf * libm::tanh(f64::from(k) * dt / time);
            worst = worst.max((column.flow / passage.area - want).abs() / u_inf);
        }
        worst
    };
    let [a, b] = [error(1e-4), error(1e-5)];
    found(
        "column from rest against tanh (exact), largest error at 100 and 10 us over u_inf",
        &format!("{a:.1e} {b:.1e}"),
    );
    assert!(b < 1e-5 && a < 1e-3);
    assert!(a / b > 50.0, "not second order: {a:e} {b:e}");
}

/// Fuel over quasi-steady fuel, and fuel [g/s], under 2000 sin^2 Pa over 220 of 720 degrees, periodic.
fn pulsating(passage: &Passage, rpm: f64) -> (f64, f64) {
    let cycle = 120.0 / rpm;
    let open = cycle * 220.0 / 720.0;
    // The default largest angle of half a degree, or the machine's usual 20 us.
    let steps = libm::ceil(cycle / (cycle / 1440.0).min(2e-5));
    let dt = cycle / steps;
    let mut column = passage.column();
    let (mut fuel, mut last) = (0.0, f64::INFINITY);
    for _ in 0..400 {
        let mass: f64 = (0..steps as u64)
            .map(|k| {
                let t = (k as f64 + 0.5) * dt;
                let s = if t < open { libm::sin(PI * t / open) } else { 0.0 };
                passage.step(&mut column, dt, 2000.0 * s * s)
            })
            .sum();
        fuel = mass / cycle;
        if (fuel - last).abs() < 1e-7 * fuel {
            break;
        }
        last = fuel;
    }
    let steady = passage.area / passage.loss.sqrt() * (2.0 * FUEL * 2000.0_f64).sqrt() * 2.0 / PI * 220.0 / 720.0;
    (fuel / steady, 1e3 * fuel)
}

#[test]
fn pulsating_column_enriches_as_the_computed_row_says() {
    // Computed independently at 1e-9 from (rho L/A) dQ/dt = dp - K rho Q|Q|/(2 A^2); wanted within 0.5 %.
    let passage = Passage::new(2.6e-3, 1.3e-3);
    let mut worst: f64 = 0.0;
    for (rpm, ratio, grams) in [
        (100.0, 1.0630, 0.3778),
        (300.0, 1.1544, 0.4103),
        (600.0, 1.2648, 0.4495),
        (1_000.0, 1.3854, 0.4923),
        (1_500.0, 1.5073, 0.5356),
        (3_000.0, 1.7379, 0.6176),
        (6_000.0, 1.9071, 0.6777),
        (9_000.0, 1.9587, 0.6960),
        (12_000.0, 1.9796, 0.7035),
    ] {
        let (got, flow) = pulsating(&passage, rpm);
        worst = worst.max((got / ratio - 1.0).abs()).max((flow / grams - 1.0).abs());
        close("ratio", got, ratio, 5e-3);
        close("fuel", flow, grams, 5e-3);
    }
    found(
        "column under a pulse, 100 to 12 000 rpm, largest relative difference to the computed row",
        &format!("{worst:.1e}"),
    );
    // Pilot passage: jet 0.4, bore 1.5 mm.
    let pilot = Passage::new(1.5e-3, 0.4e-3);
    for (rpm, ratio) in [(1_500.0, 1.2038), (6_000.0, 1.5498), (12_000.0, 1.7769)] {
        let got = pulsating(&pilot, rpm).0;
        found("pilot column under a pulse", &format!("{rpm} rpm {got:.4}, computed {ratio}"));
        close("pilot", got, ratio, 5e-3);
    }
}

#[test]
fn column_blown_back_refills_before_it_delivers() {
    // Continuity, exact: what comes out is what was drawn, less what had run back.
    let passage = Passage::new(2.6e-3, 1.3e-3);
    let mut column = passage.column();
    let dt = 1e-5;
    let (mut drawn, mut delivered, mut least) = (0.0, 0.0, 0.0_f64);
    let mut dry_while_empty = true;
    for k in 0..20_000 {
        let drive = if k < 2_000 { -1500.0 } else { 1500.0 };
        let q = column.flow;
        let k2 = 0.5 * FUEL * passage.loss / (passage.area * passage.area);
        let s = column.step(dt, drive, FUEL * LENGTH / passage.area, |q| (k2 * q * q.abs(), 2.0 * k2 * q.abs()));
        assert!(q.is_finite());
        drawn += s.drawn;
        delivered += s.delivered;
        least = least.min(drawn);
        dry_while_empty &= column.void <= 0.0 || s.delivered <= 0.0;
    }
    found(
        "column blown back and refilled: ran back, drawn, delivered [mm3]",
        &format!("{:.2} {:.2} {:.2}", 1e9 * least, 1e9 * drawn, 1e9 * delivered),
    );
    assert!(least < 0.0 && dry_while_empty);
    close("continuity", delivered, drawn + column.void, 1e-9);
}
