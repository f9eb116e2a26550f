//! What one operating point says on paper.

use super::number::{per_cent, rounded};
use super::prose::wrapped;
use super::table::table;
use crate::study::circuit_share::{CIRCUITS, circuit_shares};
use crate::study::cycle::CycleResult;
use crate::study::fraction::throttle_phrase;
use crate::units::{Quantity, Units};

/// A short sheet, no line wider than 80 columns.
#[must_use]
pub fn cycle_text(cycle: &CycleResult) -> String {
    cycle_text_in(cycle, &Units::default())
}

/// The same in other units than metric ones.
#[must_use]
pub fn cycle_text_in(cycle: &CycleResult, units: &Units) -> String {
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
    let shown = |name: &str, si: Option<f64>, decimals: usize, quantity: Quantity| {
        vec![format!("{name} [{}]", units.name(quantity)), units.number(quantity, si, decimals)]
    };
    let mean = |name: &str, si: Option<f64>| shown(name, si, 2, Quantity::MeanPressure);
    let flow = |name: &str, g_s: Option<f64>| shown(name, g_s.map(|v| 1e-3 * v), 3, Quantity::Flow);
    let piston = p.piston_lift_m.is_some();
    let (lift, behind) = if piston {
        ("piston lift, mean", "mean pressure behind the butterfly")
    } else {
        ("slide lift", "mean pressure behind the slide")
    };
    let rows = [
        shown(lift, Some(cycle.slide_lift_m), 2, Quantity::Length),
        row("air-fuel ratio, trapped (AFR)", p.afr, 1, ""),
        row("lambda, trapped", p.lambda, 2, ""),
        row("air-fuel ratio, metered", p.afr_metered, 1, ""),
        row("filling", p.ve, 3, ""),
        shown("torque", p.torque_nm, 1, Quantity::Torque),
        shown("power", p.power_kw.map(|v| 1e3 * v), 2, Quantity::Power),
        mean("indicated mean pressure", p.imep_pa),
        mean("of that, compression and expansion", p.imep_gross_pa),
        mean("of that, gas exchange", p.pmep_pa),
        mean("friction mean pressure", p.fmep_pa),
        mean("brake mean pressure", p.bmep_pa),
        row("lambda of the whole charge", p.trapped_lambda, 2, ""),
        row("lambda of most torque here", p.lambda_of_best, 2, ""),
        row("torque given away by the mixture", p.torque_lost.map(|v| 100.0 * v), 1, "%"),
        shown("mean temperature of the exhaust", p.exhaust_temperature_k, 0, Quantity::Temperature),
        flow("air", p.air_g_s),
        flow("fuel", p.fuel_g_s),
        shown("fuel over brake work", p.fuel_g_kwh.map(|v| v / 3.6e9), 0, Quantity::SpecificConsumption),
        shown("fuel, liquid", p.fuel_l_h.map(|v| v / 3.6e6), 2, Quantity::LiquidFlow),
        flow("fuel blown out of the mouth", p.standoff_g_s),
        flow("of that, lost", p.standoff_lost_g_s),
        shown("mean depression at the nozzle", p.nozzle_depression_pa, 3, Quantity::Suction),
        shown(behind, p.manifold_pa, 1, Quantity::Pressure),
        shown("highest air speed at the slide", p.peak_air_speed, 0, Quantity::AirSpeed),
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
