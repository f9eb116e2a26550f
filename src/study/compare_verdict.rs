//! What a second carburettor gains and loses against a first one, and what limits the engine's breathing.

use serde::{Deserialize, Serialize};

use super::compare::{ComparePoint, Fitted};
use super::inlet_mach;

/// Least difference of torque that counts [-].
pub const LEAST: f64 = 0.005;
/// Mean air speed during the intake stroke that the rule allows [m/s]: "90 m/s in the choke at rated speed", a
/// published rule of
/// the trade.
pub const RULE_SPEED: f64 = 90.0;
/// Bores of the selection charts for 30 hp from one cylinder [m]. Common practice.
pub const CHART_BORES: (f64, f64) = (32e-3, 38e-3);
/// Power of the chart [kW]: 30 hp.
pub const CHART_POWER: f64 = 22.4;

/// Speeds at which torque is more, or less.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Stretch {
    /// Lowest speed [rpm].
    pub rpm_from: f64,
    /// Highest speed [rpm].
    pub rpm_to: f64,
    /// Largest difference of torque [%], below zero a loss.
    pub percent: f64,
    /// Speed of the largest difference [rpm].
    pub at_rpm: f64,
}

/// What limits the breathing first as the speed rises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Limit {
    /// The inlet valve.
    InletValve,
    /// The carburettor.
    Carburettor,
    /// Neither up to the highest speed.
    Neither,
}

/// One carburettor against the rules.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Breathing {
    /// Its name.
    pub name: String,
    /// Its bore [m].
    pub bore_m: f64,
    /// Speed of most power at full throttle [rpm], and the power [kW].
    pub most_power: Option<(f64, f64)>,
    /// Mean air speed during the intake stroke there [m/s].
    pub stroke_mean_air_speed: Option<f64>,
    /// Bore by the 90 m/s rule at that speed and flow [m].
    pub rule_bore_m: Option<f64>,
    /// Bores of the chart scaled on the root of power [m].
    pub chart_bores_m: Option<(f64, f64)>,
    /// Mean inlet Mach index of the valve there [-].
    pub inlet_mach_index: Option<f64>,
    /// Highest Mach number in the bore over all speeds [-].
    pub peak_mach: Option<f64>,
    /// Speed from which the valve's index is past 0.5 [rpm].
    pub valve_limit_rpm: Option<f64>,
    /// Speed from which the rule's air speed is passed [rpm].
    pub rule_limit_rpm: Option<f64>,
    /// Which limit comes first.
    pub limit: Limit,
}

/// A carburettor against the first one.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Verdict {
    /// The first one.
    pub of: String,
    /// The one that is judged.
    pub name: String,
    /// Where it gives more torque at full throttle.
    pub gains: Vec<Stretch>,
    /// Where it gives less.
    pub losses: Vec<Stretch>,
    /// Speeds at which it alone fires at full throttle [rpm].
    pub fires_alone_rpm: Vec<f64>,
    /// Speeds at which only the first one fires [rpm].
    pub silent_alone_rpm: Vec<f64>,
    /// Change of the suction at the nozzle, lowest speed where both fire, full throttle [%].
    pub suction_low_percent: Option<f64>,
    /// Change of the most power [%].
    pub most_power_percent: Option<f64>,
    /// Open area per lift in the first quarter over that of the first one [-]: above 1 the throttle is coarser.
    pub first_quarter_ratio: Option<f64>,
}

fn sound(p: &ComparePoint) -> bool {
    p.point.converged && p.point.fired
}

/// Judges `of` and `other` at full throttle.
#[must_use]
pub fn against(of: &Fitted, other: &Fitted) -> Verdict {
    let pairs = || of.full.iter().zip(&other.full);
    let difference = |(a, b): (&ComparePoint, &ComparePoint)| {
        let torque = |p: &ComparePoint| p.point.torque_nm.filter(|t| sound(p) && *t > 0.0);
        Some(torque(b)? / torque(a)? - 1.0)
    };
    let differences: Vec<(f64, Option<f64>)> = pairs().map(|p| (p.0.point.rpm, difference(p))).collect();
    let alone = |a: bool, b: bool| {
        let settled = pairs().filter(|p| p.0.point.converged && p.1.point.converged);
        settled.filter(|p| p.0.point.fired == a && p.1.point.fired == b).map(|p| p.0.point.rpm).collect()
    };
    let suction = pairs().find(|p| sound(p.0) && sound(p.1)).and_then(|(a, b)| {
        Some(100.0 * (b.point.nozzle_depression_pa? / a.point.nozzle_depression_pa.filter(|d| *d > 0.0)? - 1.0))
    });
    let (own, their) = (most_power(other), most_power(of));
    Verdict {
        of: of.name.clone(),
        name: other.name.clone(),
        gains: stretches(&differences, 1.0),
        losses: stretches(&differences, -1.0),
        fires_alone_rpm: alone(false, true),
        silent_alone_rpm: alone(true, false),
        suction_low_percent: suction.filter(|s| s.is_finite()),
        most_power_percent: own.zip(their).map(|(b, a)| 100.0 * (b.point.1 / a.point.1 - 1.0)),
        first_quarter_ratio: other
            .first_quarter_area_per_lift_m
            .zip(of.first_quarter_area_per_lift_m)
            .map(|(b, a)| b / a),
    }
}

/// Neighbouring speeds whose difference has the `sign`.
fn stretches(differences: &[(f64, Option<f64>)], sign: f64) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    let mut open = false;
    for (rpm, difference) in differences {
        let Some(by) = difference.filter(|d| sign * d >= LEAST) else {
            open = false;
            continue;
        };
        let percent = 100.0 * by;
        match found.last_mut().filter(|_| open) {
            Some(stretch) => {
                stretch.rpm_to = *rpm;
                if sign * percent > sign * stretch.percent {
                    (stretch.percent, stretch.at_rpm) = (percent, *rpm);
                }
            }
            None => found.push(Stretch { rpm_from: *rpm, rpm_to: *rpm, percent, at_rpm: *rpm }),
        }
        open = true;
    }
    found
}

/// Most power with its place in the speeds.
struct Most {
    place: usize,
    point: (f64, f64),
}

fn most_power(fitted: &Fitted) -> Option<Most> {
    let powers = fitted.full.iter().enumerate().filter(|(_, p)| sound(p));
    let powers = powers.filter_map(|(i, p)| Some((i, p.point.power_kw.filter(|p| *p > 0.0)?)));
    let (place, power) = powers.max_by(|a, b| a.1.total_cmp(&b.1))?;
    Some(Most { place, point: (fitted.full[place].point.rpm, power) })
}

/// A carburettor against the limit of the valve, whose index at each speed is `indices`, and the rules of the trade.
///
/// The rule's bore follows from the flow at most power: `D = bore sqrt(speed / 90 m/s)`. The chart's bores go as the
/// root of power.
#[must_use]
pub fn breathing(fitted: &Fitted, indices: &[f64]) -> Breathing {
    let most = most_power(fitted);
    let at = most.as_ref().map(|m| m.place);
    let speed = at.and_then(|i| fitted.full[i].stroke_mean_air_speed);
    let rpm = |i: usize| fitted.full.get(i).map(|p| p.point.rpm);
    let valve = indices.iter().position(|z| *z >= inlet_mach::LIMIT).and_then(rpm);
    let fast = |p: &ComparePoint| p.stroke_mean_air_speed.is_some_and(|v| v >= RULE_SPEED);
    let rule = fitted.full.iter().find(|p| fast(p)).map(|p| p.point.rpm);
    let limit = match (valve, rule) {
        (None, None) => Limit::Neither,
        (Some(valve), Some(rule)) if rule < valve => Limit::Carburettor,
        (None, Some(_)) => Limit::Carburettor,
        _ => Limit::InletValve,
    };
    let scale = most.as_ref().map(|m| (m.point.1 / CHART_POWER).sqrt());
    Breathing {
        name: fitted.name.clone(),
        bore_m: fitted.bore_m,
        stroke_mean_air_speed: speed,
        rule_bore_m: speed.map(|v| fitted.bore_m * (v / RULE_SPEED).sqrt()),
        chart_bores_m: scale.map(|s| (s * CHART_BORES.0, s * CHART_BORES.1)),
        inlet_mach_index: at.and_then(|i| indices.get(i).copied()),
        peak_mach: fitted.full.iter().filter_map(|p| p.peak_mach).reduce(f64::max),
        valve_limit_rpm: valve,
        rule_limit_rpm: rule,
        limit,
        most_power: most.map(|m| m.point),
    }
}
