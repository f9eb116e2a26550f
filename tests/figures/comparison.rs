//! The sheet of computed curves over exact points: drawn whole, or refused with a reason.

use bellmouth::plot::comparison::{Chart, Comparison, Kind, Scale, Series, comparison};
use bellmouth::plot::ink;

/// SYNTHETIC numbers: a wave, points on it, single spots and a guide.
fn chart(logarithmic: bool) -> Chart {
    let at = |i: i32| (f64::from(i) * 0.05, 2.0 + libm::sin(f64::from(i) * 0.05));
    let points: Vec<_> = (0..200).map(at).collect();
    let y = Scale::new("height [m]");
    Chart {
        heading: "a wave".to_owned(),
        x: Scale::new("place [m]"),
        y: if logarithmic { y.in_ratios() } else { y },
        series: vec![
            Series::new("exact", Kind::Exact, 0, points.clone()),
            Series::new("computed", Kind::Computed, 0, points.clone()),
            Series::new("computed on few cells", Kind::Marked, 1, points.iter().step_by(20).copied().collect()),
            Series::new("peaks", Kind::Spots, 2, vec![(1.6, 3.0), (7.9, 3.0)]),
            Series::new("mean", Kind::Reference, 0, vec![(0.0, 2.0), (10.0, 2.0)]),
        ],
        uprights: Some((vec![3.1, 50.0], "middle".to_owned())),
    }
}

fn sheet(rows: Vec<Vec<Chart>>) -> Comparison {
    Comparison { title: "A wave".to_owned(), caption: "made up, ".repeat(40), rows, height: 300.0 }
}

#[test]
fn a_sheet_is_drawn_whole_inside_its_edges_with_the_same_bytes_twice() {
    for (columns, width) in [(1, 1600), (2, 1600), (3, 2100)] {
        let full = sheet(vec![vec![chart(false); columns], vec![chart(true)]]);
        let bytes = comparison(&full).unwrap();
        let seen = ink(&bytes).unwrap();
        assert_eq!(seen.width, width);
        assert!(seen.colours > 100 && seen.drawn_share > 0.03 && seen.clear_edges, "{seen:?}");
        assert_eq!(bytes, comparison(&full).unwrap());
    }
}

#[test]
fn each_series_and_the_upright_lines_are_seen() {
    let whole = comparison(&sheet(vec![vec![chart(false)]])).unwrap();
    for gone in 0..5 {
        let mut less = chart(false);
        // the name stays, so that what differs lies in the frame
        less.series[gone].points.truncate(1);
        less.x = less.x.within(-0.6, 10.6);
        less.y = less.y.within(0.88, 3.12);
        let mut all = chart(false);
        (all.x, all.y) = (less.x.clone(), less.y.clone());
        let [less, all] = [less, all].map(|c| comparison(&sheet(vec![vec![c]])).unwrap());
        assert_ne!(less, all, "series {gone}");
    }
    let mut bare = chart(false);
    bare.uprights = Some((vec![50.0], "middle".to_owned()));
    assert_ne!(whole, comparison(&sheet(vec![vec![bare]])).unwrap());
}

#[test]
fn a_number_that_is_missing_or_not_positive_in_ratios_leaves_a_gap() {
    for logarithmic in [false, true] {
        let mut torn = chart(logarithmic);
        for series in &mut torn.series {
            series.points[0].1 = f64::NAN;
        }
        torn.series[1].points[70] = (f64::INFINITY, 1.0);
        torn.series[1].points[90].1 = 0.0;
        torn.series[3].points[1].1 = -1.0;
        assert!(ink(&comparison(&sheet(vec![vec![torn]])).unwrap()).unwrap().clear_edges);
    }
}

#[test]
fn what_cannot_be_shown_whole_is_refused() {
    let why = |s: &Comparison| comparison(s).unwrap_err().to_string();
    assert!(why(&sheet(Vec::new())).contains("one to three charts"));
    assert!(why(&sheet(vec![vec![chart(false)], Vec::new()])).contains("one to three charts"));
    assert!(why(&sheet(vec![vec![chart(false); 4]])).contains("one to three charts"));
    let mut empty = chart(false);
    for series in &mut empty.series {
        series.points = vec![(f64::NAN, 1.0)];
    }
    assert!(why(&sheet(vec![vec![empty]])).contains("`a wave` has no number"));
    let long = "word".repeat(100);
    let mut wide = sheet(vec![vec![chart(false)]]);
    wide.title.clone_from(&long);
    assert!(why(&wide).contains("wider than its place"));
    let places: [fn(&mut Chart) -> &mut String; 5] = [
        |c| &mut c.heading,
        |c| &mut c.x.title,
        |c| &mut c.y.title,
        |c| &mut c.series[0].name,
        |c| &mut c.uprights.as_mut().unwrap().1,
    ];
    for place in places {
        let mut cut = chart(false);
        place(&mut cut).clone_from(&long);
        assert!(why(&sheet(vec![vec![cut]])).contains("wider than its place"));
    }
}
