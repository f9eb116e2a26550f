//! Two or more carburettors on one engine: tables of 80 columns and a verdict.

use super::ReportError;
use super::how_sure_text;
use super::number::rounded;
use super::prose::wrapped;
use super::table::table;
use crate::hardware::part::Part;
use crate::study::compare::{CompareResult, Fitted};
use crate::study::compare_verdict::{Breathing, CHART_BORES, Limit, RULE_SPEED, Stretch, Verdict};
use crate::study::same_mixture::Ended;
use crate::units::{Quantity, Units};

/// The comparison as JSON text.
///
/// # Errors
/// The text could not be put together.
pub fn compare_json(result: &CompareResult) -> Result<String, ReportError> {
    let text = serde_json::to_string_pretty(result).map_err(|e| ReportError::Json(e.to_string()))?;
    Ok(text + "\n")
}

/// The whole sheet.
#[must_use]
pub fn compare_text(result: &CompareResult) -> String {
    compare_text_in(result, &Units::default())
}

/// The same in other units than metric ones.
#[must_use]
pub fn compare_text_in(result: &CompareResult, units: &Units) -> String {
    let mut out = String::new();
    let same = result.same_mixture.is_some();
    if result.interrupted {
        let text = "stopped before the end: only what is below was finished; the same command starts anew";
        out += &(wrapped("", "  ", text) + "\n");
    }
    for (i, fitted) in result.judged().iter().enumerate() {
        out += &wrapped("", "  ", &heading(fitted, result.as_given.get(i).filter(|_| same), units));
        for ended in &fitted.ended {
            out += &wrapped("  ", "    ", &ended_words(fitted, ended));
        }
        out += &rows(fitted, &result.inlet_mach_index, units);
        out.push('\n');
    }
    out += &wrapped(
        "",
        "  ",
        "full throttle but for suction at 1/4; suction: mean depression at the nozzle; air: mean of the intake stroke and \
         highest speed in the bore; valve: mean inlet Mach index; * not converged, ~ did not fire",
    );
    out.push('\n');
    for verdict in &result.verdicts {
        out += &wrapped("", "  ", &format!("{} against {}{}", verdict.name, verdict.of, basis(same)));
        for sentence in sentences(verdict) {
            out += &wrapped("  ", "    ", &sentence);
        }
    }
    for breathing in &result.breathing {
        out += &wrapped("", "  ", &limit_words(breathing, units));
    }
    out.push('\n');
    if let Some(sure) = &result.how_sure {
        let names: Vec<&str> = result.judged().iter().map(|f| f.name.as_str()).collect();
        out += &(how_sure_text::compare(sure, &names) + "\n");
    }
    out + &wrapped("", "", "A model's numbers: measure before you trust them.")
}

fn basis(same: bool) -> &'static str {
    if same { ", both at the same mixture" } else { ", with the jets as given" }
}

fn heading(fitted: &Fitted, before: Option<&Fitted>, units: &Units) -> String {
    let names = ["main", "clip", "pilot"];
    let jet = |i: usize| match before.map(|b| &b.jets[i]).filter(|b| **b != fitted.jets[i]) {
        Some(before) => format!("{} {} (was {before})", names[i], fitted.jets[i]),
        None => format!("{} {}", names[i], fitted.jets[i]),
    };
    format!(
        "{}, bore {}: {}, {}, {}; AFR over speed within {}",
        fitted.name,
        units.text(Quantity::Length, Some(fitted.bore_m), 1),
        jet(0),
        jet(1),
        jet(2),
        rounded(fitted.afr_spread, 1)
    )
}

/// A part that came to its end: the mixture there is not what was wanted.
fn ended_words(fitted: &Fitted, ended: &Ended) -> String {
    let place = [Part::MainJet, Part::Clip, Part::PilotJet].iter().position(|p| *p == ended.part).unwrap_or(0);
    let way = if ended.asked < 0 { "leaner" } else { "richer" };
    let left = (ended.asked - ended.taken).unsigned_abs();
    format!(
        "{} ends at {}: the wanted mixture asks for {left} more {} {way}, so its range of throttle is not at the middle \
         of the band",
        ended.part.name(),
        fitted.jets[place],
        if left == 1 { "step" } else { "steps" }
    )
}

fn rows(fitted: &Fitted, indices: &[f64], units: &Units) -> String {
    let name = |quantity| units.name(quantity).to_owned();
    let quarter = format!("{} 1/4", name(Quantity::Suction));
    let words = |text: &str| text.to_owned();
    let heads = [
        words("rpm"),
        name(Quantity::Torque),
        name(Quantity::Power),
        words("filling"),
        words("AFR"),
        name(Quantity::Suction),
        quarter,
        name(Quantity::AirSpeed),
        words("peak"),
        words("standoff"),
        words("valve"),
    ];
    let rows = fitted.full.iter().zip(&fitted.quarter).zip(indices).map(|((full, quarter), index)| {
        let p = &full.point;
        let mark = match (p.converged, p.fired) {
            (false, _) => "*",
            (true, false) => "~",
            _ => "",
        };
        let suction = |v: Option<f64>| units.number(Quantity::Suction, v, 2);
        vec![
            format!("{}{mark}", rounded(Some(p.rpm), 0)),
            units.number(Quantity::Torque, p.torque_nm, 1),
            units.number(Quantity::Power, p.power_kw.map(|v| 1e3 * v), 1),
            rounded(p.ve, 3),
            rounded(p.afr, 1),
            suction(p.nozzle_depression_pa),
            suction(quarter.point.nozzle_depression_pa),
            units.number(Quantity::AirSpeed, full.stroke_mean_air_speed, 0),
            units.number(Quantity::AirSpeed, p.peak_air_speed, 0),
            units.number(Quantity::Flow, p.standoff_g_s.map(|v| 1e-3 * v), 3),
            rounded(Some(*index), 2),
        ]
    });
    table(&heads, &rows.collect::<Vec<_>>())
}

fn rpm(v: f64) -> String {
    rounded(Some(v), 0)
}

fn stretch(s: &Stretch) -> String {
    let speeds = if s.rpm_from < s.rpm_to {
        format!("from {} to {} rpm", rpm(s.rpm_from), rpm(s.rpm_to))
    } else {
        format!("at {} rpm", rpm(s.rpm_to))
    };
    let most = rounded(Some(s.percent.abs()), 1);
    if s.rpm_from < s.rpm_to {
        format!("{speeds} (up to {most} % at {})", rpm(s.at_rpm))
    } else {
        format!("{speeds} ({most} %)")
    }
}

fn sentences(v: &Verdict) -> Vec<String> {
    let list = |s: &[Stretch]| s.iter().map(stretch).collect::<Vec<_>>().join(", ");
    let speeds = |s: &[f64]| s.iter().map(|v| rpm(*v)).collect::<Vec<_>>().join(", ");
    let mut out = Vec::new();
    out.push(match v.gains.is_empty() {
        true => "gains no torque at any speed".to_owned(),
        false => format!("gains torque {}", list(&v.gains)),
    });
    out.push(match v.losses.is_empty() {
        true => "loses no torque at any speed where both fire".to_owned(),
        false => format!("loses torque {}", list(&v.losses)),
    });
    if !v.silent_alone_rpm.is_empty() {
        out.push(format!(
            "does not fire at full throttle at {} rpm, where the other does",
            speeds(&v.silent_alone_rpm)
        ));
    }
    if !v.fires_alone_rpm.is_empty() {
        out.push(format!("fires at full throttle at {} rpm, where the other does not", speeds(&v.fires_alone_rpm)));
    }
    let more = |v: f64| if v >= 0.0 { "more" } else { "less" };
    if let Some(s) = v.suction_low_percent {
        out.push(format!(
            "{} % {} suction at the nozzle at the lowest speed where both fire",
            rounded(Some(s.abs()), 0),
            more(s)
        ));
    }
    if let Some(s) = v.most_power_percent {
        out.push(format!("most power {} % {}", rounded(Some(s.abs()), 1), more(s)));
    }
    if let Some(r) = v.first_quarter_ratio {
        let by = rounded(Some(100.0 * (r - 1.0).abs()), 0);
        let word = if r >= 1.0 { "coarser" } else { "finer" };
        out.push(format!("throttle {by} % {word} in its first quarter (open area per lift)"));
    }
    out
}

fn limit_words(b: &Breathing, units: &Units) -> String {
    let (Some((at, power)), Some(speed)) = (b.most_power, b.stroke_mean_air_speed) else {
        return format!("{}: no power at full throttle", b.name);
    };
    let length = |m: f64| units.text(Quantity::Length, Some(m), 0);
    let speed_words = |v: f64| units.text(Quantity::AirSpeed, Some(v), 0);
    let limit = match b.limit {
        Limit::InletValve => "the inlet valve limits first",
        Limit::Carburettor => "the carburettor limits first",
        Limit::Neither => "neither limits up to the highest speed",
    };
    let from = |v: Option<f64>| v.map_or("not reached".to_owned(), |v| format!("from {} rpm", rpm(v)));
    let mut text = format!(
        "{}: {limit}; most power {} at {} rpm, where the inlet valve's Mach index is {} (limit about 0.5: {}) and the air \
         in the bore goes {} (rule {}: {}), at most Mach {}",
        b.name,
        units.text(Quantity::Power, Some(1e3 * power), 1),
        rpm(at),
        rounded(b.inlet_mach_index, 2),
        from(b.valve_limit_rpm),
        speed_words(speed),
        speed_words(RULE_SPEED),
        from(b.rule_limit_rpm),
        rounded(b.peak_mach, 2)
    );
    if let (Some(rule), Some((low, high))) = (b.rule_bore_m, b.chart_bores_m) {
        text += &format!(
            ". By that rule the bore would be {}: {}. By the chart (30 hp a cylinder: {} to {}, as the root of power) {} \
             to {}: {}",
            length(rule),
            rule_words(b, rule),
            length(CHART_BORES.0),
            length(CHART_BORES.1),
            length(low),
            length(high),
            chart_words(b, low, high)
        );
    }
    text + "."
}

/// How far a bore may be off the rule's and still agree with it [m].
const RULE_WITHIN: f64 = 2e-3;

/// Whether the rule agrees with what was simulated, and why not.
fn rule_words(b: &Breathing, rule: f64) -> &'static str {
    match (b.bore_m - rule, b.limit) {
        (off, Limit::Carburettor) if off > RULE_WITHIN => {
            "disagrees, as the simulated bore limits although it is wider"
        }
        (off, _) if off > RULE_WITHIN => "disagrees, the bore is wider; the valve limits, so width only costs suction",
        (off, Limit::Carburettor) if off < -RULE_WITHIN => "agrees that it is narrow: it limits first",
        (off, _) if off < -RULE_WITHIN => {
            "disagrees, the bore is narrower; the valve limits before, which the rule does not know"
        }
        _ => "agrees",
    }
}

/// The same of the chart.
fn chart_words(b: &Breathing, low: f64, high: f64) -> &'static str {
    if b.bore_m > high + 5e-4 {
        "disagrees, the bore is wider than for this power; the chart is for engines that reach theirs at higher speed"
    } else if b.bore_m < low - 5e-4 {
        "disagrees, the bore is narrower than for this power"
    } else {
        "agrees"
    }
}
