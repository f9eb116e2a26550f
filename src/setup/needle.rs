//! Jet needle and needle jet of the file, and whether they go together.

use toml::de::DeValue;

use super::ledger::{Figure, Ledger};
use super::limits::MOST_ROWS;
use super::quantity::read_quantity;
use super::reader::{Reader, kind};
use super::spec::{COMMON, Estimate, Spec};
use super::tapers::{self, Taper};
use crate::diagnostics::Problem;
use crate::hardware::needle::{Needle, NeedleJet};
use crate::units::Dimension::{Angle, Length, Number, Share};

const STRAIGHT: Spec = Spec::new(Length, "mm", (0.5, 8.0), (1.8, 3.5));
const ALONG: Spec = Spec::new(Length, "mm", (0.0, 120.0), (0.0, 90.0));
const DIAMETER: Spec = Spec::new(Length, "mm", (0.05, 8.0), (0.5, 3.5));
const TAPER: Spec = Spec::new(Angle, "deg", (0.0, 15.0), (0.5, 4.5));
const GROOVES: Spec = Spec::new(Number, "", (1.0, 12.0), (1.0, 9.0));
const PITCH: Spec = Spec::new(Length, "mm", (0.2, 4.0), (0.5, 1.6));
const WASHERS: Spec = Spec::new(Length, "mm", (0.0, 5.0), (0.0, 2.0));
const LEAN: Spec = Spec::new(Share, "", (0.0, 1.0), (0.0, 1.0));
const JET_BORE: Spec = Spec::new(Length, "mm", (0.8, 10.0), (2.0, 3.6));
const JET_LENGTH: Spec = Spec::new(Length, "mm", (0.3, 40.0), (1.0, 15.0));

const DIAMETERS: &str = "write diameters = [[\"0 mm\", \"2.52 mm\"], [\"20 mm\", \"2.52 mm\"], ...]: how far below the \
                         top groove, and the diameter there";

/// Reads the needle jet: a bore, or a table of bore and length.
pub fn read_jet(reader: &mut Reader<'_>, ledger: &mut Ledger) -> (NeedleJet, Figure) {
    let path = reader.path("needle_jet");
    let length_rule = || Estimate::fixed(&JET_LENGTH, 4.0, (2.0, 8.0), "a land of 4 mm", COMMON);
    let what = "the needle jet's bore, by pin gauge: needle_jet = \"2.68 mm\"";
    let (bore, length) = match reader.raw(ledger, "needle_jet") {
        Some(raw) if matches!(raw.value, DeValue::Table(_)) => {
            let mut inner = reader.table(ledger, "needle_jet");
            let bore = inner.required(ledger, "bore", &JET_BORE, what);
            let length = inner.estimated(ledger, "length", &JET_LENGTH, length_rule());
            inner.close(ledger);
            (bore, length)
        }
        Some(raw) => {
            let bore = read_quantity(ledger, &path, &raw, &JET_BORE);
            (bore, ledger.estimated(&format!("{path}.length"), &JET_LENGTH, length_rule()))
        }
        None => {
            ledger.note(reader.missing("needle_jet", what));
            let bore = Figure { kept: f64::NAN, place: None, key: path.clone(), spec: JET_BORE };
            (bore, ledger.estimated(&format!("{path}.length"), &JET_LENGTH, length_rule()))
        }
    };
    (NeedleJet { bore: bore.kept, length: length.kept }, bore)
}

/// Reads the needle's table; `bore` is the carburettor's, whose quarter is where the taper leaves the jet.
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger, bore: &Figure, jet: &NeedleJet, jet_bore: &Figure) -> Needle {
    let r = &mut reader;
    let noted = ledger.problems.len();
    let grooves = r.whole(ledger, "grooves", &GROOVES, "the number of grooves at the top of the needle: grooves = 5");
    let groove = r.whole(ledger, "clip", &GROOVES, "the groove that holds the clip, 1 at the blunt top end: clip = 3");
    let pitch = Estimate::fixed(&PITCH, 0.95, (0.9, 1.0), "0.95 mm from groove to groove", COMMON);
    let pitch = r.estimated(ledger, "groove_pitch", &PITCH, pitch);
    let washers = Estimate::fixed(&WASHERS, 0.0, (0.0, 0.0), "no washer under the clip", COMMON);
    let washers = r.estimated(ledger, "washers", &WASHERS, washers);
    let lean = "off centre by 0.75 of the radial gap; a needle leans on its jet when air flows";
    let lean = Estimate::fixed(&LEAN, 0.75, (0.5, 1.0), lean, COMMON);
    let lean = r.estimated(ledger, "lean", &LEAN, lean);
    check_clip(ledger, &grooves, &groove);

    let (profile, taper_at) = shape(r, ledger);
    let middle = 0.5 * (grooves.kept - 1.0) * pitch.kept;
    let quarter = taper_at - middle - 0.25 * bore.kept;
    let reach = Estimate {
        value: quarter,
        low: quarter - 0.08 * bore.kept,
        high: quarter + 0.08 * bore.kept,
        rule: "the taper leaves the needle jet at a quarter of full lift with the clip in the middle groove".into(),
        source: "service-manual page on slide and needle ranges",
    };
    let clip_to_jet = r.estimated(ledger, "clip_to_jet", &ALONG, reach);
    let stations = stations(r, ledger, profile, &clip_to_jet, bore, &grooves, &pitch);
    let place = reader.place.clone();
    reader.close(ledger);

    let needle = Needle {
        stations,
        groove_pitch: pitch.kept,
        groove: (groove.kept as u32).max(1),
        grooves: grooves.kept as u32,
        washers: washers.kept,
        clip_to_jet: clip_to_jet.kept,
        eccentricity: lean.kept,
    };
    if ledger.sound_since(noted) && bore.kept.is_finite() && jet_bore.kept.is_finite() {
        check_fit(ledger, &needle, jet, bore, jet_bore, place.as_ref());
    }
    needle
}

/// The needle's shape as the file gives it.
enum Profile {
    /// Straight, then one to three tapers.
    Tapers(Figure, Vec<Taper>),
    /// Measured stations: how far below the top groove, diameter.
    Rows(Vec<(f64, f64)>),
}

/// Reads the shape, and where its taper starts [m below the top groove].
fn shape(reader: &mut Reader<'_>, ledger: &mut Ledger) -> (Profile, f64) {
    if reader.has("diameters") {
        for key in ["straight", "taper_starts", "taper", "tapers", "length"] {
            if reader.has(key) {
                ledger.note(
                    Problem::error(format!("`{}` and `diameters` both describe the needle", reader.path(key)))
                        .at(reader.key_place(key), "this one")
                        .against(reader.key_place("diameters"), "and this one")
                        .help("keep `diameters` if they were measured, else `straight`, `taper_starts` and `taper`"),
                );
                let _ = reader.raw(ledger, key);
            }
        }
        let rows = rows(reader, ledger);
        let first = rows.first().map_or(f64::NAN, |r| r.1);
        let taper = rows.iter().rev().find(|r| r.1 > first - 2e-6).map_or(f64::NAN, |r| r.0);
        return (Profile::Rows(rows), taper);
    }
    let what = "the needle's diameter above its taper, by caliper or micrometer: straight = \"2.52 mm\"";
    let straight = reader.required(ledger, "straight", &STRAIGHT, what);
    if reader.has("tapers") {
        for key in ["taper_starts", "taper"] {
            if reader.has(key) {
                ledger.note(
                    Problem::error(format!("`{}` and `tapers` both say how the needle tapers", reader.path(key)))
                        .at(reader.key_place(key), "this one")
                        .against(reader.key_place("tapers"), "and this one")
                        .help("keep `tapers` if the needle has two or three, else `taper_starts` and `taper`"),
                );
                let _ = reader.raw(ledger, key);
            }
        }
        let all = tapers::read(reader, ledger, &ALONG, &TAPER);
        let at = all.first().map_or(f64::NAN, |t| t.starts.kept);
        return (Profile::Tapers(straight, all), at);
    }
    let what = "where the taper starts, measured down from the top groove: taper_starts = \"22 mm\"";
    let starts = reader.required(ledger, "taper_starts", &ALONG, what);
    let rule = "1.5 degrees included, the middle of 1 to 2";
    let taper = reader.estimated(ledger, "taper", &TAPER, Estimate::fixed(&TAPER, 1.5, (1.0, 2.0), rule, COMMON));
    let at = starts.kept;
    (Profile::Tapers(straight, vec![Taper { starts, angle: taper }]), at)
}

fn rows(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Vec<(f64, f64)> {
    let path = reader.path("diameters");
    let Some(raw) = reader.raw(ledger, "diameters") else { return Vec::new() };
    let bad = |label: &str| {
        Problem::error(format!("`{path}` has to be a list of pairs")).at(Some(raw.place.clone()), label).help(DIAMETERS)
    };
    let DeValue::Array(list) = raw.value else {
        ledger.note(bad(kind(raw.value)));
        return Vec::new();
    };
    if list.len() > MOST_ROWS || list.is_empty() {
        ledger.note(bad(&format!("{} rows", list.len())).allowed(format!("1 to {MOST_ROWS} rows")));
        return Vec::new();
    }
    let mut rows: Vec<(f64, f64)> = Vec::with_capacity(list.len());
    for (i, item) in list.iter().enumerate() {
        let item = reader.placed(item);
        let pair = match item.value {
            DeValue::Array(pair) => pair.first().zip(pair.get(1)).filter(|_| pair.len() == 2),
            _ => None,
        };
        let Some((below, diameter)) = pair else {
            ledger.note(
                Problem::error(format!("`{path}[{i}]` has to be a pair"))
                    .at(Some(item.place), kind(item.value))
                    .help(DIAMETERS),
            );
            continue;
        };
        let below = read_quantity(ledger, &format!("{path}[{i}].below"), &reader.placed(below), &ALONG);
        let diameter = read_quantity(ledger, &format!("{path}[{i}].diameter"), &reader.placed(diameter), &DIAMETER);
        if rows.last().is_some_and(|last| below.kept <= last.0) {
            ledger.note(
                Problem::error(format!("`{path}` does not run downwards"))
                    .at(below.place.clone(), format!("{} is not below the row before it", below.shown()))
                    .help("start at the top groove and go down the needle, each row further than the last"),
            );
        }
        rows.push((below.kept, diameter.kept));
    }
    rows
}

/// The stations of the needle; a tapered one ends by rule below what full lift reaches.
fn stations(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    profile: Profile,
    clip_to_jet: &Figure,
    bore: &Figure,
    grooves: &Figure,
    pitch: &Figure,
) -> Vec<(f64, f64)> {
    let (straight, tapers) = match profile {
        Profile::Rows(rows) => return rows,
        Profile::Tapers(straight, tapers) => (straight, tapers),
    };
    let reach = clip_to_jet.kept + bore.kept + (grooves.kept - 1.0) * pitch.kept;
    let rule = "5 mm below what the needle jet sees at full lift with the clip in the lowest groove";
    let length = reader.estimated(ledger, "length", &ALONG, Estimate::plus(reach, 5e-3, (1e-3, 1e-2), rule, COMMON));
    let Some(last) = tapers.last() else { return vec![(0.0, straight.kept)] };
    if length.kept <= last.starts.kept {
        ledger.note(
            Problem::error("the needle ends before its taper starts")
                .at(length.place.clone().or_else(|| last.starts.place.clone()), format!("length {}", length.label()))
                .against(last.starts.place.clone(), format!("taper starts at {}", last.starts.label()))
                .help("both are measured down from the top groove"),
        );
    }
    let first = tapers[0].starts.kept;
    let mut stations = if first > 0.0 { vec![(0.0, straight.kept)] } else { Vec::new() };
    stations.push((first, straight.kept));
    let mut tip = straight.kept;
    let ends = tapers.iter().skip(1).map(|t| t.starts.kept).chain([length.kept]);
    for (taper, end) in tapers.iter().zip(ends) {
        tip -= 2.0 * libm::tan(0.5 * taper.angle.kept) * (end - taper.starts.kept);
        stations.push((end, tip));
    }
    if tip < 5e-5 {
        ledger.note(
            Problem::error("the taper would bring the needle to nothing before its end")
                .at(
                    last.angle.place.clone().or_else(|| straight.place.clone()),
                    format!("taper {}", last.angle.label()),
                )
                .against(straight.place.clone(), format!("straight part {}", straight.label()))
                .help("`taper` is the included angle between the two sides, usually 1 to 2 degrees, not the slope per length"),
        );
    }
    stations
}

fn check_clip(ledger: &mut Ledger, grooves: &Figure, groove: &Figure) {
    if groove.kept > grooves.kept {
        ledger.note(
            Problem::error(format!("the clip is in groove {}, but the needle has only {}", groove.kept, grooves.kept))
                .at(groove.place.clone(), "beyond the lowest groove")
                .against(grooves.place.clone(), "the number of grooves")
                .help("count from the blunt top end, which is groove 1"),
        );
    }
}

/// Parts of full lift at whose ends the fit is checked, beside the needle's own stations.
const CHECKED_LIFTS: u32 = 64;

fn check_fit(
    ledger: &mut Ledger,
    needle: &Needle,
    jet: &NeedleJet,
    bore: &Figure,
    jet_bore: &Figure,
    place: Option<&crate::diagnostics::Place>,
) {
    let lifts = (0..=CHECKED_LIFTS).map(|i| bore.kept * f64::from(i) / f64::from(CHECKED_LIFTS));
    let shut = needle.station(0.0);
    let own = needle.stations.iter().map(|s| s.0 - shut).filter(|l| *l >= 0.0 && *l <= bore.kept);
    let tight = lifts.chain(own).map(|lift| (lift, jet.annulus(needle, lift).inner_diameter)).find(|l| l.1 >= jet.bore);
    if let Some((lift, diameter)) = tight {
        let share = lift / bore.kept;
        let when = if share < 0.01 { "with the slide shut".to_string() } else { format!("at {share:.2} of full lift") };
        ledger.note(
            Problem::error("the needle is thicker than its needle jet")
                .at(place.cloned(), format!("needle {} {when}", DIAMETER.show(diameter)))
                .against(jet_bore.place.clone(), format!("needle jet {}", jet_bore.label()))
                .allowed(format!("a diameter below {} wherever the needle works in the jet", jet_bore.shown()))
                .help("measure both again: a needle is usually 0.1 to 0.25 mm thinner than its jet"),
        );
    } else if jet.bore - needle.diameter(shut) > 0.6e-3 {
        ledger.note(
            Problem::warning("the needle leaves an unusually wide ring when the slide is shut")
                .at(place.cloned(), format!("needle {}", DIAMETER.show(needle.diameter(shut))))
                .against(jet_bore.place.clone(), format!("needle jet {}", jet_bore.label()))
                .help("a needle is usually 0.1 to 0.25 mm thinner than its jet"),
        );
    }
}
