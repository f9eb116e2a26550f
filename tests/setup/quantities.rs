//! Numbers with units: there and back, and against published conversion factors.

use bellmouth::units::table::UNITS;
use bellmouth::units::{Dimension, QuantityError, format as write, parse};

fn close(a: f64, b: f64, relative: f64) -> bool {
    (a - b).abs() <= relative * a.abs().max(b.abs())
}

#[test]
fn what_is_printed_reads_back_as_the_same_value() {
    for unit in UNITS.iter().filter(|u| !u.name().is_empty()) {
        for i in 0..400 {
            // 1e-6 to 1e6 in uneven steps; offsets of temperature cost digits, hence the absolute part
            let number = 1.000_123_4e-6 * 1.072_f64.powi(i);
            let kept = (unit.to_kept)(number);
            let text = write(kept, unit.dimension, unit.name());
            let back = parse(&text, unit.dimension).unwrap_or_else(|e| panic!("{text}: {e}"));
            let room = if unit.dimension == Dimension::Temperature { 1e-13 * kept.abs() } else { 0.0 };
            assert!(close(back, kept, 4.0 * f64::EPSILON) || (back - kept).abs() <= room, "{text}: {back:e} {kept:e}");
        }
    }
}

#[test]
fn every_unit_goes_out_and_back() {
    for unit in UNITS {
        for number in [0.1, 1.0, 38.0, 1496.0] {
            let back = (unit.from_kept)((unit.to_kept)(number));
            assert!((back - number).abs() < 1e-9 * (1.0 + number.abs()), "{} {number} {back}", unit.name());
        }
    }
}

#[test]
fn factors_agree_with_published_ones() {
    // NIST SP 811 (2008), appendix B.8, to the digits printed there; exact ones marked so
    let table = [
        ("1 in", Dimension::Length, 0.0254, 1e-15),    // exact
        ("1 thou", Dimension::Length, 2.54e-5, 1e-15), // exact
        ("1 ft", Dimension::Length, 0.3048, 1e-15),    // exact
        ("1 in2", Dimension::Area, 6.4516e-4, 1e-15),  // exact
        ("1 mm2", Dimension::Area, 1e-6, 1e-15),       // exact
        ("1 in3", Dimension::Volume, 1.638_706e-5, 1e-6),
        ("1 L", Dimension::Volume, 1e-3, 1e-15),  // exact
        ("1 cc", Dimension::Volume, 1e-6, 1e-15), // exact
        ("1 inHg", Dimension::Pressure, 3_386.389, 1e-6),
        ("1 mmHg", Dimension::Pressure, 133.322_4, 1e-6),
        ("1 inH2O", Dimension::Pressure, 249.088_9, 1e-6),
        ("1 psi", Dimension::Pressure, 6_894.757, 1e-6),
        ("1 mbar", Dimension::Pressure, 100.0, 1e-15), // exact
        ("1 hPa", Dimension::Pressure, 100.0, 1e-15),  // exact
        ("70 degF", Dimension::Temperature, 294.261_111_111, 1e-11), // (t + 459.67)/1.8, exact
        ("21 degC", Dimension::Temperature, 294.15, 1e-15), // exact
        ("1 g", Dimension::Acceleration, 9.806_65, 1e-15), // exact
        ("1 kgf", Dimension::Force, 9.806_65, 1e-15),  // exact
        ("1 N/mm", Dimension::SpringRate, 1e3, 1e-12), // exact
        ("180 deg", Dimension::Angle, std::f64::consts::PI, 1e-15),
        ("60 cc/min", Dimension::VolumeFlow, 1e-6, 1e-12), // exact
        ("3.6 L/h", Dimension::VolumeFlow, 1e-6, 1e-12),   // exact
        ("2 min", Dimension::Time, 120.0, 1e-15),          // exact
        ("75 s", Dimension::Time, 75.0, 1e-15),            // exact
        ("0.745 g/cc", Dimension::Density, 745.0, 1e-12),  // exact
    ];
    for (text, dimension, wanted, tolerance) in table {
        let got = parse(text, dimension).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(got, wanted, tolerance), "{text}: {got} against {wanted}");
    }
}

#[test]
fn the_trade_s_ways_of_writing_numbers_are_read() {
    let table = [
        ("2 1/2 turns", Dimension::Turns, 2.5),
        ("1/2 turn", Dimension::Turns, 0.5),
        ("3/32 in", Dimension::Length, 3.0 / 32.0 * 0.0254),
        ("1 1/2 in", Dimension::Length, 1.5 * 0.0254),
        ("-1 1/2 in", Dimension::Length, -1.5 * 0.0254),
        ("1.496in", Dimension::Length, 1.496 * 0.0254),
        ("  38   mm ", Dimension::Length, 0.038),
        ("5 inches", Dimension::Length, 0.127),
        (".5 mm", Dimension::Length, 5e-4),
        ("1e-3 m", Dimension::Length, 1e-3),
        ("+4 mm", Dimension::Length, 4e-3),
        ("200 cm²", Dimension::Area, 0.02),
        ("1 1/2 litres", Dimension::Volume, 1.5e-3),
        ("650 cc", Dimension::Volume, 6.5e-4),
        ("21 °C", Dimension::Temperature, 294.15),
        ("-40 degF", Dimension::Temperature, 233.15),
        ("1/8", Dimension::Share, 0.125),
        ("12.5 %", Dimension::Share, 0.125),
        ("0.125", Dimension::Share, 0.125),
        ("9.3:1", Dimension::Number, 9.3),
        ("9.3 to 1", Dimension::Number, 9.3),
        ("9.3", Dimension::Number, 9.3),
        ("6500 rpm", Dimension::Speed, 6500.0),
    ];
    for (text, dimension, wanted) in table {
        let got = parse(text, dimension).unwrap_or_else(|e| panic!("{text}: {e}"));
        assert!(close(got, wanted, 1e-12), "{text}: {got} against {wanted}");
    }
}

#[test]
fn what_is_not_a_quantity_says_why() {
    let unit = |u: &str| QuantityError::UnknownUnit(u.into());
    let table = [
        ("", QuantityError::NoNumber),
        ("mm", QuantityError::NoNumber),
        ("-", QuantityError::NoNumber),
        ("1.2.3 mm", QuantityError::NoNumber),
        ("38", QuantityError::NoUnit),
        ("38,5 mm", QuantityError::Comma),
        ("38 MM", unit("MM")),
        ("38 furlongs", unit("furlongs")),
        ("3/ 4 mm", QuantityError::NoNumber),
        ("3/0 in", QuantityError::ZeroBelow),
        ("nan mm", QuantityError::NotFinite),
        ("inf", QuantityError::NotFinite),
        ("-inf mm", QuantityError::NotFinite),
        ("1e400 mm", QuantityError::NotFinite),
        ("1e308 km", QuantityError::NotFinite),
        ("00000000000000000000000000000000000000038 mm", QuantityError::TooLong),
        ("38 degC", QuantityError::OtherDimension { unit: "degC".into(), of: Dimension::Temperature }),
        ("38 mm mm", unit("mm mm")),
        ("5 °", QuantityError::OtherDimension { unit: "°".into(), of: Dimension::Angle }),
    ];
    for (text, wanted) in table {
        assert_eq!(parse(text, Dimension::Length).err(), Some(wanted), "{text:?}");
    }
}

#[test]
fn any_text_gives_a_finite_value_or_an_error() {
    // every text of up to four pieces out of what quantities are made of
    let pieces = ["", "1", "-", "+", ".", "/", " ", "e", "9", "mm", "in", ",", "\"", "°", "é", "0"];
    for a in pieces {
        for b in pieces {
            for c in pieces {
                for d in pieces {
                    let text = format!("{a}{b}{c}{d}");
                    for dimension in Dimension::ALL {
                        if let Ok(value) = parse(&text, dimension) {
                            assert!(value.is_finite(), "{text:?}");
                        }
                    }
                }
            }
        }
    }
}

#[test]
fn no_two_units_of_a_dimension_share_a_spelling() {
    for (i, a) in UNITS.iter().enumerate() {
        for b in &UNITS[i + 1..] {
            if a.dimension == b.dimension {
                assert!(!a.spellings.iter().any(|s| b.spellings.contains(s)), "{} and {}", a.name(), b.name());
            }
        }
    }
}
