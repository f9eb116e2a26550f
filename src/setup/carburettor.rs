//! The carburettor of the file.

use super::bowl;
use super::jet::{self, Role};
use super::ledger::{Figure, Ledger};
use super::mouth;
use super::needle;
use super::nozzle::{self, ReadNozzle};
use super::passage;
use super::pilot;
use super::pipe;
use super::pump;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use super::starter;
use super::throttle;
use super::vent::Vent;
use crate::diagnostics::Problem;
use crate::hardware::carburettor::{Carburettor, MainCircuit};
use crate::hardware::duct::Piece;
use crate::hardware::slide::SlideKind;
use crate::media::fuel::Fuel;
use crate::units::Dimension::Length;

const BORE: Spec = Spec::new(Length, "mm", (10.0, 60.0), (18.0, 48.0));

const MAIN_JET: Role = Role {
    key: "main_jet",
    slenderness: 2.0,
    slendernesses: (1.0, 4.0),
    bore: Spec::new(Length, "mm", (0.3, 5.0), (0.7, 2.6)),
    may_be_plugged: false,
};
const MAIN_AIR_JET: Role = Role {
    key: "main_air_jet",
    slenderness: 2.0,
    slendernesses: (1.0, 4.0),
    bore: Spec::new(Length, "mm", (0.2, 5.0), (0.4, 2.5)),
    may_be_plugged: true,
};

/// A carburettor, and where its bowl is vented to.
#[derive(Debug)]
pub struct ReadCarburettor {
    /// The part.
    pub carburettor: Carburettor,
    /// Where the bowl's vent ends.
    pub vent: Vent,
}

/// Reads the bore alone, which estimates of other parts need first; the range is checked later.
#[must_use]
pub fn bore_of(reader: &mut Reader<'_>) -> f64 {
    let mut aside = Ledger::default();
    reader.optional(&mut aside, "bore", &BORE).map_or(f64::NAN, |f| f.kept)
}

/// Reads the carburettor's table; `air` is the free air's temperature [K].
pub fn read(mut reader: Reader<'_>, ledger: &mut Ledger, fuel: &Fuel, air: f64) -> ReadCarburettor {
    let r = &mut reader;
    let what = "the bore at the slide, by caliper: bore = \"38 mm\"";
    let bore = r.required(ledger, "bore", &BORE, what);
    let kind = throttle::kind_of(r);
    let main_jet = jet::required(r, ledger, MAIN_JET, fuel);
    let air_rule = Estimate::fixed(&MAIN_AIR_JET.bore, 1.5, (1.0, 2.0), "1.5 mm, the middle of 1.0 to 2.0", COMMON);
    let main_air_jet = jet::estimated(r, ledger, MAIN_AIR_JET, fuel, air_rule).map(|j| j.jet);
    let (needle_jet, needle_jet_bore) = needle::read_jet(r, ledger);
    let table = r.table(ledger, "needle");
    let needle = needle::read(table, ledger, &bore, &needle_jet, &needle_jet_bore);
    let table = r.table(ledger, "nozzle");
    let ReadNozzle { nozzle, mouth: shroud, well } = nozzle::read(table, ledger, &bore, &needle_jet_bore, kind);
    check_main(ledger, &main_jet.bore, &needle_jet_bore, &shroud);

    let table = r.table(ledger, "mouth");
    let mouth = mouth::read(table, ledger, &bore, air);
    let spigot = read_spigot(r, ledger, kind, &bore, air);
    let (slide, vacuum) = throttle::read(r, ledger, kind, &bore);
    let passage = passage::read(r, ledger, "main_passage", 35.0, (25.0, 50.0), 3.5, (2.6, 5.0));
    let pilot = pilot::read(r, ledger, kind, &bore, fuel);
    let main = MainCircuit { main_jet: main_jet.jet, air_jet: main_air_jet, needle_jet, needle, nozzle, passage, well };
    let outlets = bowl::Outlets { main: &main, pilot: &pilot.jet, bore: bore.kept };
    let (bowl, vent) = bowl::read(r, ledger, &outlets, fuel);
    let starter = starter::read(r, ledger, &bowl, fuel);
    let pump = pump::read(r, ledger, &bore, &bowl, fuel);
    reader.close(ledger);

    let carburettor = Carburettor {
        mouth: mouth.pieces,
        mouth_loss: mouth.loss,
        end_correction: mouth.end_correction,
        slide,
        spigot: vec![spigot],
        main,
        pilot,
        bowl,
        starter,
        pump,
        vacuum,
    };
    ReadCarburettor { carburettor, vent }
}

fn read_spigot(reader: &mut Reader<'_>, ledger: &mut Ledger, kind: SlideKind, bore: &Figure, air: f64) -> Piece {
    let mut t = reader.table(ledger, "spigot");
    let length = if kind == SlideKind::Piston {
        let rule = "25 mm from the butterfly's shaft to the spigot's end";
        Estimate::fixed(&pipe::LENGTH, 25.0, (20.0, 35.0), rule, COMMON)
    } else {
        let rule = "50 mm from the slide to the spigot's end, half of a body 90 to 110 mm long";
        Estimate::fixed(&pipe::LENGTH, 50.0, (40.0, 60.0), rule, COMMON)
    };
    let length = t.estimated(ledger, "length", &pipe::LENGTH, length);
    let diameter = Estimate::times(bore.kept, 1.0, (1.0, 1.05), "as wide as the bore", COMMON);
    let diameter = t.estimated(ledger, "diameter", &pipe::DIAMETER, diameter);
    let wall = pipe::wall(&mut t, ledger, 10.0, (0.0, 30.0), air);
    t.close(ledger);
    Piece::plain("spigot", length.kept, bore.kept, diameter.kept, wall.kept)
}

fn check_main(ledger: &mut Ledger, main_jet: &Figure, needle_jet: &Figure, shroud: &Figure) {
    if main_jet.kept > needle_jet.kept {
        ledger.note(
            Problem::error("the main jet is wider than the needle jet it feeds")
                .at(main_jet.place.clone(), format!("main jet {}", main_jet.label()))
                .against(needle_jet.place.clone(), format!("needle jet {}", needle_jet.label()))
                .help("check the family of the main jet's number: 150 may be 1.50 mm or 150 cc/min"),
        );
    }
    if shroud.kept < needle_jet.kept {
        ledger.note(
            Problem::error("the nozzle's mouth is narrower than the needle jet")
                .at(shroud.place.clone().or_else(|| needle_jet.place.clone()), format!("mouth {}", shroud.label()))
                .against(needle_jet.place.clone(), format!("needle jet {}", needle_jet.label())),
        );
    }
}
