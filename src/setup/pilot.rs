//! Pilot circuit of the file: jet, air jet, mixture screw, outlet, by-pass holes.

use super::jet::{self, Role};
use super::ledger::{Figure, Ledger};
use super::limits::MOST_ROWS;
use super::passage;
use super::reader::Reader;
use super::rows::Rows;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::carburettor::{BypassHole, PilotCircuit};
use crate::hardware::jet::Jet;
use crate::hardware::mixture_screw::{MixtureScrew, ScrewKind};
use crate::hardware::slide::SlideKind;
use crate::media::fuel::Fuel;
use crate::units::Dimension::{Angle, Length, Turns};

const HOLE: Spec = Spec::new(Length, "mm", (0.1, 4.0), (0.4, 1.6));
const AHEAD: Spec = Spec::new(Length, "mm", (-60.0, 60.0), (-5.0, 15.0));
const TURNS: Spec = Spec::new(Turns, "turns", (0.0, 12.0), (0.25, 4.0));
const PITCH: Spec = Spec::new(Length, "mm", (0.2, 2.0), (0.4, 1.25));
const TIP: Spec = Spec::new(Angle, "deg", (2.0, 90.0), (5.0, 45.0));

const PILOT_JET: Role = Role {
    key: "pilot_jet",
    slenderness: 4.0,
    slendernesses: (2.0, 8.0),
    bore: Spec::new(Length, "mm", (0.1, 2.0), (0.12, 0.8)),
    may_be_plugged: false,
};
const AIR_JET: Role = Role {
    key: "pilot_air_jet",
    slenderness: 2.0,
    slendernesses: (1.0, 4.0),
    bore: Spec::new(Length, "mm", (0.2, 5.0), (0.4, 2.5)),
    may_be_plugged: true,
};
const OUTLET: Role =
    Role { key: "pilot_outlet", slenderness: 2.0, slendernesses: (1.0, 4.0), bore: HOLE, may_be_plugged: false };
const BYPASS: Role =
    Role { key: "bypass", slenderness: 2.0, slendernesses: (1.0, 4.0), bore: HOLE, may_be_plugged: false };

/// Reads the pilot parts of the carburettor's table; `bore` is the carburettor's, `slide` the kind of its slide.
pub fn read(
    reader: &mut Reader<'_>,
    ledger: &mut Ledger,
    slide: SlideKind,
    bore: &Figure,
    fuel: &Fuel,
) -> PilotCircuit {
    let pilot_jet = jet::required(reader, ledger, PILOT_JET, fuel);
    let air = Estimate::fixed(&AIR_JET.bore, 1.2, (0.8, 1.6), "1.2 mm, the middle of 0.8 to 1.6", COMMON);
    let air_jet = jet::estimated(reader, ledger, AIR_JET, fuel, air);
    let manual = "0.95 mm, service manual of a 400-class single";
    let outlet = Estimate::fixed(&HOLE, 0.95, (0.9, 1.0), manual, "service-manual carburettor table");
    let outlet = jet::estimated(reader, ledger, OUTLET, fuel, outlet).map_or(nothing(), |j| j.jet);
    let screw = read_screw(reader, ledger);
    let bypass = read_bypass(reader, ledger, slide, bore);
    let passage = passage::read(reader, ledger, "pilot_passage", 40.0, (25.0, 70.0), 1.5, (1.0, 2.0));
    PilotCircuit { jet: pilot_jet.jet, air_jet: air_jet.map(|j| j.jet), screw, outlet, bypass, passage }
}

fn nothing() -> Jet {
    Jet { bore: f64::NAN, length: f64::NAN }
}

fn read_screw(reader: &mut Reader<'_>, ledger: &mut Ledger) -> MixtureScrew {
    let mut t = reader.table(ledger, "mixture_screw");
    let words = [("fuel", ScrewKind::Fuel), ("air", ScrewKind::Air)];
    let what = "a fuel screw sits on the engine's side of the slide and richens when turned out, an air screw sits on \
                the air filter's side and leans";
    let screw = t.choice(ledger, "kind", &words, what).unwrap_or(ScrewKind::Fuel);
    let what = "turn it in until it seats lightly, counting: turns = \"1 1/2 turns\"";
    let turns = t.required(ledger, "turns", &TURNS, what);
    let pitch = Estimate::fixed(&PITCH, 0.75, (0.5, 1.0), "0.75 mm per turn", COMMON);
    let pitch = t.estimated(ledger, "pitch", &PITCH, pitch);
    let tip = Estimate::fixed(&TIP, 12.0, (8.0, 20.0), "12 degrees included", COMMON);
    let tip = t.estimated(ledger, "tip_angle", &TIP, tip);
    let seat = Estimate::fixed(&HOLE, 1.0, (0.8, 1.3), "a seat of 1 mm", COMMON);
    let seat = t.estimated(ledger, "seat", &HOLE, seat);
    t.close(ledger);
    MixtureScrew { kind: screw, turns: turns.kept, pitch: pitch.kept, tip_angle: tip.kept, seat_bore: seat.kept }
}

/// Position of the `i`-th hole by rule: the first 1.5 mm ahead of the edge, the next ones 2 mm further each.
fn ahead_by_rule(slide: SlideKind, i: usize) -> Estimate {
    if slide == SlideKind::Piston {
        let at = 0.5 + 1.2 * i as f64;
        let rule = format!("{at:.1} mm ahead of the shut butterfly's edge: the first 0.5 mm, then 1.2 mm apart");
        return Estimate::fixed(&AHEAD, at, (at - 0.5, at + 0.5), &rule, COMMON);
    }
    let at = 1.5 + 2.0 * i as f64;
    let rule = format!("{at} mm ahead of the slide's engine-side edge: the first 1.5 mm, then 2 mm apart");
    Estimate::fixed(&AHEAD, at, (at - 1.5, at + 1.5), &rule, COMMON)
}

fn read_bypass(reader: &mut Reader<'_>, ledger: &mut Ledger, slide: SlideKind, bore: &Figure) -> Vec<BypassHole> {
    let path = reader.path("bypass");
    let help = "write bypass = [{ bore = \"0.8 mm\", ahead = \"1.5 mm\" }], or [] if there is none";
    let rows = Rows { one: "a hole", many: "holes", help };
    let Some(raw) = reader.raw(ledger, "bypass") else {
        return (0..2).map(|i| estimated_hole(ledger, slide, &path, i)).collect();
    };
    let Some(list) = rows.list(ledger, &path, &raw) else { return Vec::new() };
    if list.is_empty() {
        ledger.given(&path, "none".into(), None, "", &raw.place);
    }
    if list.len() > 16 {
        ledger.note(
            Problem::error(format!("`{path}` has too many holes"))
                .at(Some(raw.place), format!("{} holes", list.len()))
                .allowed(format!("at most 16 holes (and {MOST_ROWS} rows in any table)")),
        );
        return Vec::new();
    }
    let mut holes = Vec::with_capacity(list.len());
    for (i, item) in list.iter().enumerate() {
        let Some(mut inner) = rows.row(reader, ledger, &path, (i, item)) else { continue };
        let ahead = inner.estimated(ledger, "ahead", &AHEAD, ahead_by_rule(slide, i));
        let what = "the hole's diameter, by drill shank or wire: bore = \"0.8 mm\"";
        let bore_figure = inner.required(ledger, "bore", &HOLE, what);
        let rule = "2 x its bore";
        let length = Estimate::times(bore_figure.kept, BYPASS.slenderness, BYPASS.slendernesses, rule, COMMON);
        let length = inner.estimated(ledger, "length", &passage::SHORT, length);
        inner.close(ledger);
        check_place(ledger, &ahead, bore);
        let hole = Jet { bore: bore_figure.kept, length: length.kept };
        holes.push(BypassHole { hole, upstream_of_edge: ahead.kept });
    }
    holes
}

fn estimated_hole(ledger: &mut Ledger, slide: SlideKind, path: &str, i: usize) -> BypassHole {
    let bore = Estimate::fixed(&HOLE, 0.8, (0.6, 1.0), "two holes of 0.8 mm", "service-manual carburettor table");
    let bore = ledger.estimated(&format!("{path}[{i}].bore"), &HOLE, bore);
    let length = Estimate::times(bore.kept, BYPASS.slenderness, BYPASS.slendernesses, "2 x its bore", COMMON);
    let length = ledger.estimated(&format!("{path}[{i}].length"), &passage::SHORT, length);
    let ahead = ledger.estimated(&format!("{path}[{i}].ahead"), &AHEAD, ahead_by_rule(slide, i));
    BypassHole { hole: Jet { bore: bore.kept, length: length.kept }, upstream_of_edge: ahead.kept }
}

fn check_place(ledger: &mut Ledger, ahead: &Figure, bore: &Figure) {
    if ahead.kept > bore.kept || ahead.kept < -bore.kept {
        ledger.note(
            Problem::error("the by-pass hole lies outside the bore that the slide covers")
                .at(ahead.place.clone(), ahead.label())
                .against(bore.place.clone(), format!("carburettor bore {}", bore.label()))
                .allowed(format!("-{0} to {0}", bore.shown()))
                .help("`ahead` counts from the edge of slide or butterfly towards the air filter, a few millimetres as a rule"),
        );
    }
}
