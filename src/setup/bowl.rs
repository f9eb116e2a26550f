//! The float bowl of the file: level, vent, and how the machine stands.

use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use super::vent::Vent;
use crate::diagnostics::{Place as Where, Problem};
use crate::hardware::attitude::{Attitude, Place};
use crate::hardware::carburettor::MainCircuit;
use crate::hardware::float_bowl::FloatBowl;
use crate::hardware::jet::Jet;
use crate::laws::annulus::AnnulusLaw;
use crate::laws::jet::JetLaw;
use crate::media::atmosphere::G0;
use crate::media::fuel::Fuel;
use crate::numeric::root;
use crate::units::Dimension::{self, Length, VolumeFlow};

const LEVEL: Spec = Spec::new(Length, "mm", (-10.0, 60.0), (4.0, 25.0));
const TILT: Spec = Spec::new(Dimension::Angle, "deg", (-60.0, 60.0), (-35.0, 35.0));
const LEAN: Spec = Spec::new(Dimension::Angle, "deg", (-65.0, 65.0), (-50.0, 50.0));
const ACCELERATION: Spec = Spec::new(Dimension::Acceleration, "g", (-3.0, 3.0), (-1.2, 1.2));
const PLACE: Spec = Spec::new(Length, "mm", (-120.0, 120.0), (-50.0, 60.0));
const RATE: Spec = Spec::new(VolumeFlow, "cc/min", (0.0, 1e6), (0.0, 1e6));
/// Least gravity along the machine's upright axis that keeps the fuel in the bowl [of `G0`].
const LEAST_GRAVITY: f64 = 0.2;

/// Parts through which a bowl that stands too high runs out.
pub struct Outlets<'a> {
    /// Main circuit.
    pub main: &'a MainCircuit,
    /// Pilot jet.
    pub pilot: &'a Jet,
    /// The carburettor's bore [m].
    pub bore: f64,
}

/// Reads the bowl's table.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, outlets: &Outlets<'_>, fuel: &Fuel) -> (FloatBowl, Vent) {
    let mut t = reader.table(ledger, "bowl");
    let rule = "12 mm: fuel 3 to 5 mm below the gasket face, the bore's floor about 8 mm above it";
    let level = Estimate::fixed(&LEVEL, 12.0, (8.0, 16.0), rule, COMMON);
    let level = t.estimated(ledger, "level", &LEVEL, level);
    let vent = Vent::read(&mut t, ledger);
    let before = ledger.problems.len();
    let stance = read_stance(&mut t, ledger, outlets.bore);
    t.close(ledger);
    check_level(ledger, &level, outlets, fuel);
    if let Some((attitude, place)) = &stance
        && ledger.sound_since(before)
    {
        check_stance(ledger, attitude, place, &level, outlets, fuel);
    }
    (FloatBowl { level_below_bore: level.kept, attitude: stance.map(|s| s.0) }, vent)
}

fn read_stance(t: &mut Reader<'_>, ledger: &mut Ledger, bore: f64) -> Option<(Attitude, Option<Where>)> {
    let mut place = None;
    let mut given = |t: &mut Reader<'_>, ledger: &mut Ledger, key: &str, spec: &Spec| {
        let figure = t.optional(ledger, key, spec)?;
        place = place.take().or_else(|| figure.place.clone());
        Some(figure.kept)
    };
    let tilt = given(t, ledger, "tilt", &TILT);
    let acceleration = given(t, ledger, "acceleration", &ACCELERATION);
    let lean = given(t, ledger, "lean", &LEAN);
    let cornering = given(t, ledger, "cornering", &ACCELERATION);
    let level = tilt.is_none() && acceleration.is_none() && lean.is_none() && cornering.is_none();
    let mut at = |key: &str, value: f64, range: (f64, f64), rule: &str| {
        if level {
            // On a level machine the place does not matter; a given one is read all the same.
            return t.optional(ledger, key, &PLACE).map_or(0.0, |f| f.kept);
        }
        let estimate = Estimate { value, low: range.0, high: range.1, rule: rule.into(), source: COMMON };
        t.estimated(ledger, key, &PLACE, estimate).kept
    };
    let mm = 1e-3;
    let rule = "in the middle of the floats, which stand on both sides of it";
    let nozzle = at("nozzle_forward", 0.0, (-10.0 * mm, 10.0 * mm), rule);
    let right = at("nozzle_right", 0.0, (-5.0 * mm, 5.0 * mm), rule);
    let rule = "0.65 x bore nearer to the engine than the nozzle, the engine in front";
    let pilot = at("pilot_forward", nozzle + 0.65 * bore, (nozzle + 0.5 * bore, nozzle + 0.8 * bore), rule);
    let pilot_right = at("pilot_right", right, (right - 5.0 * mm, right + 5.0 * mm), "in line with the nozzle");
    let rule = "beside the bore, as far forward as the nozzle";
    let starter = at("starter_forward", nozzle, (nozzle - 10.0 * mm, nozzle + 15.0 * mm), rule);
    let rule = "0.7 x bore to the left of the nozzle";
    let starter_right = at("starter_right", right - 0.7 * bore, (right - 0.9 * bore, right + 0.9 * bore), rule);
    if level {
        return None;
    }
    let attitude = Attitude {
        tilt: tilt.unwrap_or(0.0),
        acceleration: acceleration.unwrap_or(0.0),
        lean: lean.unwrap_or(0.0),
        cornering: cornering.unwrap_or(0.0),
        nozzle: Place { forward: nozzle, right },
        pilot: Place { forward: pilot, right: pilot_right },
        starter: Place { forward: starter, right: starter_right },
    };
    Some((attitude, place))
}

/// Flow [m3/s] that a pressure `drop` [Pa] drives through main jet and needle annulus in series, the slide shut; none if the parts are not
/// known.
fn through_main(main: &MainCircuit, drop: f64, fuel: &Fuel) -> Option<f64> {
    let jet = JetLaw::new(main.main_jet.bore, main.main_jet.length, fuel.density, fuel.viscosity);
    let ring = main.needle_jet.annulus(&main.needle, 0.0);
    let (outer, inner) = (ring.outer_diameter, ring.inner_diameter);
    let annulus = AnnulusLaw::new(outer, inner, ring.length, ring.eccentricity, fuel.density, fuel.viscosity);
    let most = jet.flow(drop);
    let found = root::find(|q| jet.pressure_loss(q) + annulus.pressure_loss(q) - drop, 0.0, most, 1e-6 * most);
    found.ok().map(|r| r.x).filter(|q| q.is_finite())
}

fn through_pilot(jet: &Jet, drop: f64, fuel: &Fuel) -> Option<f64> {
    Some(JetLaw::new(jet.bore, jet.length, fuel.density, fuel.viscosity).flow(drop)).filter(|q| q.is_finite())
}

/// `: 45.00 cc/min run out without any suction`, or nothing if the flow is not known.
fn running_out(rate: Option<f64>) -> String {
    rate.map_or_else(String::new, |q| format!(": {:.2} cc/min run out without any suction", RATE.outside(q)))
}

fn check_level(ledger: &mut Ledger, level: &Figure, outlets: &Outlets<'_>, fuel: &Fuel) {
    let main = outlets.main;
    let rise = main.nozzle.protrusion;
    let help = "`level` is how far the fuel stands below the floor of the bore, a positive length";
    if level.kept <= -rise {
        let rate = through_main(main, fuel.density * G0 * (-level.kept - rise), fuel);
        ledger.note(
            Problem::error(format!("the fuel stands above the nozzle and floods{}", running_out(rate)))
                .at(level.place.clone(), format!("level {}", level.label()))
                .allowed(format!("above {}, where the nozzle's mouth is", LEVEL.show(-rise)))
                .help(help),
        );
    } else if level.kept < 0.0 {
        let rate = through_pilot(outlets.pilot, -fuel.density * G0 * level.kept, fuel);
        let out = running_out(rate);
        ledger.note(
            Problem::warning(format!("the fuel stands above the floor of the bore and floods the pilot outlet{out}"))
                .at(level.place.clone(), format!("level {}", level.label()))
                .help(help),
        );
    }
}

fn check_stance(
    ledger: &mut Ledger,
    attitude: &Attitude,
    place: &Option<Where>,
    level: &Figure,
    outlets: &Outlets<'_>,
    fuel: &Fuel,
) {
    let down = attitude.apparent_gravity()[2];
    if down < LEAST_GRAVITY * G0 {
        ledger.note(
            Problem::error("the fuel would not stay in the bowl")
                .at(place.clone(), format!("{} towards its floor", ACCELERATION.show(down)))
                .allowed(format!("{LEAST_GRAVITY} g and more, from tilt, lean and cornering together"))
                .help("a turn to the right goes with a lean to the right: give both the same sign"),
        );
        return;
    }
    let rise = level.kept + outlets.main.nozzle.protrusion.max(0.0);
    let nozzle = (attitude.nozzle, rise, "the fuel stands above the nozzle and floods");
    let pilot = (attitude.pilot, level.kept, "the fuel stands above the pilot outlet and floods");
    for (i, (where_, rise, message)) in [nozzle, pilot].into_iter().enumerate() {
        let standing = attitude.standing(where_, rise);
        if standing.lift >= 0.0 || rise <= 0.0 {
            continue;
        }
        let drop = -fuel.density * standing.gravity * standing.lift;
        let rate =
            if i == 0 { through_main(outlets.main, drop, fuel) } else { through_pilot(outlets.pilot, drop, fuel) };
        let lift = |s: f64| attitude.part(s).standing(where_, rise).lift;
        let begins = root::find(lift, 0.0, 1.0, 1e-6).map_or(1.0, |r| r.x);
        ledger.note(
            Problem::warning(format!("{message}{}", running_out(rate)))
                .at(place.clone(), format!("{} above it", LEVEL.show(-standing.lift)))
                .help(format!("it begins at {}", shown(&attitude.part(begins)))),
        );
    }
}

/// The parts of a stance that are not level, in words.
fn shown(a: &Attitude) -> String {
    let parts = [
        ("a tilt of", a.tilt, &TILT),
        ("an acceleration of", a.acceleration, &ACCELERATION),
        ("a lean of", a.lean, &LEAN),
        ("a cornering of", a.cornering, &ACCELERATION),
    ];
    let said: Vec<String> = parts
        .iter()
        .filter(|p| p.1.abs() > 0.0)
        .map(|(what, value, spec)| format!("{what} {}", spec.show(*value)))
        .collect();
    said.join(" and ")
}
