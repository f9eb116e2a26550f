//! A snap: verdict, pumps side by side, cycles, film and books; at most 80 columns.

use super::ReportError;
use super::number::rounded;
use super::prose::wrapped;
use super::snap_verdict::{against_practice, cc, parts_words, verdict};
use super::table::table;
use crate::study::fraction::throttle_phrase;
use crate::study::snap::hole::{FELT, HEAVY};
use crate::study::snap::result::{PumpRun, SnapResult, SnapRun};

/// Cycles that the table shows at the beginning of the opening, and most rows after them.
const ROWS: (usize, usize) = (10, 8);
/// Share of the metered fuel above which what is drawn at the end is told [-].
const DRAWN: f64 = 0.005;

/// The snap as JSON text.
///
/// # Errors
/// The text could not be put together.
pub fn snap_json(result: &SnapResult) -> Result<String, ReportError> {
    let text = serde_json::to_string_pretty(result).map_err(|e| ReportError::Json(e.to_string()))?;
    Ok(text + "\n")
}

/// The whole sheet.
#[must_use]
pub fn snap_text(r: &SnapResult) -> String {
    let mut out = wrapped("", "  ", &heading(r));
    out += &wrapped("Verdict: ", "  ", &verdict(r));
    out.push('\n');
    out += &pumps(r);
    out.push('\n');
    if let Some(with) = &r.with {
        out += &wrapped("", "  ", &bench(with));
        if let Some(t) = &r.tuned {
            out += &wrapped("", "  ", &tuned(r, t.tried, t.run, &t.at_the_end));
            out += &wrapped("", "  ", &against_practice(r, &t.best));
        }
        out.push('\n');
    }
    out += &cycles(r);
    out.push('\n');
    out += &wrapped("", "  ", &film(r));
    out += &wrapped("", "  ", &books(r));
    out.push('\n');
    out + &wrapped("", "", "A model's numbers: measure ten strokes and the squirt's time before you trust them.")
}

fn heading(r: &SnapResult) -> String {
    let p = &r.plan;
    let speed = rounded(Some(p.rpm), 0);
    let how = match r.inertia_kg_m2 {
        None => format!("at {speed} rpm, held"),
        Some(j) => {
            let last = r.without.cycles.last().map(|c| c.rpm);
            let stalls = if r.without.stalled { ", where it stalls" } else { "" };
            let gear = p.gear.map(|g| format!(" in gear {g}")).unwrap_or_default();
            format!(
                "from {speed} rpm{gear}, accelerating {} kg m2 at the crank; without pump to {} rpm{stalls}",
                rounded(Some(j), 2),
                rounded(last, 0)
            )
        }
    };
    format!(
        "{}: opened from {} to {} in {} s {how}. AFR before {}, steady after it {}; wanted at the end {}.",
        r.name,
        throttle_phrase(p.from),
        throttle_phrase(p.to),
        rounded(Some(p.time), 2),
        rounded(r.before.afr, 1),
        rounded(r.after.afr.filter(|_| r.after.fired), 1),
        rounded(r.after.afr.zip(r.after.lambda).map(|(a, l)| a / l * r.goal.after), 1),
    )
}

/// Runs that are shown, with what they are called.
fn runs(r: &SnapResult) -> Vec<(&'static str, Option<&PumpRun>, &SnapRun)> {
    let mut all = vec![("no pump", None, &r.without)];
    all.extend(r.with.as_ref().map(|w| ("as given", Some(w), &w.run)));
    if let Some(t) = &r.tuned {
        if r.with.as_ref().is_some_and(|w| w.parts != t.usual.parts) {
            all.push(("usual start", Some(&t.usual), &t.usual.run));
        }
        all.push(("best", Some(&t.best), &t.best.run));
    }
    all
}

fn pumps(r: &SnapResult) -> String {
    let heads = ["", "gap", "stop", "nozzle", "ten cc", "hole s", "leanest", "rich s", "lacks", "over", "misfit"];
    let rows: Vec<Vec<String>> = runs(r)
        .into_iter()
        .map(|(name, pump, run)| {
            let part =
                |scale: f64, decimals: usize, of: fn(&PumpRun) -> f64| rounded(pump.map(|p| scale * of(p)), decimals);
            vec![
                name.to_owned(),
                part(1e3, 1, |p| p.parts.rod_gap_m),
                part(1e3, 0, |p| p.parts.stop_m),
                part(1e5, 0, |p| p.parts.nozzle_m),
                part(1e6, 1, |p| p.bench.ten_strokes),
                rounded(Some(run.hole.lasts_s), 2),
                rounded(run.hole.leanest_afr, 1),
                rounded(Some(run.rich.lasts_s), 2),
                cc(r, run.missing_mg),
                cc(r, run.surplus_mg),
                rounded(Some(run.misfit.score()), 3),
            ]
        })
        .collect();
    let said = format!(
        "gap and stop in mm of slide lift, nozzle in hundredths of a mm; lacks and over in cc of fuel; hole: cycles more than {} % leaner than wanted, rich: more than {} % \
         richer; misfit: lean error times time, rich error at half weight",
        rounded(Some(100.0 * (FELT - 1.0)), 0),
        rounded(Some(100.0 * (1.0 - HEAVY)), 0),
    );
    table(&heads.map(str::to_owned), &rows) + &wrapped("", "  ", &said)
}

fn bench(with: &PumpRun) -> String {
    let quick = with.bench.squirts.first();
    let leak = with.bench.squirts.last().filter(|s| s.leaked > 0.0).map(|s| {
        format!(
            " Its leak jet swallows {} % of a quick twist and {} % of one of {} s.",
            rounded(quick.map(|q| 100.0 * q.swallowed()), 0),
            rounded(Some(100.0 * s.swallowed()), 0),
            rounded(Some(s.twist), 0)
        )
    });
    let metered = with.run.cycles.last().map_or(0.0, |c| c.metered_mg);
    let drawn = with.run.cycles.last().map(|c| c.squirt_mg).filter(|s| *s > DRAWN * metered).map(|s| {
        format!(
            " At the end of the run the air's suction still draws {} mg a cycle out of its nozzle ({} % of the rest); a stiffer outlet valve \
             stops that.",
            rounded(Some(s), 1),
            rounded(Some(100.0 * s / metered), 0)
        )
    });
    format!(
        "Pump as given on the bench: {}; ten strokes {} cc, squirt of {} s after a twist of {} s (measure both); on the engine nine tenths \
         of the squirt in {} s.{}{}",
        parts_words(&with.parts),
        rounded(Some(1e6 * with.bench.ten_strokes), 1),
        rounded(quick.map(|q| q.duration), 2),
        rounded(quick.map(|q| q.twist), 1),
        rounded(with.run.squirt_lasts_s, 2),
        leak.unwrap_or_default(),
        drawn.unwrap_or_default(),
    )
}

fn tuned(r: &SnapResult, tried: usize, run: usize, at_the_end: &[&str]) -> String {
    let best = r.tuned.as_ref().map(|t| &t.best);
    let quick = best.and_then(|b| b.bench.squirts.first());
    let end = if at_the_end.is_empty() {
        String::new()
    } else {
        format!(" Its {} is at the end of what was tried.", at_the_end.join(" and "))
    };
    format!(
        "Best of {tried} pumps tried on the bench model and {run} run on the engine: {}; ten strokes {} cc, squirt of {} s.{end}",
        best.map(|b| parts_words(&b.parts)).unwrap_or_default(),
        rounded(best.map(|b| 1e6 * b.bench.ten_strokes), 1),
        rounded(quick.map(|q| q.duration), 2),
    )
}

/// Places in the run that the table shows: every cycle at first, then fewer.
fn shown(count: usize) -> Vec<usize> {
    let first = ROWS.0.min(count);
    let rest = count - first;
    let step = rest.div_ceil(ROWS.1).max(1);
    let mut places: Vec<usize> = (0..first).collect();
    places.extend((first..count).skip(step - 1).step_by(step));
    if places.last().is_some_and(|last| last + 1 < count) {
        places.push(count - 1);
    }
    places
}

fn cycles(r: &SnapResult) -> String {
    let all = runs(r);
    let with = all.iter().find(|(name, ..)| *name == "as given").map(|(_, _, run)| *run);
    let best = all.iter().find(|(name, ..)| *name == "best").map(|(_, _, run)| *run);
    let mut heads = vec!["s", "throttle", "wanted", "AFR", "N m", "lacks mg", "film mg"];
    if with.is_some() {
        heads.extend(["squirt mg", "AFR", "N m"]);
    }
    if best.is_some() {
        heads.push("AFR best");
    }
    let per_lambda = r.before.afr.zip(r.before.lambda).map_or(f64::NAN, |(a, l)| a / l);
    let before = r.without.cycles.iter().filter(|c| c.time_s < 0.0).count().saturating_sub(1);
    let rows: Vec<Vec<String>> = shown(r.without.cycles.len() - before)
        .into_iter()
        .map(|place| {
            let i = place + before;
            let c = &r.without.cycles[i];
            let afr = |run: &SnapRun| {
                run.cycles.get(i).map_or("-".to_owned(), |c| {
                    let mark = if c.fired { "" } else { "~" };
                    format!("{}{mark}", rounded(c.afr.filter(|a| *a < 99.0), 1))
                })
            };
            let mut row = vec![
                rounded(Some(c.time_s), 2),
                format!("{} %", rounded(Some(100.0 * c.throttle), 0)),
                rounded(Some(per_lambda * c.lambda_wanted), 1),
                afr(&r.without),
                rounded(Some(c.torque_nm), 0),
                rounded(Some(c.missing_mg()), 1),
                rounded(Some(c.film_mg), 0),
            ];
            if let Some(with) = with {
                row.push(rounded(with.cycles.get(i).map(|c| c.squirt_mg), 1));
                row.push(afr(with));
                row.push(rounded(with.cycles.get(i).map(|c| c.torque_nm), 0));
            }
            row.extend(best.map(afr));
            row
        })
        .collect();
    let heads: Vec<String> = heads.into_iter().map(str::to_owned).collect();
    let said = if with.is_some() {
        "by beginning of the cycle after the throttle starts to open; first without pump, then from squirt on as given; ~ did not fire; every \
         cycle is in snap.csv"
    } else {
        "by beginning of the cycle after the throttle starts to open; ~ did not fire; every cycle is in snap.csv"
    };
    table(&heads, &rows) + &wrapped("", "  ", said)
}

fn film(r: &SnapResult) -> String {
    let open = || r.without.cycles.iter().filter(|c| c.time_s >= 0.0);
    let span = |of: fn(&crate::study::snap::result::SnapCycle) -> f64, scale: f64, decimals: usize| {
        let (low, high) = open().map(of).fold((f64::INFINITY, 0.0_f64), |(a, b), v| (a.min(v), b.max(v)));
        let (low, high) = (rounded(Some(scale * low), decimals), rounded(Some(scale * high), decimals));
        if low == high { low } else { format!("{low} to {high}") }
    };
    let given = match (r.plan.film_share, r.plan.film_time) {
        (Some(_), Some(_)) => "as the set-up gives it",
        (None, None) => "by the published fit (from memory)",
        _ => "partly as the set-up gives it, else by the published fit (from memory)",
    };
    let held = open().filter(|c| c.film_held).count();
    let limits = match held {
        0 => String::new(),
        n => format!(
            " In {n} of {} cycles it was held at a limit of what was measured on engines (share 30 to 60 %, time 0.4 to 30 s) or of what is \
             liquid.",
            open().count()
        ),
    };
    format!(
        "Film on the walls: {} % of the metered fuel lands there, time constant {} s, {given}, port's wall at {} degC.{limits}",
        span(|c| c.film_share, 100.0, 0),
        span(|c| c.film_time_s, 1.0, 2),
        rounded(Some(r.wall_k - 273.15), 0),
    )
}

fn books(r: &SnapResult) -> String {
    let worst = runs(r).iter().map(|(_, _, run)| run.worst_defect).fold(0.0, f64::max);
    let repairs: u64 = runs(r).iter().flat_map(|(_, _, run)| &run.cycles).map(|c| c.repairs).sum();
    let notes: Vec<String> =
        runs(r).iter().filter_map(|(name, _, run)| Some(format!(" {name}: {}.", run.note.as_ref()?))).collect();
    let steady = if r.before.converged { "" } else { " The engine before the opening is not steady." };
    let after = if r.after.converged { "" } else { " The engine after it found no steady state." };
    format!(
        "Books of fuel through film, pump and engine close to {worst:.0e} of what passed; floors and fallbacks used: {repairs}.{steady}{after}{}",
        notes.concat()
    )
}
