//! How long the bowl lasts, as text.

use super::number::rounded;
use super::prose::wrapped;
use super::supply_text::{cc_min, mm, point_words, tank_words};
use super::table::table;
use crate::study::supply::{Ending, LevelPoint, Ride, SupplyResult, TankRide};

/// Metres in a mile, exact.
const MILE: f64 = 1_609.344;

/// A sentence for each ride.
#[must_use]
pub(super) fn rides(result: &SupplyResult) -> Vec<String> {
    let held = &result.asked.held;
    let what = match held.speed_m_s {
        Some(speed) => result.speed_unit.both(speed),
        None => format!("{} rpm", rounded(Some(held.rpm), 0)),
    };
    result.held.rides.iter().map(|r| format!("{what} held, {}", words(r, result, held.speed_m_s))).collect()
}

/// The held point against the level.
#[must_use]
pub(super) fn levels(result: &SupplyResult) -> String {
    let held = &result.asked.held;
    let mut out = wrapped("", "  ", &format!("Held: {}", point_words(held, result.speed_unit)));
    out += &wrapped("", "  ", &format!("Eased off to: {}", point_words(&result.asked.eased, result.speed_unit)));
    let row = |l: &LevelPoint| {
        let mark = if !l.fired {
            "~"
        } else if l.converged {
            ""
        } else {
            "*"
        };
        let afr = l.lambda.filter(|_| l.fired).map(|v| v * result.stoichiometric);
        vec![
            format!("{}{mark}", mm(l.fall, 1)),
            cc_min(l.fuel_m3_s),
            rounded(afr, 1),
            rounded(l.torque_nm.filter(|_| l.fired), 1),
        ]
    };
    let heads = ["mm below level", "cc/min", "AFR", "N m"].map(str::to_owned);
    out += &table(&heads, &result.held.levels.iter().map(row).collect::<Vec<_>>());
    if result.held.levels.iter().any(|l| !l.fired || !l.converged) {
        out += "  ~ does not burn, * does not settle\n";
    }
    out + &wrapped(
        "",
        "  ",
        &format!(
            "leaned out: AFR above {}; the last level is the main jet's seat, {} cc below the first",
            rounded(Some(result.held.lean_limit * result.stoichiometric), 1),
            rounded(Some(1e6 * result.line.bowl.usable), 0)
        ),
    )
}

fn words(tank: &TankRide, result: &SupplyResult, speed: Option<f64>) -> String {
    let r = &tank.ride;
    let lean = r.leans_out_after.map(|t| format!("leans out after {}", time(t, speed)));
    let said = match r.ending {
        Ending::Settled => settled(r, result, lean),
        Ending::TooLong => join(lean, "the bowl lasts more than an hour".to_owned()),
        Ending::Silent => {
            let stop = format!("falls silent after {}", time(r.stops_after.unwrap_or(f64::NAN), speed));
            format!("{}; {}", join(lean, stop), recovery(r))
        }
        Ending::RanDry => {
            let stop = format!("runs dry after {}", time(r.stops_after.unwrap_or(f64::NAN), speed));
            let fade = match r.dry_lambda.map(|l| l * result.stoichiometric) {
                Some(afr) if r.dry_burns => {
                    let lean = afr > result.held.lean_limit * result.stoichiometric;
                    let how = if lean { "it fades and surges" } else { "it goes on, leaner" };
                    format!("then gets only what runs in, AFR {}: {how}", rounded(Some(afr), 1))
                }
                _ => "then gets so little that it stops".to_owned(),
            };
            format!("{}; {fade}; {}", join(lean.filter(|_| r.leans_out_after < r.stops_after), stop), recovery(r))
        }
    };
    format!("{}: {said}", tank_words(&tank.tank))
}

fn settled(r: &Ride, result: &SupplyResult, lean: Option<String>) -> String {
    let level = mm(r.fall, 1);
    let afr = r.trace.last().and_then(|p| p.lambda).map(|l| l * result.stoichiometric);
    join(lean, format!("it lasts: the fuel settles {level} mm below its level, AFR {}", rounded(afr, 1)))
}

fn join(lean: Option<String>, rest: String) -> String {
    lean.map_or(rest.clone(), |lean| format!("{lean}, {rest}"))
}

fn recovery(r: &Ride) -> String {
    match r.recovers_after {
        Some(t) => format!("eased off, the bowl is nine tenths back after {}", clock(t)),
        None => "eased off to that it does not fill again: ease off further".to_owned(),
    }
}

/// `48 s` or `2.5 min`.
fn clock(t: f64) -> String {
    if t < 100.0 { format!("{} s", rounded(Some(t), 0)) } else { format!("{} min", rounded(Some(t / 60.0), 1)) }
}

/// `2.5 min, 2.9 miles (4.7 km)`.
fn time(t: f64, speed: Option<f64>) -> String {
    let way = speed.map(|v| {
        let metres = v * t;
        format!(", {} miles ({} km)", rounded(Some(metres / MILE), 1), rounded(Some(1e-3 * metres), 1))
    });
    clock(t) + &way.unwrap_or_default()
}
