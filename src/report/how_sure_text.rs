//! Whether an answer holds where the estimates are off, in plain words.

use super::number::rounded;
use super::prose::wrapped;
use super::table::table;
use crate::setup::End;
use crate::study::fraction::throttle_name;
use crate::study::how_sure::compare::{HowSure as CompareSure, Standing};
use crate::study::how_sure::rejet::HowSure as RejetSure;
use crate::study::how_sure::spots::HowSure as SpotSure;
use crate::study::how_sure::{Doubtful, MOST};
use crate::study::spots::Side;

fn shown(estimate: &Doubtful, end: End) -> &str {
    match end {
        End::Low => &estimate.ends_shown[0],
        End::High => &estimate.ends_shown[1],
    }
}

/// What to measure next.
fn measure(next: Option<&Doubtful>) -> String {
    match next {
        Some(d) => format!(
            "Measure next: {} (estimated {}; {})",
            d.name(),
            d.shown,
            d.tool.as_deref().unwrap_or("no tool at home")
        ),
        None => "None of these can be measured at home".to_owned(),
    }
}

/// Distinct estimates of a list, as a number in words.
fn counted(estimates: usize) -> String {
    if estimates == MOST { "five".to_owned() } else { estimates.to_string() }
}

fn distinct<'a>(ends: impl Iterator<Item = &'a Doubtful>) -> usize {
    let mut seen: Vec<&Doubtful> = Vec::new();
    for d in ends {
        if !seen.contains(&d) {
            seen.push(d);
        }
    }
    seen.len()
}

/// The comparison: a table of the ends, whether the verdict holds, what to measure.
#[must_use]
pub fn compare(sure: &CompareSure, names: &[&str]) -> String {
    let count = distinct(sure.ends.iter().map(|e| &e.estimate));
    let mut out = wrapped(
        "",
        "  ",
        &format!(
            "How sure: of {} estimates the {} that say most, each at both ends of its range, mixture as in the verdict; \
             torque against {} in per cent by speed (cells of {} mm)",
            sure.looked_at,
            counted(count),
            names.first().unwrap_or(&"the first"),
            rounded(Some(1e3 * sure.cell_size), 0)
        ),
    );
    for (other, name) in names.iter().skip(1).enumerate() {
        let percent = |v: &Vec<Vec<Option<f64>>>| -> Vec<String> {
            v.get(other).map(|row| row.iter().map(|p| signed(*p)).collect()).unwrap_or_default()
        };
        let mut heads = vec![name.chars().take(36).collect::<String>()];
        heads.extend(sure.speeds.iter().map(|s| rounded(Some(*s), 0)));
        let row = |label: String, values: Vec<String>| {
            let mut row = vec![label];
            row.extend(values);
            row
        };
        let mut rows = vec![row("as estimated".to_owned(), percent(&sure.torque_percent))];
        let mut last: Option<&Doubtful> = None;
        for end in &sure.ends {
            if last != Some(&end.estimate) {
                rows.extend(broken(&end.estimate.name()).into_iter().map(|line| row(line, Vec::new())));
                last = Some(&end.estimate);
            }
            rows.push(row(format!("  at {}", shown(&end.estimate, end.end)), percent(&end.torque_percent)));
        }
        let width = rows.iter().map(Vec::len).max().unwrap_or(1);
        for row in &mut rows {
            row.resize(width, String::new());
        }
        out.push('\n');
        out += &table(&heads, &rows);
    }
    out.push('\n');
    let text = match sure.standing {
        Standing::Holds => "The verdict holds at all these ends.".to_owned(),
        worst => {
            let word = if worst == Standing::Turns { "turns" } else { "fades" };
            let at = sure.ends.iter().filter(|e| e.standing == worst).map(|e| {
                let speeds: Vec<String> = e.at_rpm.iter().map(|s| rounded(Some(*s), 0)).collect();
                format!("{} {} (at {} rpm)", e.estimate.name(), shown(&e.estimate, e.end), speeds.join(", "))
            });
            format!("The verdict {word} with {}; elsewhere it holds.", at.collect::<Vec<_>>().join("; "))
        }
    };
    out += &wrapped("", "  ", &text);
    out + &wrapped("", "  ", &format!("{}.", measure(sure.next.as_ref())))
}

/// A long name in lines of at most 40 columns.
fn broken(name: &str) -> Vec<String> {
    match name.split_once(" of ") {
        Some((key, of)) if name.chars().count() > 40 => {
            vec![key.to_owned(), format!("  of {}", of.chars().take(34).collect::<String>())]
        }
        _ => vec![name.to_owned()],
    }
}

fn signed(percent: Option<f64>) -> String {
    let text = rounded(percent, 1);
    if percent.is_some_and(|p| p > 0.0) && text != "0.0" { format!("+{text}") } else { text }
}

/// The parts to fit: what changes at which end, what is firm.
#[must_use]
pub fn rejet(sure: &RejetSure) -> String {
    let count = distinct(sure.ends.iter().map(|e| &e.estimate));
    let text = format!(
        "How sure: of {} estimates the {} that say most, each at both ends of its range (AFR is the change of the whole \
         map with the parts chosen)",
        sure.looked_at,
        counted(count)
    );
    let mut out = wrapped("", "", &text);
    for end in &sure.ends {
        let parts: Vec<String> =
            end.instead.iter().map(|i| format!("{} {} for {}", i.part.name(), i.there, i.chosen)).collect();
        let said = if parts.is_empty() { "the same parts".to_owned() } else { parts.join(", ") };
        let text = format!(
            "{} at {}: AFR {} %, {said}",
            end.estimate.key,
            shown(&end.estimate, end.end),
            signed(Some(end.afr_percent))
        );
        out += &wrapped("  ", "    ", &text);
    }
    let firm: Vec<&str> = sure.firm.iter().map(|p| p.name()).collect();
    let text = if sure.ends.iter().all(|e| e.instead.is_empty()) {
        "The order list holds at all these ends.".to_owned()
    } else if firm.is_empty() {
        "No part of the order list is the same at all these ends.".to_owned()
    } else {
        format!("The same at all these ends: {}.", firm.join(", "))
    };
    out += &wrapped("  ", "    ", &text);
    out + &wrapped("  ", "    ", &format!("{}.", measure(sure.next.as_ref())))
}

/// A lean spot, in a sentence or two.
#[must_use]
pub fn spot(sure: &SpotSure) -> String {
    let ends = sure.ends.iter().filter_map(|e| e.afr);
    let (low, high) = ends.fold((f64::INFINITY, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
    let mut text = if sure.holds {
        " How sure: lean at both ends of the estimates that say most".to_owned()
    } else {
        let gone = sure.ends.iter().filter(|e| e.off != Some(Side::Lean));
        let gone: Vec<String> = gone.map(|e| format!("{} {}", e.estimate.key, shown(&e.estimate, e.end))).collect();
        format!(" How sure: not lean with {}", gone.join(", "))
    };
    if low <= high {
        text += &format!(" (AFR {} to {})", rounded(Some(low), 1), rounded(Some(high), 1));
    }
    text.push('.');
    let mut grown: Vec<(f64, f64)> = Vec::new();
    for place in sure.ends.iter().flat_map(|e| &e.grown) {
        if !grown.contains(place) {
            grown.push(*place);
        }
    }
    if !grown.is_empty() {
        let at: Vec<String> =
            grown.iter().map(|(t, rpm)| format!("{}, {} rpm", throttle_name(*t), rounded(Some(*rpm), 0))).collect();
        text += &format!(" At some end it reaches {}.", at.join("; "));
    }
    format!("{text} {}.", measure(sure.next.as_ref()))
}
