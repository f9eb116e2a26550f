//! Wanted mixture of the file, or the trade's.

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::limits::MOST_ROWS;
use super::reader::Reader;
use super::rows::Rows;
use super::spec::Spec;
use super::targets::TargetBand;
use crate::diagnostics::Problem;
use crate::units::Dimension::{Number, Share};

const THROTTLE: Spec = Spec::new(Share, "", (0.0, 1.0), (0.0, 1.0));
const LAMBDA: Spec = Spec::new(Number, "", (0.5, 1.5), (0.75, 1.1));

const SHAPE: &str = "write targets = [{ from = \"1/4\", to = \"3/4\", rich = 0.88, lean = 0.95 }, ...]";

/// Bands of an air-cooled single: idle, off idle, cruise, part load, full load.
///
/// AFR 12.5 to 13.5 at idle, 12.8 to 13.5 off idle, 13.3 to 14.0 cruising, 12.5 to 13.5 under load, 12.5 to 13.0 at full
/// throttle, over 14.7. Common practice, no source.
pub const USUAL: [TargetBand; 5] = [
    TargetBand { throttle_from: 0.0, throttle_to: 0.06, lambda_rich: 0.85, lambda_lean: 0.92 },
    TargetBand { throttle_from: 0.06, throttle_to: 0.125, lambda_rich: 0.87, lambda_lean: 0.92 },
    TargetBand { throttle_from: 0.125, throttle_to: 0.5, lambda_rich: 0.905, lambda_lean: 0.95 },
    TargetBand { throttle_from: 0.5, throttle_to: 0.8, lambda_rich: 0.85, lambda_lean: 0.92 },
    TargetBand { throttle_from: 0.8, throttle_to: 1.0, lambda_rich: 0.85, lambda_lean: 0.885 },
];

/// Air-fuel ratios that a person may write for a lambda [-].
const LIKE_AN_AFR: std::ops::RangeInclusive<f64> = 8.0..=20.0;

/// Reads a lambda; an air-fuel ratio in its place is told from it.
fn lambda(reader: &mut Reader<'_>, ledger: &mut Ledger, key: &str, stoichiometric: f64) -> Figure {
    let from = ledger.problems.len();
    let figure = reader.required(ledger, key, &LAMBDA, SHAPE);
    let written = match reader.raw(ledger, key).map(|raw| raw.value) {
        Some(DeValue::Integer(n)) => n.as_str().parse().ok(),
        Some(DeValue::Float(n)) => n.as_str().parse().ok(),
        Some(DeValue::String(text)) => text.trim().parse().ok(),
        _ => None,
    };
    if let Some(afr) = written.filter(|afr: &f64| LIKE_AN_AFR.contains(afr) && stoichiometric.is_finite()) {
        let help = format!("this is lambda, not AFR: AFR {afr} is lambda {:.2}", afr / stoichiometric);
        for problem in ledger.problems.iter_mut().skip(from) {
            problem.help = Some(help.clone());
        }
    }
    figure
}

/// Reads `targets` of the file; `stoichiometric` is the fuel's ratio [-], NaN after a problem with the fuel.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, stoichiometric: f64) -> Vec<TargetBand> {
    let Some(raw) = reader.raw(ledger, "targets") else { return USUAL.to_vec() };
    let rows = Rows { one: "a band", many: "bands", help: SHAPE };
    let Some(list) = rows.list(ledger, "targets", &raw) else { return Vec::new() };
    if list.len() > MOST_ROWS {
        ledger.note(
            Problem::error("`targets` has too many bands")
                .at(Some(raw.place), format!("{} bands", list.len()))
                .allowed(format!("at most {MOST_ROWS} rows")),
        );
        return Vec::new();
    }
    ledger.given("targets", format!("{} bands", list.len()), None, "", &raw.place);
    let mut bands: Vec<TargetBand> = Vec::with_capacity(list.len());
    for (i, item) in list.iter().enumerate() {
        let Some(mut t) = rows.row(reader, ledger, "targets", (i, item)) else { continue };
        let from = t.required(ledger, "from", &THROTTLE, SHAPE);
        let to = t.required(ledger, "to", &THROTTLE, SHAPE);
        let rich = lambda(&mut t, ledger, "rich", stoichiometric);
        let lean = lambda(&mut t, ledger, "lean", stoichiometric);
        t.close(ledger);
        for (a, b, what) in
            [(&from, &to, "`from` has to be below `to`"), (&rich, &lean, "`rich` has to be below `lean`")]
        {
            if a.kept >= b.kept {
                ledger.note(
                    Problem::error(format!("`targets[{i}]`: {what}"))
                        .at(a.place.clone(), a.shown())
                        .against(b.place.clone(), b.shown()),
                );
            }
        }
        if bands.last().is_some_and(|last| from.kept < last.throttle_to - 1e-9) {
            ledger.note(
                Problem::error(format!("`targets[{i}]` starts before the band above it ends"))
                    .at(from.place.clone(), from.shown())
                    .help("list the bands from shut to full throttle"),
            );
        }
        bands.push(TargetBand {
            throttle_from: from.kept,
            throttle_to: to.kept,
            lambda_rich: rich.kept,
            lambda_lean: lean.kept,
        });
    }
    bands
}
