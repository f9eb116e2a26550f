//! A jet tested at home: so much liquid in so much time under a head, and what the number on it then means.

use serde::Serialize;

use super::jet::{Role, USUAL_HEAD, bore_for_flow, flow_of};
use super::ledger::{Figure, Ledger};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::diagnostics::Problem;
use crate::hardware::jet::Jet;
use crate::laws::free_jet::{Column, WEBER_LOWEST};
use crate::media::fuel::Fuel;
use crate::media::test_liquid::TestLiquid;
use crate::numeric::root;
use crate::units::Dimension::{Length, Number, Temperature, Time, Volume};

const VOLUME: Spec = Spec::new(Volume, "ml", (5.0, 20_000.0), (20.0, 2_000.0));
const TIME: Spec = Spec::new(Time, "s", (2.0, 7_200.0), (20.0, 1_200.0));
const HEAD: Spec = Spec::new(Length, "mm", (50.0, 5_000.0), (150.0, 1_500.0));
const PETROL: Spec = Spec::new(Temperature, "degC", (-20.0, 40.0), (0.0, 30.0));
const WATER: Spec = Spec::new(Temperature, "degC", (1.0, 60.0), (5.0, 35.0));
const STAMP: Spec = Spec::new(Number, "", (1.0, 1_000.0), (10.0, 400.0));

/// Keys of a test beside the jet's `length`.
pub const KEYS: [&str; 6] = ["volume", "time", "head", "liquid", "temperature", "stamp"];

/// Largest difference of bore at which a number is taken to fit [-]: 2 % of volume, 1 % of time, 3 % of head and 7 % of the
/// discharge coefficient (chamfers) are together 7.6 % of the flow. Common practice.
pub const FITS_WITHIN: f64 = 0.04;
/// Temperature of the petrol that a flow number counts in [K].
const NUMBER_TEMPERATURE: f64 = 293.15;

/// Which family a stamped number belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// The bore in hundredths of a millimetre.
    Bore,
    /// A flow in cc/min.
    Flow,
    /// Both fit; near 100 they agree.
    Either,
    /// Neither fits: worn, reamed, blocked, or the number of another system.
    Neither,
}

/// What the number on a jet would mean.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Stamp {
    /// The number.
    pub number: f64,
    /// Bore [m] if it is hundredths of a millimetre.
    pub bore_by_bore: f64,
    /// Bore [m] if it is cc/min of petrol at 20 degrees Celsius under [`Stamp::head`]; none if no jet of this kind passes that.
    pub bore_by_flow: Option<f64>,
    /// The head [m] that a flow number is taken at.
    pub head: f64,
    /// Head [m] of petrol at which the tested jet passes the number in cc/min, its coefficient taken constant.
    pub head_of_flow: f64,
    /// Which fits the test.
    pub family: Family,
}

/// A test and what follows from it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct FlowTest {
    /// Key of the jet.
    pub key: String,
    /// The liquid.
    pub liquid: &'static str,
    /// Its temperature [K].
    pub temperature: f64,
    /// Head [m].
    pub head: f64,
    /// Flow [m3/s].
    pub flow: f64,
    /// Effective bore [m]: that of a clean hole of the jet's length over bore that passes the flow.
    pub bore: f64,
    /// The number on it.
    pub stamp: Option<Stamp>,
}

/// Reads the test in the table of a jet; its figure is the effective bore, NaN after a problem.
pub fn read(inner: &mut Reader<'_>, ledger: &mut Ledger, role: Role, length: Option<&Figure>) -> Figure {
    let words = [("petrol", TestLiquid::Petrol), ("water", TestLiquid::Water)];
    let liquid = match inner.has("liquid") {
        true => inner.choice(ledger, "liquid", &words, "the liquid that ran through the jet"),
        false => Some(TestLiquid::Petrol),
    };
    let volume = inner.required(ledger, "volume", &VOLUME, "what ran through: volume = \"250 ml\"");
    let time = inner.required(ledger, "time", &TIME, "how long it took: time = \"75 s\"");
    let what = "how high the liquid stood above the jet's outlet, in the mean: head = \"360 mm\"";
    let head = inner.required(ledger, "head", &HEAD, what);
    let spec = if liquid == Some(TestLiquid::Water) { &WATER } else { &PETROL };
    let rule = "20 degC, a shed in the mild season";
    let temperature = Estimate::fixed(spec, 20.0, (10.0, 25.0), rule, COMMON);
    let temperature = inner.estimated(ledger, "temperature", spec, temperature);
    let stamp = inner.optional(ledger, "stamp", &STAMP);
    let path = inner.path("volume");
    let figure = |kept| Figure { kept, place: volume.place.clone(), key: path.clone(), spec: role.bore };
    let flow = volume.kept / time.kept;
    let given = [flow, head.kept, temperature.kept, length.map_or(1.0, |l| l.kept)];
    let (Some(liquid), true) = (liquid, given.iter().all(|v| v.is_finite())) else { return figure(f64::NAN) };
    let column = Column { liquid, temperature: temperature.kept, head: head.kept };
    let slenderness = |bore: f64| length.map_or(role.slenderness, |l| l.kept / bore);
    let bore = root::find(|d| column.flow(d, slenderness(d)) - flow, 1.0e-5, 1.0e-2, 1.0e-10).ok().map(|r| r.x);
    let Some(bore) = bore.filter(|b| role.bore.accepts(*b)) else {
        ledger.note(
            Problem::error(format!("no jet of this kind passes `{path}` in that time"))
                .at(volume.place.clone(), format!("{:.1} cc/min at {}", flow * 6e7, head.label()))
                .against(time.place.clone(), format!("in {}", time.label()))
                .allowed(format!("a bore of {}", role.bore.show_range(role.bore.allowed)))
                .help("check the units, and that `head` is the height of the liquid above the jet's outlet"),
        );
        return figure(f64::NAN);
    };
    if column.weber(bore, flow) < WEBER_LOWEST {
        ledger.note(
            Problem::warning(format!("`{}` is too low for this jet: it drips instead of running", head.key))
                .at(head.place.clone(), head.label())
                .help("raise the can until the stream runs free of the jet, and measure again"),
        );
    }
    if let Some(entry) = ledger.origins.iter_mut().rev().find(|o| o.key == path) {
        entry.shown = format!("{}, bore {}", entry.shown, role.bore.show(bore));
    }
    let key = inner.prefix.clone();
    let stamp = stamp.filter(|s| s.kept.is_finite()).map(|s| Stamp::of(s.kept, bore, slenderness(bore)));
    ledger.flow_tests.push(FlowTest {
        key,
        liquid: liquid.name(),
        temperature: temperature.kept,
        head: head.kept,
        flow,
        bore,
        stamp,
    });
    figure(bore)
}

impl Stamp {
    /// What `number` means on a jet whose test gave `bore` [m], its length over bore [-].
    #[must_use]
    pub fn of(number: f64, bore: f64, slenderness: f64) -> Self {
        let head = USUAL_HEAD * 1e-3;
        let bore_by_bore = number * 1e-5;
        let petrol = Fuel::petrol(745.0, NUMBER_TEMPERATURE);
        let bore_by_flow = bore_for_flow(number / 6e7, head, slenderness, None, &petrol);
        let flow = flow_of(&Jet { bore, length: slenderness * bore }, head, &petrol) * 6e7;
        let fits = |meant: f64| (bore / meant - 1.0).abs() <= FITS_WITHIN;
        let family = match (fits(bore_by_bore), bore_by_flow.is_some_and(fits)) {
            (true, true) => Family::Either,
            (true, false) => Family::Bore,
            (false, true) => Family::Flow,
            (false, false) => Family::Neither,
        };
        Self {
            number,
            bore_by_bore,
            bore_by_flow,
            head,
            head_of_flow: head * (number / flow) * (number / flow),
            family,
        }
    }
}
