//! How many points of a map are as wanted, in sentences.

use super::number::{per_cent, rounded};
use super::prose::wrapped;
use crate::setup::targets::TargetBand;
use crate::study::fraction::throttle_name;
use crate::study::map::MapResult;
use crate::study::verdict::Verdict;

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
