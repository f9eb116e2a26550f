//! What a map shows, in sentences: where the mixture is off, by how much, and which circuit gives the fuel there.

use super::number::{per_cent, rounded};
use super::prose::wrapped;
use crate::setup::targets::TargetBand;
use crate::study::circuit_share::{CIRCUITS, circuit_shares};
use crate::study::fraction::{throttle_name, throttle_phrase};
use crate::study::in_grid::in_grid;
use crate::study::map::MapResult;
use crate::study::point::PointResult;
use crate::study::verdict::Verdict;

/// Smallest departure from the wanted band that gets a sentence of its own [-].
const WORTH_SAYING: f64 = 0.02;
/// Most sentences about stretches of speed.
const SENTENCES: usize = 12;
/// Smallest throttle at which the engine is said to be under load [-] (no source: a choice for the list).
const LOAD: f64 = 0.25;
/// Most points in the list of lean ones.
const LEAN_POINTS: usize = 4;

/// The leanest points under load.
#[must_use]
pub fn leanest(map: &MapResult) -> String {
    let lean = |p: &PointResult| match Verdict::of_point(map, p) {
        Verdict::Leaner(by) if p.throttle >= LOAD - 1e-9 => Some(by),
        _ => None,
    };
    let mut points: Vec<(&PointResult, f64)> = map.points.iter().filter_map(|p| lean(p).map(|by| (p, by))).collect();
    points.sort_by(|a, b| b.1.total_cmp(&a.1));
    let mut out = format!("Leanest at {} throttle and above\n", throttle_name(LOAD));
    for (point, by) in points.iter().take(LEAN_POINTS) {
        let text = format!(
            "{}, {} rpm: AFR {} (lambda {}), {} leaner than wanted; torque {} N m",
            throttle_phrase(point.throttle),
            rounded(Some(point.rpm), 0),
            rounded(point.afr, 1),
            rounded(point.lambda, 2),
            per_cent(*by),
            rounded(point.torque_nm, 1)
        );
        out += &wrapped("  ", "    ", &text);
    }
    if points.is_empty() {
        let none =
            if map.targets.is_empty() { "no wanted mixture is stated" } else { "no point is leaner than wanted" };
        out += &wrapped("  ", "    ", none);
    }
    out
}

/// How many points are as wanted, band by band.
#[must_use]
pub fn bands(map: &MapResult) -> String {
    let mut out = String::new();
    for band in &map.targets {
        let points = map.points.iter().filter(|p| map.target(p.throttle) == Some(band));
        let (mut within, mut lean, mut rich) = (0, Vec::new(), Vec::new());
        for point in points {
            match Verdict::of_point(map, point) {
                Verdict::Within => within += 1,
                Verdict::Leaner(by) => lean.push(by),
                Verdict::Richer(by) => rich.push(by),
                Verdict::NoBand | Verdict::NoMixture => {}
            }
        }
        let all = within + lean.len() + rich.len();
        if all == 0 {
            continue;
        }
        let (low, high) = edges(map, band);
        let mut text = format!(
            "{} to {} throttle, AFR {} to {} wanted: {within} of {all} points as wanted",
            if band.throttle_from < 1e-9 { "shut".to_owned() } else { throttle_name(band.throttle_from) },
            throttle_name(band.throttle_to),
            rounded(Some(low), 1),
            rounded(Some(high), 1)
        );
        for (side, off) in [("leaner", &lean), ("richer", &rich)] {
            if let Some(most) = off.iter().copied().reduce(f64::max) {
                text += &format!(", {} {side} by up to {}", off.len(), per_cent(most));
            }
        }
        out += &wrapped("  ", "    ", &text);
    }
    if out.is_empty() { out } else { format!("Against the wanted mixture\n{out}") }
}

fn edges(map: &MapResult, band: &TargetBand) -> (f64, f64) {
    (band.lambda_rich * map.stoichiometric, band.lambda_lean * map.stoichiometric)
}

/// A stretch of neighbouring speeds at one throttle on the same side of the band.
struct Stretch<'a> {
    lean: bool,
    points: Vec<&'a PointResult>,
    most: f64,
}

/// Stretches of speed that are off, throttle by throttle.
#[must_use]
pub fn stretches(map: &MapResult) -> String {
    let mut found = Vec::new();
    for points in in_grid(map).chunks(map.grid.speeds.len().max(1)) {
        found.extend(at_one_throttle(map, points).into_iter().filter(|s| s.most >= WORTH_SAYING));
    }
    if found.is_empty() {
        return String::new();
    }
    let total = found.len();
    let mut order: Vec<usize> = (0..total).collect();
    order.sort_by(|a, b| found[*b].most.total_cmp(&found[*a].most));
    order.truncate(SENTENCES);
    order.sort_unstable();
    let mut out = String::from("Where it is off, and which circuit gives the fuel there\n");
    for place in &order {
        out += &wrapped("  ", "    ", &sentence(&found[*place]));
    }
    if total > order.len() {
        out += &wrapped("  ", "    ", &format!("and {} smaller stretches; see the files", total - order.len()));
    }
    out
}

fn at_one_throttle<'a>(map: &MapResult, points: &[Option<&'a PointResult>]) -> Vec<Stretch<'a>> {
    let mut found: Vec<Stretch<'_>> = Vec::new();
    let mut open = false;
    for point in points {
        let off = point.and_then(|p| match Verdict::of_point(map, p) {
            Verdict::Leaner(by) => Some((p, true, by)),
            Verdict::Richer(by) => Some((p, false, by)),
            _ => None,
        });
        let Some((point, lean, by)) = off else {
            open = false;
            continue;
        };
        match found.last_mut().filter(|s| open && s.lean == lean) {
            Some(stretch) => {
                stretch.points.push(point);
                stretch.most = stretch.most.max(by);
            }
            None => found.push(Stretch { lean, points: vec![point], most: by }),
        }
        open = true;
    }
    found
}

fn sentence(stretch: &Stretch<'_>) -> String {
    let (Some(first), Some(last)) = (stretch.points.first(), stretch.points.last()) else { return String::new() };
    let number = |v: f64, decimals: usize| rounded(Some(v), decimals);
    let afr: Vec<f64> = stretch.points.iter().filter_map(|p| p.afr).filter(|a| a.is_finite()).collect();
    let (low, high) = (afr.iter().copied().fold(f64::INFINITY, f64::min), afr.iter().copied().fold(0.0, f64::max));
    let span = |a: String, b: String| if a == b { a } else { format!("{a} to {b}") };
    let mut text = format!(
        "at {}, {} rpm: AFR {}, {}{} {} edge of the wanted band",
        throttle_phrase(first.throttle),
        span(number(first.rpm, 0), number(last.rpm, 0)),
        span(number(low, 1), number(high, 1)),
        if stretch.points.len() > 1 { "up to " } else { "" },
        per_cent(stretch.most),
        if stretch.lean { "leaner than the lean" } else { "richer than the rich" }
    );
    if let Some(shares) = mean_shares(&stretch.points) {
        let parts = CIRCUITS.iter().zip(shares).filter(|(_, s)| *s > 0.0);
        let parts: Vec<String> = parts.map(|(name, s)| format!("{name} {}", per_cent(s))).collect();
        text += &format!("; {} of the fuel here", parts.join(", "));
    }
    text
}

/// Mean share of each circuit over some points [-].
fn mean_shares(points: &[&PointResult]) -> Option<[f64; 3]> {
    let shares: Vec<[f64; 3]> = points.iter().filter_map(|p| circuit_shares(p)).collect();
    let mean = |i: usize| shares.iter().map(|s| s[i]).sum::<f64>() / shares.len() as f64;
    (!shares.is_empty()).then(|| [mean(0), mean(1), mean(2)])
}
