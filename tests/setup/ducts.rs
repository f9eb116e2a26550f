//! What the reader refuses as too steep or too short is what the grid of the gas cannot take, no more and no less.

use std::path::{Path, PathBuf};

use bellmouth::gas::grid::check_piece;
use bellmouth::hardware::duct::{Piece, USUAL_CELL};
use bellmouth::rig::error::RigError;
use bellmouth::rig::machine_state::{OperatingPoint, Rig};
use bellmouth::rig::settings::Settings;
use bellmouth::setup::{load_for_cells, load_text, template};

/// A file with the template, `lines` in place of what stands below each heading named.
fn file(folder: &Path, lines: &[(&str, String)]) -> PathBuf {
    let mut text = template().to_string();
    for (heading, by) in lines {
        let (before, rest) = text.split_once(&format!("\n{heading}\n")).expect("the heading");
        let end = rest.find("\n\n").expect("an end of the table");
        text = format!("{before}\n{heading}\n{by}\n{}", &rest[end..]);
    }
    let path = folder.join("ducts.toml");
    std::fs::write(&path, text).expect("a written file");
    path
}

#[test]
fn the_usual_cell_is_that_of_the_settings() {
    assert!((Settings::default().cell_size - USUAL_CELL).abs() < 1e-15);
}

#[test]
fn a_part_is_too_short_for_the_reader_when_it_is_for_the_grid() {
    let folder = tempfile::tempdir().expect("a folder");
    let (mut refused, mut taken) = (0, 0);
    for mm in [2.0, 3.0, 5.9, 6.0, 6.1, 7.4, 7.5, 7.6, 14.9, 15.0, 30.0] {
        for (spigot, boot) in [(38.0, 38.0), (38.0, 40.0), (39.0, 40.0)] {
            let lines = [
                ("[carburettor.spigot]", format!("length = \"{mm} mm\"\ndiameter = \"{spigot} mm\"")),
                ("[engine.boot]", format!("length = \"{mm} mm\"\nfrom = \"{boot} mm\"\nto = \"{boot} mm\"")),
                ("[carburettor.mouth]", format!("length = \"{mm} mm\"\nkind = \"flush\"")),
            ];
            let path = file(folder.path(), &lines);
            let any = load_for_cells(&path, None, 1e-3).unwrap_or_else(|report| panic!("{report}")).value.machine;
            for cell_size in [1e-3, 4e-3, 5e-3, 10e-3] {
                let settings = Settings { cell_size, ..Settings::default() };
                let rig = Rig::cold(&any, OperatingPoint { rpm: 3000.0, lift: 0.01 }, &settings);
                let read = load_for_cells(&path, None, cell_size);
                assert_eq!(read.is_err(), rig.is_err(), "{mm} mm, {spigot} to {boot} mm, cells of {cell_size} m");
                match (read, rig) {
                    (Err(report), Err(RigError::Grid { .. })) => {
                        assert!(report.problems.iter().all(|p| !p.message.contains("two steps") || p.place.is_some()));
                        refused += 1;
                    }
                    (Ok(_), Ok(_)) => taken += 1,
                    other => panic!("{other:?}"),
                }
            }
        }
    }
    assert!(refused > 30 && taken > 30, "{refused} {taken}");
}

#[test]
fn a_taper_is_too_steep_for_the_reader_when_it_is_for_the_grid() {
    let (mut refused, mut taken) = (0, 0);
    for mm in [8.0, 10.0, 12.0, 20.0] {
        for end in [30.0, 34.0, 54.0, 58.0, 62.0, 62.1, 80.0] {
            let piece = Piece::plain("spigot", mm * 1e-3, 0.038, end * 1e-3, 300.0);
            let text = template().replacen("length = \"47 mm\"", &format!("length = \"{mm} mm\""), 1).replacen(
                "diameter = \"38 mm\"",
                &format!("diameter = \"{end} mm\""),
                1,
            );
            let steep =
                load_text("taper", &text).is_err_and(|r| r.to_string().contains("spigot is too short for its taper"));
            assert_eq!(steep, check_piece(&piece).is_err(), "{mm} mm to {end} mm");
            refused += usize::from(steep);
            taken += usize::from(!steep);
        }
    }
    assert!(refused > 3 && taken > 3, "{refused} {taken}");
}
