//! The verdict on a snap in plain words.

use super::number::rounded;
use crate::study::snap::result::{PumpParts, PumpRun, SnapResult, SnapRun};

/// What ten strokes of a pump of a 650-class single give [m3]. Common practice, no source: 0.2 to 0.6 cc a stroke.
pub const TEN_STROKES: (f64, f64) = (2e-6, 6e-6);
/// Stop over full lift to start from [-], and the rod gap [m]: 2/3 to 3/4 throttle, 0.080 to 0.100 inch. Common
/// practice, no source.
pub const STOPS: (f64, f64) = (2.0 / 3.0, 0.75);
/// Rod gaps to start from [m].
pub const GAPS: (f64, f64) = (0.080 * 25.4e-3, 0.100 * 25.4e-3);
/// Share of a misfit that a better pump has to take away to be worth a change [-].
const WORTH: f64 = 0.1;
/// Room around the ranges of gap and stop [m]: half of what each is set to.
const ROOM: (f64, f64) = (0.1e-3, 0.5e-3);

/// `mg` of fuel as cc.
pub fn cc(r: &SnapResult, mg: f64) -> String {
    rounded(Some(mg / r.fuel_density), 2)
}

/// Gap, stop and nozzle in words.
pub fn parts_words(p: &PumpParts) -> String {
    format!(
        "rod gap {} mm, stop {} mm, nozzle {}",
        rounded(Some(1e3 * p.rod_gap_m), 1),
        rounded(Some(1e3 * p.stop_m), 0),
        rounded(Some(1e5 * p.nozzle_m), 0)
    )
}

/// The verdict, one or a few sentences.
pub fn verdict(r: &SnapResult) -> String {
    let mut said = match &r.with {
        None => without_pump(r),
        Some(with) => with_pump(r, with),
    };
    if r.goal.settles_lean() {
        let at = rounded(r.after.afr, 1);
        said += &match r.goal.settles {
            Some(_) => format!(" The steady engine is itself lean there (AFR {at}): jets first, then the pump."),
            None => " The steady engine does not fire there: jets, needle or bore first, then the pump.".to_owned(),
        };
    }
    said
}

fn without_pump(r: &SnapResult) -> String {
    let run = &r.without;
    if run.hole.cycles == 0 {
        return "No lean hole: this opening needs no accelerator pump.".to_owned();
    }
    format!("{}; {} cc of fuel are missing in it, and there is no pump.", hole_words(run), cc(r, run.missing_mg))
}

fn hole_words(run: &SnapRun) -> String {
    let h = &run.hole;
    let unfired = match h.unfired {
        0 => String::new(),
        1 => ", one cycle does not fire".to_owned(),
        n => format!(", {n} cycles do not fire"),
    };
    let end =
        if h.ends { format!("{} s long", rounded(Some(h.lasts_s), 2)) } else { "to the end of the run".to_owned() };
    format!("A lean hole {end}, at its leanest AFR {}{unfired}", rounded(h.leanest_afr, 1))
}

fn with_pump(r: &SnapResult, with: &PumpRun) -> String {
    let (none, run) = (&r.without, &with.run);
    let own = if none.hole.cycles == 0 && run.rich.lasts_s <= 0.0 {
        "No lean hole even without the pump, and the pump does no harm.".to_owned()
    } else if none.hole.cycles == 0 {
        format!("No lean hole without the pump; with it the mixture is too rich for {}.", rich_words(run))
    } else if run.hole.cycles == 0 && run.rich.lasts_s <= 0.0 {
        "The pump as it is fills the lean hole.".to_owned()
    } else if run.hole.cycles == 0 {
        format!("The pump as it is fills the lean hole and goes on: too rich for {}.", rich_words(run))
    } else if run.rich.lasts_s > run.hole.lasts_s {
        format!(
            "The pump as it is comes late, then gives too much: lean for {} s, too rich for {}.",
            lean(run),
            rich_words(run)
        )
    } else {
        format!(
            "The pump as it is gives too little or too late: lean for {} s of {} s without it.",
            lean(run),
            lean(none)
        )
    };
    match &r.tuned {
        None => own,
        Some(t) => {
            if t.best.run.misfit.score() >= none.misfit.score() {
                return format!(
                    "{own} At this speed the engine is as well off without a pump ({} s of hole); try a lower one, where the pump is needed.",
                    lean(none)
                );
            }
            let better = 1.0 - t.best.run.misfit.score() / run.misfit.score().max(1e-9);
            if better < WORTH {
                return format!("{own} No gap, stop or nozzle does clearly better.");
            }
            format!("{own} Best: {}; {}.", parts_words(&t.best.parts), left(&t.best.run))
        }
    }
}

fn lean(run: &SnapRun) -> String {
    rounded(Some(run.hole.lasts_s), 2)
}

fn rich_words(run: &SnapRun) -> String {
    format!("{} s, down to AFR {}", rounded(Some(run.rich.lasts_s), 2), rounded(run.rich.richest_afr, 1))
}

fn left(run: &SnapRun) -> String {
    match (run.hole.cycles, run.rich.lasts_s > 0.0) {
        (0, false) => "that fills the hole".to_owned(),
        (0, true) => format!("that fills the hole, too rich for {}", rich_words(run)),
        (_, false) => {
            format!("that leaves {} s of hole, at its leanest AFR {}", lean(run), rounded(run.hole.leanest_afr, 1))
        }
        (_, true) => format!(
            "that leaves {} s of hole, at its leanest AFR {}, and is too rich for {}",
            lean(run),
            rounded(run.hole.leanest_afr, 1),
            rich_words(run)
        ),
    }
}

/// The best pump beside common practice, each difference said.
pub fn against_practice(r: &SnapResult, best: &PumpRun) -> String {
    let share = best.parts.stop_m / r.bore_m;
    let gap = best.parts.rod_gap_m;
    let ten = best.bench.ten_strokes;
    let place = |v: f64, (low, high): (f64, f64), room: f64| {
        if v < low - room {
            "below"
        } else if v > high + room {
            "above"
        } else {
            "inside"
        }
    };
    format!(
        "Against common practice (no source): ten strokes {} cc, {} 2 to 6 cc; rod gap {} mm, {} 2.0 to 2.5 mm; stop at {} % of full \
         lift, {} 2/3 to 3/4.",
        rounded(Some(1e6 * ten), 1),
        place(ten, TEN_STROKES, 0.0),
        rounded(Some(1e3 * gap), 1),
        place(gap, GAPS, ROOM.0),
        rounded(Some(100.0 * share), 0),
        place(share, STOPS, ROOM.1 / r.bore_m),
    )
}
