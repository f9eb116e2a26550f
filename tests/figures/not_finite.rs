//! Numbers that are not finite reach no output, and their point says so: the rule of the house, there is no standard for it.

use bellmouth::plot::MAP_FIGURES;
use bellmouth::report::{cycle_json, map_csv, map_json, map_text};
use bellmouth::units::Units;

use crate::synthetic::{cycle, whole};

const SENSELESS: [f64; 3] = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY];

/// Cells of the row at `place`, with their heads.
fn row(csv: &str, place: usize) -> Vec<(String, String)> {
    let mut lines = csv.lines();
    let heads = lines.next().unwrap().split(',').map(str::to_owned);
    heads.zip(lines.nth(place).unwrap().split(',').map(str::to_owned)).collect()
}

#[test]
fn csv_and_json_leave_the_cell_empty_and_the_point_is_not_converged_with_a_reason() {
    for bad in SENSELESS {
        let mut map = whole(&[0.25, 0.5, 1.0], &[2000.0, 3000.0, 4000.0]);
        map.points[2].afr = Some(bad);
        map.points[4].torque_nm = Some(bad);
        map.points[4].power_kw = Some(bad);
        assert!(map.points.iter().all(|point| point.converged));
        let csv = map_csv(&map).unwrap();
        let json: serde_json::Value = serde_json::from_str(&map_json(&map).unwrap()).unwrap();
        for (place, empty) in [(2, vec!["afr"]), (4, vec!["torque_nm", "power_kw"])] {
            let cells = row(&csv, place);
            let cell = |head: &str| &cells.iter().find(|(h, _)| h == head).unwrap().1;
            let before = row(&map_csv(&whole(&[0.25, 0.5, 1.0], &[2000.0, 3000.0, 4000.0])).unwrap(), place);
            let point = &json["points"][place];
            for name in &empty {
                assert_eq!(cell(name), "", "{name} of {place}");
                assert!(point[name].is_null());
            }
            assert_eq!((cell("converged").as_str(), cell("status").as_str()), ("false", "failed"));
            assert_eq!((&point["converged"], &point["status"]), (&false.into(), &"failed".into()));
            let note = point["note"].as_str().unwrap();
            assert!(note.ends_with(&format!("not a finite number: {}", empty.join(", "))), "{note}");
            let others = |cells: &[(String, String)]| -> Vec<(String, String)> {
                let touched = |head: &str| empty.contains(&head) || head == "converged" || head == "status";
                cells.iter().filter(|(head, _)| !touched(head)).cloned().collect()
            };
            assert_eq!(others(&cells), others(&before), "the rest of the row stays");
        }
        let text = csv.to_lowercase();
        assert!(!text.contains("nan") && !text.contains("inf"), "{csv}");
        assert_eq!(row(&csv, 0), row(&map_csv(&whole(&[0.25, 0.5, 1.0], &[2000.0, 3000.0, 4000.0])).unwrap(), 0));
    }
}

#[test]
fn tables_pictures_and_a_cycle_hold_no_such_number_either() {
    for bad in SENSELESS {
        let mut map = whole(&[0.25, 0.5, 1.0], &[2000.0, 3000.0, 4000.0]);
        for value in [0, 4, 8] {
            let point = &mut map.points[value];
            for number in
                [&mut point.afr, &mut point.lambda, &mut point.torque_nm, &mut point.torque_lost, &mut point.ve]
            {
                *number = Some(bad);
            }
        }
        let text = map_text(&map);
        assert!(!text.contains("NaN") && !text.contains(" inf"), "{text}");
        for (name, figure) in MAP_FIGURES {
            let picture = figure(&map, &Units::default()).unwrap();
            assert!(picture.starts_with(b"\x89PNG"), "{name}");
        }
        let mut one = cycle();
        one.point.afr = Some(bad);
        let json: serde_json::Value = serde_json::from_str(&cycle_json(&one).unwrap()).unwrap();
        assert!(json["point"]["afr"].is_null() && json["point"]["converged"] == false);
    }
}
