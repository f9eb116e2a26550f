//! The starter enrichener of the file: `[carburettor.starter]`.

use super::jet::{self, Role};
use super::ledger::Ledger;
use super::passage;
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::float_bowl::FloatBowl;
use crate::hardware::jet::Jet;
use crate::hardware::starter::Starter;
use crate::media::fuel::Fuel;
use crate::units::Dimension::{Length, Share, Volume};

const OPEN: Spec = Spec::new(Share, "%", (0.0, 100.0), (0.0, 100.0));
const RISE: Spec = Spec::new(Length, "mm", (-40.0, 60.0), (-10.0, 25.0));
const CHAMBER: Spec = Spec::new(Volume, "cc", (0.01, 20.0), (0.05, 3.0));

const JET: Role = Role {
    key: "jet",
    slenderness: 3.0,
    slendernesses: (2.0, 6.0),
    bore: Spec::new(Length, "mm", (0.2, 3.0), (0.35, 1.4)),
    may_be_plugged: false,
};
const AIR: Role = Role {
    key: "air",
    slenderness: 4.0,
    slendernesses: (2.0, 8.0),
    bore: Spec::new(Length, "mm", (0.5, 12.0), (1.5, 8.0)),
    may_be_plugged: false,
};
const OUTLET: Role = Role {
    key: "outlet",
    slenderness: 2.0,
    slendernesses: (1.0, 4.0),
    bore: Spec::new(Length, "mm", (0.5, 12.0), (1.5, 8.0)),
    may_be_plugged: false,
};

/// Reads the starter's table; none without the table.
pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger, bowl: &FloatBowl, fuel: &Fuel) -> Option<Starter> {
    reader.value_place(ledger, "starter")?;
    let mut t = reader.table(ledger, "starter");
    let r = &mut t;
    let starter_jet = jet::required(r, ledger, JET, fuel);
    let shut = Estimate::fixed(&OPEN, 0.0, (0.0, 0.0), "shut: the engine is warm", COMMON);
    let open = r.estimated(ledger, "open", &OPEN, shut);
    let nothing = || Jet { bore: f64::NAN, length: f64::NAN };
    let rule = Estimate::fixed(&AIR.bore, 5.0, (4.0, 6.0), "an air passage of 5 mm", COMMON);
    let air = jet::estimated(r, ledger, AIR, fuel, rule).map_or_else(nothing, |j| j.jet);
    let rule = Estimate::fixed(&OUTLET.bore, 3.0, (2.5, 4.0), "a drilling of 3 mm behind the slide", COMMON);
    let outlet = jet::estimated(r, ledger, OUTLET, fuel, rule).map_or_else(nothing, |j| j.jet);
    let well = passage::read(r, ledger, "well", 40.0, (30.0, 50.0), 2.0, (1.5, 3.5));
    let rule = "5 mm above the floor of the bore, where the well meets the plunger's chamber";
    let rise = Estimate::fixed(&RISE, 5.0, (0.0, 12.0), rule, COMMON);
    let rise = r.estimated(ledger, "rise", &RISE, rise);
    let rule = "0.3 cc under the plunger; it sets a delay of milliseconds";
    let chamber = Estimate::fixed(&CHAMBER, 0.3, (0.1, 1.0), rule, COMMON);
    let chamber = r.estimated(ledger, "chamber", &CHAMBER, chamber);
    let place = t.place.clone();
    t.close(ledger);
    let depth = bowl.level_below_bore + rise.kept;
    if well.length <= depth {
        let spec = RISE;
        ledger.note(
            Problem::error("the starter's well does not reach down to the fuel")
                .at(place, format!("well {}", spec.show(well.length)))
                .allowed(format!("longer than {}", spec.show(depth)))
                .help("`well.length` counts from the starter jet up to the plunger's chamber, mostly 30 to 50 mm"),
        );
    }
    let starter =
        Starter { jet: starter_jet.jet, air, outlet, open: open.kept, well, rise: rise.kept, chamber: chamber.kept };
    Some(starter)
}
