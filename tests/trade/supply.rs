//! The known starting point with a starved inlet.
//!
//! Common practice of the trade: a 1.2 mm restriction under 200 mm of head passes about 81 cc/min; a 650-class single holds 60 to 62 mph on
//! it, and with 40 to 60 cc in the bowl runs dry after 1.2 to 7 miles at 70 mph and 0.8 to 2.6 at 75 mph; "two or three miles at 70 to 75".

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use bellmouth::hardware::supply_line::{Inlet, SupplyLine};
use bellmouth::rig::settings::Settings;
use bellmouth::setup::{Setup, load_text};
use bellmouth::study::road::{Asked, OnRoad, hold_all};
use bellmouth::study::supply::{Demand, Network, Ride, Rider, fluids};

const ENGINE: &str = include_str!("single_650.toml");
const TEXT: &str = include_str!("single_650_supply.toml");
/// One mile an hour [m/s], exact.
const MPH: f64 = 0.44704;
const CC_MIN: f64 = 1e-6 / 60.0;

fn known() -> Setup {
    load_text("single_650_supply.toml", TEXT).unwrap().value
}

/// The trade's figure: one hole of 1.2 mm and nothing else, `usable` in the bowl [m3], the needle quick to open.
fn one_hole(setup: &Setup, usable: f64) -> SupplyLine {
    let mut line = setup.supply.as_ref().unwrap().line;
    line.inlet = Inlet::Effective { bore: 1.2e-3 };
    (line.needle.seat, line.needle.lift, line.needle.over) = (8e-3, 8e-3, 1e-6);
    line.bowl.usable = usable;
    line
}

fn ride(setup: &Setup, usable: f64, held: f64) -> Ride {
    let (fuel, air) = fluids(&setup.machine);
    let line = one_hole(setup, usable);
    let (network, open_cap) = (Network::new(&line, fuel, air, true), Network::new(&line, fuel, air, false));
    let vent = line.vent(air);
    let (held, eased) = (Demand::constant(held, 0.9), Demand::constant(40.0 * CC_MIN, 0.9));
    let air_pressure = setup.machine.air.pressure;
    Rider { network: &network, open_cap: &open_cap, vent: &vent, air_pressure, head: 0.2, held: &held, eased: &eased }
        .ride()
        .unwrap()
}

/// Miles until dry at `mph` when the engine takes `cc_min`.
fn miles(setup: &Setup, usable_cc: f64, mph: f64, cc_min: f64) -> f64 {
    let r = ride(setup, usable_cc * 1e-6, cc_min * CC_MIN);
    assert!(r.recovers_after.is_some(), "it recovers when eased");
    r.stops_after.unwrap() * mph / 3600.0
}

#[test]
fn the_supply_file_begins_with_the_known_starting_point_unchanged() {
    assert!(TEXT.starts_with(ENGINE));
}

#[test]
fn a_hole_of_1_2_mm_passes_81_cc_a_minute_and_lasts_the_trades_miles_on_the_trades_fuel() {
    let setup = known();
    let (fuel, air) = fluids(&setup.machine);
    let passes = Network::new(&one_hole(&setup, 50e-6), fuel, air, true).most(0.2) / CC_MIN;
    println!("1.2 mm at 200 mm: {passes:.1} cc/min; common practice: about 81");
    assert!((passes - 81.0).abs() < 1.5, "{passes}");
    // the trade's own fuel: 91 to 119 cc/min at 70 mph, 110 to 144 at 75, 40 to 60 cc in the bowl
    let cases = [(70.0, (91.0, 119.0), (1.2, 7.0)), (75.0, (110.0, 144.0), (0.8, 2.6))];
    for (mph, (least, most), (short, long)) in cases {
        let (soon, late) = (miles(&setup, 40.0, mph, most), miles(&setup, 60.0, mph, least));
        println!("{mph} mph: dry after {soon:.2} to {late:.2} miles; common practice: {short} to {long}");
        // the long way hangs on a deficit of 10 cc/min, of which hose, tap and vent take one
        assert!((soon / short - 1.0).abs() < 0.06 && (late / long - 1.0).abs() < 0.12, "{mph}: {soon} {late}");
    }
}

#[test]
fn the_simulated_engine_runs_dry_on_it_within_a_few_miles_at_seventy() {
    let setup = known();
    let settings = Settings { cell_size: 8e-3, ..Settings::default() };
    let road = OnRoad { machine: &setup.machine, vehicle: setup.road.as_ref().unwrap(), settings: &settings };
    let asked: Vec<Asked> = [60.0, 70.0].map(|v| Asked { speed_m_s: v * MPH, gear: None }).to_vec();
    let held = hold_all(&road, &asked, (NonZeroUsize::new(2).unwrap(), &AtomicBool::new(false))).unwrap();
    let takes: Vec<f64> = held.into_iter().map(|p| p.unwrap().fuel_m3_s.unwrap() / CC_MIN).collect();
    let (sixty, seventy) = (takes[0], takes[1]);
    let enough = 60.0 + 10.0 * (81.0 - sixty) / (seventy - sixty);
    println!("simulated: 60 mph {sixty:.0} cc/min (trade 59 to 77), 70 mph {seventy:.0} (trade 91 to 119)");
    println!("81 cc/min are enough to about {enough:.0} mph; trade: 60 to 62");
    let (soon, late) = (miles(&setup, 40.0, 70.0, seventy), miles(&setup, 60.0, 70.0, seventy));
    println!("70 mph: dry after {soon:.1} to {late:.1} miles; trade: 1.2 to 7, often two or three");
    // the weaker thing that holds: the machine of the middle of the ranges, not jetted, takes more than the trade's
    assert!((54.0..64.0).contains(&enough), "{enough}");
    assert!(soon > 0.8 && late < 7.0, "{soon} {late}");
}
