//! Fuel from tank to bowl: gravity feed, friction, a crushed tube, a bowl that empties.

use bellmouth::hardware::supply_line::{
    Bowl, ELBOW, EXIT, FloatNeedle, Fluid, Hose, Inlet, Part, SupplyLine, Tank, Tap, effective_area,
};
use bellmouth::laws::crushed_tube::{area_share, ellipse_perimeter, major_axis};
use bellmouth::laws::orifice;
use bellmouth::laws::pipe_flow::{Pipe, Resistance, darcy_weisbach, friction_factor};
use bellmouth::numeric::ode::{Accuracy, integrate};
use bellmouth::study::supply::Network;
use nalgebra::SVector;

use super::{circle, close, near, source};

const AIR: Fluid = Fluid { density: 1.2, viscosity: 1.5e-5 };
const PETROL: Fluid = Fluid { density: 740.0, viscosity: 0.6e-6 };
const G: f64 = 9.806_65;

/// A hose of 6 mm x 0.5 m with losses of 12.75 in all and a plain seat.
fn handbook_line(seat: f64) -> SupplyLine {
    // sharp entry, two bends and the exit; the rest of the sum is tap and strainer
    let tap_loss = 12.75 - 0.5 - 2.0 * ELBOW - EXIT;
    SupplyLine {
        tank: Tank { full: 0.3, reserve: 0.2, vent: 5e-3, air: 4e-3 },
        tap: Tap { bore: 6e-3, loss: tap_loss, open: 1.0 },
        filter: None,
        hose: Hose { length: 0.5, bore: 6e-3, bends: 2.0, rise: 0.0 },
        inlet: Inlet::Fitting { bore: 40e-3, length: 0.0, elbow: 0.0, flattened: 40e-3 },
        // the needle out of the way: the seat alone
        needle: FloatNeedle { seat, discharge: 0.65, lift: 1.0, over: 1e-3, half_angle: 0.5 },
        bowl: Bowl { area: 20e-4, usable: 50e-6 },
        measured_line: None,
    }
}

#[test]
fn gravity_feed_through_hose_and_seat_gives_the_computed_table() {
    source(
        "Darcy-Weisbach with f = 64/Re, losses of the type of Crane TP-410 (from memory), computed independently in Python",
    );
    // head m, kg/h and hose Re with a seat of 1.5 mm, then of 2.0 mm
    let table = [
        (0.05, (2.97, 394.0), (5.12, 680.0)),
        (0.10, (4.21, 559.0), (7.28, 966.0)),
        (0.20, (5.97, 792.0), (10.34, 1372.0)),
        (0.30, (7.31, 971.0), (12.68, 1683.0)),
    ];
    for (head, small, large) in table {
        for (seat, (kg_h, re)) in [(1.5e-3, small), (2.0e-3, large)] {
            let q = Network::new(&handbook_line(seat), PETROL, AIR, false).most(head);
            // printed to three or four digits
            close(q * PETROL.density * 3600.0, kg_h, 2.5e-3);
            close(Pipe::round(6e-3, 0.5, 0.0).reynolds(q, PETROL.viscosity), re, 2.5e-3);
        }
    }
}

#[test]
fn the_seat_and_not_the_hose_takes_the_head() {
    source("the same table: 10 kW at 350 g/kWh need 3.5 kg/h; the seat limits");
    let network = Network::new(&handbook_line(1.5e-3), PETROL, AIR, true);
    let heads = network.heads(network.most(0.2));
    let of = |part: Part| heads.iter().find(|h| h.0 == part).unwrap().1;
    assert!(of(Part::Seat) > 0.9 * 0.2 && of(Part::Hose) < 0.02 * 0.2, "{heads:?}");
    near(heads.iter().map(|h| h.1).sum(), 0.2, 1e-9);
}

#[test]
fn pipe_friction_reproduces_two_worked_examples() {
    source(
        "C. Schaschke, Fluid Mechanics: Worked Examples for Engineers, 8.6: printed level difference 12.292 m (g 9.8)",
    );
    let (d, rho) = (50e-3, 780.0);
    let v = 15.0 / 3600.0 / circle(d);
    let darcy = 4.0 * 0.0065;
    close(v * d * rho / 1.7e-3, 48_683.0, 1e-4);
    close(darcy_weisbach(darcy, 100.0 / d, 0.0, rho, v), 91_324.0, 1e-5);
    near(darcy_weisbach(darcy, 100.0 / d, 0.5 + 1.0, rho, v) / (rho * 9.8), 12.292, 6e-4);
    source("the same, 8.5: printed 8.684 m (g 9.81): friction, losses of 1.5, the jet's own head and 55 kPa");
    let (d, rho) = (25e-3, 873.0);
    let v = 40.0 / 60.0 / rho / circle(d);
    near(v, 1.5557, 1e-4);
    let lost = darcy_weisbach(4.0 * 0.0055, 18.0 / d, 1.5 + 1.0, rho, v);
    near((lost + 55e3) / (rho * 9.81), 8.684, 6e-4);
}

#[test]
fn a_laminar_pipe_follows_hagen_and_poiseuille_and_the_loss_never_falls_with_the_flow() {
    source("Hagen-Poiseuille, exact; Blasius 1913 at Re 1e4: 0.0316");
    let (d, l) = (3e-3, 0.4);
    let pipe = Resistance::Pipe(Pipe::round(d, l, 0.0));
    let q = 1e-6;
    let exact = 128.0 * PETROL.density * PETROL.viscosity * l * q / (std::f64::consts::PI * d.powi(4));
    close(pipe.pressure_loss(q, PETROL.density, PETROL.viscosity), exact, 1e-12);
    near(friction_factor(1e4), 0.0316, 1e-5);
    let loss = |i: i32| pipe.pressure_loss(f64::from(i) * 2e-8, PETROL.density, PETROL.viscosity);
    assert!((1..2000).all(|i| loss(i) > loss(i - 1)));
}

#[test]
fn a_crushed_tube_keeps_the_share_of_its_area_that_was_computed() {
    source("ellipse of the same perimeter, computed independently in Python");
    let table = [
        (0.9, 1.0952, 0.9857),
        (0.8, 1.1816, 0.9453),
        (0.7, 1.2598, 0.8819),
        (0.6, 1.3303, 0.7982),
        (0.5, 1.3931, 0.6966),
        (0.4, 1.4481, 0.5793),
        (0.3, 1.4949, 0.4485),
    ];
    for (flat, major, share) in table {
        near(major_axis(flat), major, 6e-5);
        near(area_share(flat), share, 6e-5);
    }
    near(area_share(1.0), 1.0, 1e-12);
    // a strip: two straight edges; the arithmetic-geometric mean is good to the last digits there too
    near(ellipse_perimeter(1.0, 1e-9), 2.0, 1e-8);
}

#[test]
fn crushing_a_fitting_costs_what_the_steps_cost() {
    source("Borda-Carnot and Idelchik's contraction on the smallest area");
    let fitting = |flattened: f64| {
        let mut line = handbook_line(2e-3);
        line.inlet = Inlet::Fitting { bore: 4e-3, length: 0.0, elbow: 0.0, flattened };
        let Resistance::Pipe(p) = line.fitting() else { panic!() };
        p.loss
    };
    near(fitting(4e-3), 0.5, 1e-12);
    let s: f64 = 0.6966;
    let want = 0.5 + (0.5 * (1.0 - s).powf(0.75) + (1.0 - s).powi(2)) / (s * s);
    close(fitting(2e-3), want, 2e-3);
}

#[test]
fn vessels_empty_in_torricellis_time() {
    source("Torricelli: 2 m2 through 5 cm2, Cd 0.61, 4 to 1 m: 2961.316 s, doc-test of a public library");
    source("Schaschke 6.3: 1 m3 of 1 m diameter, 20 mm hole, Cd 0.6, g 9.8: printed 2124.50 s, exact 2123.96 s");
    source("a bowl of 60 mm, hole 1 mm, Cd 0.62: 454.18 s empty, 191.96 s from 30 to 10 mm, computed in Python");
    let cases = [
        (2.0, 0.61 * 5e-4, G, 4.0, 1.0, 2961.316),
        (circle(1.0), 0.6 * circle(20e-3), 9.8, 1.0 / circle(1.0), 0.0, 2123.96),
        (circle(60e-3), 0.62 * circle(1e-3), G, 30e-3, 0.0, 454.18),
        (circle(60e-3), 0.62 * circle(1e-3), G, 30e-3, 10e-3, 191.96),
    ];
    for (area, hole, g, from, to, seconds) in cases {
        // the same law of holes and the same integrator as the bowl's
        let out = |h: f64| orifice::mass_flow(hole, 1.0, g * h.max(0.0));
        let rhs = |_: f64, y: &SVector<f64, 1>| SVector::<f64, 1>::new(-out(y[0]) / area);
        let accuracy = Accuracy { longest_step: seconds / 4000.0, ..Accuracy::default() };
        let done = integrate(rhs, 0.0, 2.0 * seconds, SVector::<f64, 1>::new(from), accuracy, |_, y| y[0] <= to + 1e-9)
            .unwrap();
        let (t, _) = done.last().unwrap();
        // the event is seen at the end of a step, and the last drop runs slowly
        close(t, seconds, 2e-3);
    }
}

#[test]
fn a_hole_of_the_trades_table_passes_its_flow() {
    source("common practice: cc/min through a hole, Cd 0.6, by head of petrol, computed in Python");
    let table = [
        (1.0, 0.1, 40.0),
        (1.2, 0.2, 81.0),
        (1.5, 0.2, 126.0),
        (2.0, 0.3, 274.0),
        (2.3, 0.2, 296.0),
        (3.3, 0.4, 863.0),
    ];
    for (bore, head, cc_min) in table {
        let flow = effective_area(bore * 1e-3) * (2.0 * G * head).sqrt() * 6e7;
        near(flow, cc_min, 0.6);
    }
}

#[test]
fn a_longer_nozzle_needs_the_air_speeds_of_the_table_to_start() {
    source("v = sqrt(2 rho_f g z / rho_a), rho_f 740, rho_a 1.2, computed in Python");
    let table = [(2.0, 4.92), (3.0, 6.02), (4.0, 6.96), (5.0, 7.78), (6.0, 8.52), (8.0, 9.84), (10.0, 11.00)];
    for (lip, speed) in table {
        near(orifice::starting_speed(740.0, 1.2, G, lip * 1e-3), speed, 6e-3);
    }
}

#[test]
fn a_clear_cap_costs_nothing_and_a_blocked_one_costs_the_flow() {
    source("air through a short hole; common practice: open the cap when it fades");
    let flow = |vent: f64| {
        let mut line = handbook_line(2e-3);
        line.tank.vent = vent;
        Network::new(&line, PETROL, AIR, true).most(0.2)
    };
    let free = Network::new(&handbook_line(2e-3), PETROL, AIR, false).most(0.2);
    assert!(flow(2e-3) > 0.998 * free, "{} {free}", flow(2e-3));
    assert!(flow(0.2e-3) < 0.6 * free && flow(0.0) < 1e-4 * free);
}
