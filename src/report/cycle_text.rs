//! What one operating point says on paper.

use super::number::{per_cent, rounded};
use super::prose::wrapped;
use super::table::table;
use crate::study::circuit_share::{CIRCUITS, circuit_shares};
use crate::study::cycle::CycleResult;
use crate::study::fraction::throttle_phrase;

/// A short sheet, no line wider than 80 columns.
#[must_use]
pub fn cycle_text(cycle: &CycleResult) -> String {
    let p = &cycle.point;
    let mut out = wrapped("", "  ", &cycle.name);
    let place = format!("{}, {} rpm", throttle_phrase(p.throttle), rounded(Some(p.rpm), 0));
    let status = if p.converged {
        format!("{place}: converged after {} cycles", p.cycles)
    } else {
        format!("{place}: NOT CONVERGED ({} after {} cycles), do not rely on it", p.status.word(), p.cycles)
    };
    out += &wrapped("", "  ", &status);
    if let Some(note) = p.note.as_ref().filter(|n| !n.is_empty()) {
        out += &wrapped("  ", "  ", note);
    }
    out.push('\n');
    let row = |name: &str, value: Option<f64>, decimals: usize, unit: &str| {
        vec![if unit.is_empty() { name.to_owned() } else { format!("{name} [{unit}]") }, rounded(value, decimals)]
    };
    let bar = |v: Option<f64>| v.map(|v| v / 1e5);
    let kilo = |v: Option<f64>| v.map(|v| v / 1e3);
    let piston = p.piston_lift_m.is_some();
    let (lift, behind) = if piston {
        ("piston lift, mean", "mean pressure behind the butterfly")
    } else {
        ("slide lift", "mean pressure behind the slide")
    };
    let rows = [
        row(lift, Some(1e3 * cycle.slide_lift_m), 2, "mm"),
        row("air-fuel ratio, trapped (AFR)", p.afr, 1, ""),
        row("lambda, trapped", p.lambda, 2, ""),
        row("air-fuel ratio, metered", p.afr_metered, 1, ""),
        row("filling", p.ve, 3, ""),
        row("torque", p.torque_nm, 1, "N m"),
        row("power", p.power_kw, 2, "kW"),
        row("indicated mean pressure", bar(p.imep_pa), 2, "bar"),
        row("of that, compression and expansion", bar(p.imep_gross_pa), 2, "bar"),
        row("of that, gas exchange", bar(p.pmep_pa), 2, "bar"),
        row("friction mean pressure", bar(p.fmep_pa), 2, "bar"),
        row("brake mean pressure", bar(p.bmep_pa), 2, "bar"),
        row("lambda of the whole charge", p.trapped_lambda, 2, ""),
        row("lambda of most torque here", p.lambda_of_best, 2, ""),
        row("torque given away by the mixture", p.torque_lost.map(|v| 100.0 * v), 1, "%"),
        row("mean temperature of the exhaust", p.exhaust_temperature_k.map(|t| t - 273.15), 0, "degC"),
        row("air", p.air_g_s, 3, "g/s"),
        row("fuel", p.fuel_g_s, 3, "g/s"),
        row("fuel over brake work", p.fuel_g_kwh, 0, "g/(kW h)"),
        row("fuel, liquid", p.fuel_l_h, 2, "L/h"),
        row("fuel blown out of the mouth", p.standoff_g_s, 3, "g/s"),
        row("of that, lost", p.standoff_lost_g_s, 3, "g/s"),
        row("mean depression at the nozzle", p.nozzle_depression_pa, 0, "Pa"),
        row(behind, kilo(p.manifold_pa), 1, "kPa"),
        row("highest air speed at the slide", p.peak_air_speed, 0, "m/s"),
        row("burnt gas left in the cylinder", p.residual_gas.map(|v| 100.0 * v), 1, "%"),
        row("largest change over two cycles", p.residual.map(|v| 100.0 * v), 3, "%"),
    ];
    out += &table(&["figure [unit]".to_owned(), "value".to_owned()], &rows);
    out.push('\n');
    if let Some(shares) = circuit_shares(p) {
        let parts = CIRCUITS.iter().zip(shares).filter(|(_, s)| *s > 0.0);
        let parts: Vec<String> = parts.map(|(name, s)| format!("{name} {}", per_cent(s))).collect();
        out += &wrapped("", "  ", &format!("fuel: {}", parts.join(", ")));
    }
    out += &wrapped("", "  ", &backflow(cycle));
    if !cycle.friction_form.is_empty() {
        out += &wrapped("", "  ", &format!("friction law: {}", cycle.friction_form));
    }
    if !p.fired {
        out += &wrapped("", "  ", "the charge did not burn");
    }
    if p.repairs > 0 {
        out += &wrapped("", "  ", &format!("floors and fallbacks used in the last cycle: {}", p.repairs));
    }
    out
}

/// For how much of the cycle the air runs back past the slide.
fn backflow(cycle: &CycleResult) -> String {
    let flow = &cycle.traces.slide_air_g_s;
    let back = flow.iter().filter(|v| **v < 0.0).count();
    if flow.is_empty() {
        return "no traces".to_owned();
    }
    format!("air runs back past the slide in {} of the cycle", per_cent(back as f64 / flow.len() as f64))
}
