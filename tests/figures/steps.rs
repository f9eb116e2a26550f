//! What one step of each part does: its pictures, its table and its file.

use bellmouth::plot::{PlotError, afr_against_throttle, bypass_holes, hand_over, ink, who_is_in_charge};
use bellmouth::report::{map_json, map_text, steps_csv, steps_text};
use bellmouth::study::map::MapResult;
use bellmouth::study::steps_result::{Change, Fuelling, StepsResult};

use super::pictures::keep;
use super::synthetic;

type Figure = fn(&str, &StepsResult) -> Result<Vec<u8>, PlotError>;

const FIGURES: [(&str, Figure, (u32, u32)); 3] = [
    ("who_is_in_charge", |name, s| who_is_in_charge(name, s, 4000.0), (1600, 1640)),
    ("hand_over", |name, s| hand_over(name, &s.hand_over), (1600, 1240)),
    ("bypass_holes", |name, s| bypass_holes(name, s, 4000.0), (1600, 1300)),
];

#[test]
fn each_picture_is_drawn_at_its_size_with_clear_edges_and_the_same_bytes_twice() {
    let steps = synthetic::steps();
    for (name, draw, size) in FIGURES {
        let bytes = draw("synthetic single", &steps).unwrap();
        keep(name, &bytes);
        let seen = ink(&bytes).unwrap();
        assert_eq!((seen.width, seen.height), size, "{name}");
        assert!(seen.colours > 100 && seen.drawn_share > 0.05 && seen.clear_edges, "{name}: {seen:?}");
        assert_eq!(bytes, draw("synthetic single", &steps).unwrap(), "{name}");
    }
}

#[test]
fn nothing_known_one_point_and_extreme_values_are_drawn_without_panic() {
    let mut cases = Vec::new();
    let mut none = synthetic::steps();
    none.points.clear();
    none.small.clear();
    none.hand_over.quarters = [None; 3];
    cases.push(none);
    let mut one = synthetic::steps();
    one.points.truncate(1);
    one.openings.clear();
    cases.push(one);
    for value in [0.0, -3.0, 1e300, f64::NAN, f64::INFINITY, 5e-324] {
        let mut odd = synthetic::steps();
        for effect in odd.points.iter_mut().flat_map(|p| &mut p.parts) {
            effect.mixture.per_step = Some(value);
            effect.share = Some(value);
        }
        for opening in odd.points.iter_mut().flat_map(|p| &mut p.base.pilot_openings) {
            opening.gas_taken_g_s = value;
            opening.fuel_g_s = value;
        }
        for row in &mut odd.hand_over.rows {
            row.ring_m2 = value;
            row.main_jet_share = value;
        }
        odd.hand_over.quarters = [Some(value); 3];
        cases.push(odd);
    }
    for (place, steps) in cases.iter().enumerate() {
        for (name, draw, _) in FIGURES {
            let long = "a very long name \u{1b}[31m of a set-up ".repeat(30);
            let bytes = draw(&long, steps).unwrap();
            keep(&format!("{name}_case_{place}"), &bytes);
            assert!(ink(&bytes).unwrap().clear_edges, "{name}, case {place}");
        }
        assert!(steps_text(steps).lines().all(|l| l.chars().count() <= 80), "{}", steps_text(steps));
        steps_csv(steps).unwrap();
    }
}

#[test]
fn a_change_is_half_the_difference_of_both_sides_or_the_one_there_is() {
    let c = Change::between(Some(2.0), Some(2.2), Some(1.9));
    let close = |a: Option<f64>, b: f64| assert!((a.unwrap() - b).abs() < 1e-12, "{a:?} and {b}");
    close(c.up, 10.0);
    close(c.down, -5.0);
    close(c.per_step, 7.5);
    close(Change::between(Some(2.0), None, Some(1.9)).per_step, 5.0);
    close(Change::between(Some(2.0), Some(1.8), None).per_step, -10.0);
    assert_eq!(Change::between(None, Some(1.0), Some(1.0)), Change::default());
    assert_eq!(Change::between(Some(0.0), Some(1.0), Some(1.0)), Change::default());
    let mut run = Fuelling::of(&synthetic::point(0.5, 3000.0));
    assert!(run.richness().is_some() && run.fuel().is_some());
    run.converged = false;
    assert_eq!((run.richness(), run.fuel()), (None, None), "what is not periodic counts nowhere");
}

#[test]
fn the_table_shows_signs_and_one_sided_steps_and_fits_80_columns() {
    let mut map = synthetic::map();
    map.steps = Some(synthetic::steps());
    let text = map_text(&map);
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    for words in ["What one step does at 4000 rpm", "+2.00*", "One step, the richer way", "bore +0.025 mm (+2.5)"] {
        assert!(text.contains(words), "no {words}: {text}");
    }
    assert!(text.contains("Needle jet and main jet in series"));
    assert!(!map_text(&synthetic::map()).contains("one step"));
}

#[test]
fn the_file_has_a_row_for_each_part_at_each_point_and_json_reads_back() {
    let steps = synthetic::steps();
    let text = steps_csv(&steps).unwrap();
    let head = "throttle,rpm,part,setting,step,mixture_percent,mixture_up_percent,mixture_down_percent,fuel_percent,\
        fuel_up_percent,fuel_down_percent,share,afr,afr_up,afr_down,afr_metered,afr_metered_up,afr_metered_down,fuel_g_s,\
        fuel_g_s_up,fuel_g_s_down,torque_nm,torque_nm_up,torque_nm_down,note_up,note_down";
    assert_eq!(text.lines().next(), Some(head));
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
    assert_eq!(rows.len(), steps.points.len() * steps.parts.len());
    let one_sided = &rows[steps.parts.len() + 3];
    assert_eq!((&one_sided[2], &one_sided[5], &one_sided[6]), ("cutaway", "2", ""));
    assert_eq!((&one_sided[13], &one_sided[24]), ("", "no further groove: the clip is in 5 of 5"));
    assert_ne!(&one_sided[14], "");
    let mut map = synthetic::map();
    assert!(!map_json(&map).unwrap().contains("\"steps\""), "files without steps stay as they were");
    map.steps = Some(steps);
    let back: MapResult = serde_json::from_str(&map_json(&map).unwrap()).unwrap();
    let back = back.steps.unwrap();
    assert_eq!((back.points.len(), back.small.len(), back.parts.len()), (6, 2, 11));
    assert_eq!(back.points[2].base.pilot_openings.len(), 3);
}

#[test]
fn ghost_lines_stand_beside_the_curves_when_steps_were_taken() {
    let plain = synthetic::map();
    let mut map = plain.clone();
    let mut steps = synthetic::steps();
    // half an AFR richer by the first part everywhere
    for point in &mut steps.points {
        let afr = point.base.afr.map(|a| a - 0.5);
        point.parts[0].up.afr = afr;
        point.parts[0].up.converged = true;
    }
    map.steps = Some(steps.clone());
    let with = afr_against_throttle(&map).unwrap();
    keep("afr_against_throttle_ghosts", &with);
    assert!(ink(&with).unwrap().clear_edges);
    assert_ne!(with, afr_against_throttle(&plain).unwrap());
    // steps that move nothing leave the picture as it is
    for point in &mut steps.points {
        let afr = point.base.afr;
        point.parts.iter_mut().for_each(|e| e.up.afr = afr);
    }
    map.steps = Some(steps);
    assert_eq!(afr_against_throttle(&map).unwrap(), afr_against_throttle(&plain).unwrap());
}
