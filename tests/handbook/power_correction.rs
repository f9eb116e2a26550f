//! Power correction by the standards.

use bellmouth::laws::power_correction::{Standard, VALID};

use super::{near, source};

#[test]
fn power_correction_agrees_with_the_worked_table_of_both_standards() {
    source("SAE J1349 June 1990 as quoted, ISO 1585 in SI (from memory), worked by hand to five decimals");
    for (kilopascal, celsius, sae, later, iso) in [
        (99.0, 25.0, 1.0, 1.0, 1.0),
        (95.0, 30.0, 1.05996, 1.05981, 1.06128),
        (90.0, 20.0, 1.10706, 1.10679, 1.10984),
        (101.325, 15.0, 0.95341, 0.95353, 0.95281),
    ] {
        let (p, t) = (1e3 * kilopascal, celsius + 273.15);
        for (standard, want) in [(Standard::SaeJ1349, sae), (Standard::Iso1585, iso)] {
            near(standard.formula(p, t), want, 6e-6);
            let within = want >= VALID.0 && want <= VALID.1;
            match standard.correction(p, t) {
                Ok(c) => assert!(within && (c.factor - want).abs() < 6e-6 && c.standard == standard, "{c:?}"),
                Err(refused) => {
                    assert!(!within, "{refused}");
                    let said = refused.to_string();
                    for word in [standard.name(), "1.1", "90.0 kPa", "20.0 degC", "0.93 to 1.07"] {
                        assert!(said.contains(word), "{said}");
                    }
                }
            }
        }
        // The later issue's constants, for how little they move it.
        near((Standard::SaeJ1349.formula(p, t) + 0.180) / 1.180 * 1.177 - 0.177, later, 6e-6);
    }
    for standard in [Standard::SaeJ1349, Standard::Iso1585] {
        assert!(standard.correction(f64::NAN, 298.0).is_err() && standard.correction(0.0, 298.0).is_err());
        // thinner or warmer air: the engine is owed more
        assert!(standard.formula(95e3, 298.0) > standard.formula(99e3, 298.0));
        assert!(standard.formula(99e3, 308.0) > standard.formula(99e3, 298.0));
    }
}
