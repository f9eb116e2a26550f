//! Puts the machine together once before a run, so that what cannot run at all is said once, and nothing is written.

use super::console::style;
use super::ending::Failure;
use crate::diagnostics::{Problem, render};
use crate::hardware::machine::Machine;
use crate::rig::error::RigError;
use crate::rig::machine_state::{OperatingPoint, Rig};
use crate::rig::settings::Settings;

/// Refuses a machine that cannot be cut into cells.
///
/// # Errors
/// [`Failure::Input`] with the part, the sizes and what to do.
pub fn check(machine: &Machine, settings: &Settings) -> Result<(), Failure> {
    let point = OperatingPoint { rpm: machine.engine.highest_rpm, lift: machine.carburettor.slide.bore };
    match Rig::cold(machine, point, settings) {
        Ok(_) => Ok(()),
        Err(error) => Err(Failure::Input(render(&[problem(&error)], style()))),
    }
}

fn problem(error: &RigError) -> Problem {
    match error {
        RigError::Grid { part, error } => {
            Problem::error(format!("the {part} cannot be cut into cells: {error}")).help(error.help())
        }
        RigError::TooManyCells { .. } => Problem::error(error.to_string())
            .help("ask for larger cells with `--cell-size`, and look for a length that is too large"),
        _ => Problem::error(error.to_string()),
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::setup::{load_text, template};

    fn machine() -> Machine {
        load_text("template", template()).unwrap().value.machine
    }

    fn refused(machine: &Machine, settings: &Settings) -> String {
        let Err(Failure::Input(text)) = check(machine, settings) else { panic!("it can be cut") };
        text.split_whitespace().filter(|word| *word != "│").collect::<Vec<_>>().join(" ")
    }

    #[test]
    fn the_template_can_be_cut() {
        check(&machine(), &Settings::default()).unwrap();
    }

    #[test]
    fn a_part_too_short_is_named_with_what_to_do() {
        let said = refused(&machine(), &Settings { cell_size: 0.08, ..Settings::default() });
        assert!(said.contains("the passage before the slide cannot be cut into cells"), "{said}");
        assert!(said.contains("ask for cells of at most"), "{said}");
    }

    #[test]
    fn too_many_cells_are_said_with_the_limit() {
        let mut machine = machine();
        machine.engine.inlet[0].length = 200.0;
        let said = refused(&machine, &Settings::default());
        assert!(said.contains("more than 20000") && said.contains("`--cell-size`"), "{said}");
    }
}
