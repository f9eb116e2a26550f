//! Which parts to fit, as tables of at most 80 columns.

use super::how_sure_text;
use super::number::rounded;
use super::prose::wrapped;
use super::rejet_card_text::card_text;
use super::table::table;
use crate::hardware::part::Part;
use crate::study::fraction::throttle_name;
use crate::study::rejet::result::{At, Cause, OneSize, PartChoice, RangeReport, RangeState, RejetResult};
use crate::units::{Quantity, Units};

/// The whole text.
#[must_use]
pub fn rejet_text(result: &RejetResult) -> String {
    rejet_text_in(result, &Units::default())
}

/// The same in other units than metric ones.
#[must_use]
pub fn rejet_text_in(result: &RejetResult, units: &Units) -> String {
    let mut out = wrapped("", "", &format!("{}: which parts to fit", result.name));
    out.push('\n');
    out += &standing(result);
    out.push('\n');
    let heads = ["part", "fitted", "fit", ""].map(str::to_owned);
    out += &table(&heads, &result.parts.iter().map(to_fit).collect::<Vec<_>>());
    out.push('\n');
    out += &misfits(result);
    for (title, after) in [("As fitted", false), ("With the parts to fit", true)] {
        out.push('\n');
        out += &format!("{title}: AFR by throttle\n\n");
        out += &ranges(result, after);
    }
    out.push('\n');
    out += &order_list(result);
    out += &left_over(result, units);
    out += &alike(result);
    if let Some(sure) = &result.how_sure {
        out.push('\n');
        out += &how_sure_text::rejet(sure);
    }
    if let Some(card) = &result.card {
        out.push('\n');
        out += &card_text(card, units);
    }
    out
}

fn standing(result: &RejetResult) -> String {
    let changed = result.parts.iter().filter(|p| p.changed()).count();
    let runs = format!("{} runs, {} rounds", result.runs, result.rounds);
    let text = if result.interrupted {
        format!("interrupted: the best so far ({runs})")
    } else if !result.settled {
        format!("the best so far; the search ended at its bound ({runs})")
    } else if changed == 0 {
        format!("no change: nothing in stock is worth fitting ({runs})")
    } else {
        format!("no neighbouring choice is better ({runs})")
    };
    wrapped("", "", &text)
}

fn to_fit(part: &PartChoice) -> Vec<String> {
    let change = match part.chosen as i64 - part.stock.fitted as i64 {
        0 => "stays".to_owned(),
        n => format!("{n:+} {}", if n.abs() == 1 { "size" } else { "sizes" }),
    };
    vec![part.name.clone(), part.label(part.stock.fitted).to_owned(), part.label(part.chosen).to_owned(), change]
}

fn misfits(result: &RejetResult) -> String {
    let m = result.misfit;
    let row = |what: &str, value: Option<f64>| vec![what.to_owned(), rounded(value, 4)];
    let heads = ["misfit, mean distance of lambda".to_owned(), String::new()];
    let rows = [
        row("as fitted", Some(m.before)),
        row("with the parts to fit", Some(m.after)),
        row("with any size between, same parts (model)", m.any_size),
        row("with any needle and jets, the same at all speeds", Some(m.any_needle)),
    ];
    let note = "outside the wanted band, weighted: lean counts 2, lean from half throttle on 4, rich 1; points that do \
                not fire or did not converge count as 0.25 off";
    let mut out = table(&heads, &rows) + &wrapped("", "", note) + &unsettled(result);
    if !result.left_out.is_empty() {
        let at: Vec<String> =
            result.left_out.iter().map(|p| format!("{} at {:.0} rpm", throttle_name(p.throttle), p.rpm)).collect();
        let text = format!(
            "counted only as far as they get leaner, too weak a suction for any jet to cure without making all others \
             rich: {}",
            at.join(", ")
        );
        out += &wrapped("", "", &text);
    }
    out
}

/// How many points did not converge, if any.
fn unsettled(result: &RejetResult) -> String {
    let [before, after] =
        [&result.before, &result.after].map(|points| points.iter().filter(|point| !point.converged).count());
    if before + after == 0 {
        return String::new();
    }
    let all = result.before.len();
    let text = format!("did not converge: {before} of {all} points as fitted, {after} with the parts to fit");
    wrapped("", "", &text)
}

fn range_name((low, high): (f64, f64)) -> String {
    if (low - high).abs() < 1e-9 {
        throttle_name(low)
    } else {
        format!("{} to {}", throttle_name(low), throttle_name(high))
    }
}

fn ranges(result: &RejetResult, after: bool) -> String {
    let heads = ["throttle", "wanted", "misfit", "leanest", "richest", "no fire"].map(str::to_owned);
    let afr = |lambda: f64| rounded(Some(lambda * result.stoichiometric), 1);
    let at = |at: &Option<At>| at.map_or("-".to_owned(), |a| format!("{} @ {:.0} rpm", afr(a.lambda), a.rpm));
    let row = |r: &RangeReport| {
        let state: &RangeState = if after { &r.after } else { &r.before };
        vec![
            range_name(r.throttles),
            format!("{} to {}", afr(r.band.lambda_rich), afr(r.band.lambda_lean)),
            rounded(Some(state.misfit), 3),
            at(&state.leanest),
            at(&state.richest),
            state.unfired.to_string(),
        ]
    };
    table(&heads, &result.ranges.iter().map(row).collect::<Vec<_>>())
}

/// Whether a part is set by hand and not bought.
fn is_set(part: Part) -> bool {
    matches!(part, Part::MixtureScrew | Part::Clip | Part::FloatLevel)
}

fn order_list(result: &RejetResult) -> String {
    let side = |s: &Option<OneSize>| match s {
        Some(OneSize { label, afr: Some(afr) }) => {
            let number = rounded(Some(*afr), 2);
            format!("{label}, AFR {}{number}", if *afr > 0.0 { "+" } else { "" })
        }
        Some(OneSize { label, afr: None }) => label.clone(),
        None => "none".to_owned(),
    };
    let governs = |p: &PartChoice| p.governs.map_or("says little".to_owned(), range_name);
    let row = |p: &PartChoice| {
        vec![p.name.clone(), side(&p.leaner), p.label(p.chosen).to_owned(), side(&p.richer), governs(p)]
    };
    let mut out = String::new();
    for (title, set) in [("Order list, with one size each side", false), ("Settings, one step each side", true)] {
        let rows: Vec<Vec<String>> = result.parts.iter().filter(|p| is_set(p.part()) == set).map(row).collect();
        if !rows.is_empty() {
            let heads = ["part", "leaner", "this", "richer", "at throttle"].map(str::to_owned);
            out += &format!("{title}\n\n{}\n", table(&heads, &rows));
        }
    }
    out
}

/// What is left and why.
fn left_over(result: &RejetResult, units: &Units) -> String {
    let mut out = String::from("What is left\n");
    let mut any = false;
    for range in &result.ranges {
        let Some(cause) = range.cause else { continue };
        any = true;
        let text = format!("{}: {}", range_name(range.throttles), reason(result, range, cause, units));
        out += &wrapped("  ", "    ", &text);
    }
    if !any {
        out += "  nothing worth a word\n";
    }
    out
}

fn reason(result: &RejetResult, range: &RangeReport, cause: Cause, units: &Units) -> String {
    let afr = |lambda: f64| rounded(Some(lambda * result.stoichiometric), 1);
    let floor = format!("{:.3} of {:.3}", range.any_needle, range.after.misfit);
    match cause {
        Cause::Unfired { points, rpm } => {
            format!("{points} points do not fire, the slowest at {rpm:.0} rpm")
        }
        Cause::WeakSignal { rpm, throttle, depression } => format!(
            "lean at {} and {rpm:.0} rpm, where the nozzle's depression of {} hardly lifts the fuel; a larger jet \
             makes all other speeds rich",
            throttle_name(throttle),
            units.text(Quantity::Suction, Some(depression), 2)
        ),
        Cause::Speed { throttle, lean, rich } => format!(
            "at {} AFR is {} at {:.0} rpm and {} at {:.0} rpm; jets act at all speeds alike, which leaves {floor}",
            throttle_name(throttle),
            afr(lean.1),
            lean.0,
            afr(rich.1),
            rich.0
        ),
        Cause::Sizes => "a size between those in stock would do better".to_owned(),
        Cause::Shape => format!(
            "the free parts do not bend the curve there; a needle of any shape would leave {floor}: try --free with \
             needle_taper, needle_diameter, cutaway or the air jets"
        ),
    }
}

fn alike(result: &RejetResult) -> String {
    let mut out = String::new();
    for pair in &result.alike {
        let text = format!(
            "{} and {} cannot be told apart on this grid: one step of the first is like {} of the second (cosine {})",
            pair.one.name(),
            pair.other.name(),
            rounded(Some(pair.steps), 1),
            rounded(Some(pair.cosine), 2)
        );
        out += &wrapped("  ", "    ", &text);
    }
    if out.is_empty() { out } else { format!("\nParts of like effect\n{out}") }
}
