//! The exhaust of the file: port, header, silencer.

use super::ledger::{Figure, Ledger};
use super::pipe::{BEND, DIAMETER, LOSS, PORT_HEAT};
use super::reader::Reader;
use super::spec::{COMMON, Estimate, Spec};
use crate::hardware::duct::Piece;
use crate::hardware::exhaust::{Exhaust, Silencer};
use crate::units::Dimension::{Length, Number, Pressure, Temperature, Volume};

const BACK_PRESSURE: Spec = Spec::new(Pressure, "kPa", (0.0, 60.0), (0.0, 20.0));
const LENGTH: Spec = Spec::new(Length, "mm", (100.0, 3000.0), (300.0, 1800.0));
const WALL: Spec = Spec::new(Temperature, "degC", (0.0, 900.0), (150.0, 600.0));
const SIZE: Spec = Spec::new(Volume, "L", (0.05, 50.0), (0.3, 20.0));
const ENTRY: Spec = Spec::new(Number, "", (0.05, 1.0), (0.2, 1.0));
const END: Spec = Spec::new(Number, "", (0.0, 1.0), (0.5, 0.85));

/// Length of the port in the head [m]. Common practice, no source: 60 to 80 mm.
const PORT_LENGTH: f64 = 0.07;
/// Back pressure below which the exhaust is an open pipe [Pa].
const OPEN_PIPE: f64 = 100.0;

/// Filling at which the back pressure is quoted [-]. Common practice: peak of a mild single 0.80 to 0.90.
const FILLING: f64 = 0.85;
/// Air-fuel ratio there [-]. Common practice.
const AFR: f64 = 13.0;
/// Density of standard air at sea level [kg/m3]. Source: ISO 2533.
const STANDARD_DENSITY: f64 = 1.225;
/// Standard pressure at sea level [Pa]. Source: ISO 2533.
const STANDARD_PRESSURE: f64 = 101_325.0;
/// Temperature of the gas in the silencer at full throttle [K]. Common practice, no source: 800 to 950.
const SILENCER_TEMPERATURE: f64 = 850.0;
/// Gas constant of burnt gas [J/(kg K)]; that of stoichiometric petrol is within 1 %.
const R_BURNT: f64 = 289.0;

/// What the engine says about its exhaust.
#[derive(Debug, Clone, Copy)]
pub struct Usual {
    /// Diameter of one port that has as much area as all exhaust throats [m].
    pub throat: f64,
    /// Swept volume [m3].
    pub swept: f64,
    /// Highest speed [rpm].
    pub highest: f64,
}

/// Effective area [m2] of a silencer's way out at which the mean back pressure at full throttle and highest speed is
/// `back` [Pa]: `A = m / sqrt(2 rho dp)` with the flow of standard air at sea level. Within a tenth: the flow pulsates.
fn outlet(usual: Usual, back: f64) -> f64 {
    let flow = FILLING * STANDARD_DENSITY * usual.swept * usual.highest / 120.0 * (1.0 + 1.0 / AFR);
    let rho = (STANDARD_PRESSURE + back) / (R_BURNT * SILENCER_TEMPERATURE);
    flow / (2.0 * rho * back).sqrt()
}

/// Reads the exhaust's table.
pub fn read(t: &mut Reader<'_>, ledger: &mut Ledger, usual: Usual) -> Exhaust {
    let back = Estimate::fixed(&BACK_PRESSURE, 5.5, (3.0, 8.0), "5.5 kPa, mean at full throttle", COMMON);
    let back = t.estimated(ledger, "back_pressure", &BACK_PRESSURE, back);
    let length = Estimate::fixed(&LENGTH, 850.0, (700.0, 1000.0), "850 mm from the valve to the silencer", COMMON);
    let length = t.estimated(ledger, "length", &LENGTH, length);
    let diameter = "1.15 x the diameter of one port with the area of all exhaust throats";
    let diameter = Estimate::times(usual.throat, 1.15, (1.05, 1.3), diameter, COMMON);
    let diameter = t.estimated(ledger, "diameter", &DIAMETER, diameter);
    let wall = "350 degC, a bare steel header at full throttle";
    let wall = Estimate::fixed(&WALL, 350.0, (250.0, 450.0), wall, COMMON);
    let wall = t.estimated(ledger, "wall", &WALL, wall);
    let rule = "0.4 of a velocity head: two bends of 90 degrees at a radius of twice the diameter, 0.2 each";
    let loss = Estimate::fixed(&LOSS, 0.4, (0.2, 0.8), rule, BEND);
    let loss = t.estimated(ledger, "loss", &LOSS, loss);
    let volume = Estimate::times(usual.swept, 8.0, (5.0, 12.0), "8 x the swept volume", COMMON);
    let volume = t.estimated(ledger, "silencer_volume", &SIZE, volume);
    let rule = "0.65 of the header's area: a sharp-edged baffle or perforated tube as wide as the header";
    let entry = Estimate::fixed(&ENTRY, 0.65, (0.5, 1.0), rule, COMMON);
    let entry = t.estimated(ledger, "silencer_entry", &ENTRY, entry);
    let end = Estimate {
        value: 0.6133,
        low: 0.6133,
        high: 0.8217,
        rule: "0.6133, a pipe without flange; 0.8217 into a silencer's flat end".into(),
        source: "Levine & Schwinger 1948 (from memory)",
    };
    let end = t.estimated(ledger, "end_correction", &END, end);
    let silencer = (back.kept > OPEN_PIPE).then(|| Silencer {
        entry: entry.kept,
        volume: volume.kept,
        outlet: outlet(usual, back.kept),
    });
    Exhaust {
        pieces: pieces(usual, &length, &diameter, &wall, &loss),
        end_correction: end.kept,
        silencer,
        back_pressure: 0.0,
    }
}

/// Port and header.
fn pieces(usual: Usual, length: &Figure, diameter: &Figure, wall: &Figure, loss: &Figure) -> Vec<Piece> {
    let port = PORT_LENGTH.min(0.5 * length.kept);
    vec![
        Piece { heat_factor: PORT_HEAT, ..Piece::plain("exhaust port", port, usual.throat, diameter.kept, wall.kept) },
        Piece {
            loss: loss.kept,
            heat_factor: PORT_HEAT,
            ..Piece::plain("header", length.kept - port, diameter.kept, diameter.kept, wall.kept)
        },
    ]
}
