//! Every picture: drawn, of the right size, whole inside its edges, the same bytes each time, and never a panic.

use bellmouth::plot::{
    PlotError, afr_against_speed, afr_against_throttle, afr_heat_map, cycle_traces, full_throttle, ink,
};
use bellmouth::study::map::MapResult;

use super::synthetic;

type Draw = fn(&MapResult) -> Result<Vec<u8>, PlotError>;

const OF_A_MAP: [(&str, Draw, (u32, u32)); 4] = [
    ("afr_heat_map", afr_heat_map, (1600, 1100)),
    ("afr_against_throttle", afr_against_throttle, (1600, 1150)),
    ("afr_against_speed", afr_against_speed, (1600, 1100)),
    ("full_throttle", full_throttle, (1600, 1100)),
];

/// Keep a picture for looking at, if a folder for it is named in the environment.
fn keep(name: &str, bytes: &[u8]) {
    if let Some(folder) = std::env::var_os("BELLMOUTH_FIGURES") {
        let path = std::path::Path::new(&folder).join(format!("{name}.png"));
        std::fs::write(path, bytes).unwrap();
    }
}

#[test]
fn a_picture_of_a_map_is_drawn_at_its_size_with_clear_edges_and_the_same_bytes_twice() {
    let map = synthetic::map();
    for (name, draw, size) in OF_A_MAP {
        let bytes = draw(&map).unwrap();
        keep(name, &bytes);
        let seen = ink(&bytes).unwrap();
        assert_eq!((seen.width, seen.height), size, "{name}");
        assert!(seen.colours > 100, "{name}: {} colours", seen.colours);
        assert!(seen.drawn_share > 0.05 && seen.drawn_share < 0.9, "{name}: {}", seen.drawn_share);
        assert!(seen.clear_edges, "{name}: something touches the edge of the sheet");
        assert_eq!(bytes, draw(&map).unwrap(), "{name}: the second picture differs");
    }
}

#[test]
fn a_picture_of_a_cycle_is_drawn_at_its_size_with_clear_edges_and_the_same_bytes_twice() {
    let cycle = synthetic::cycle();
    let bytes = cycle_traces(&cycle).unwrap();
    keep("cycle_traces", &bytes);
    let seen = ink(&bytes).unwrap();
    assert_eq!((seen.width, seen.height), (1600, 1420));
    assert!(seen.colours > 100 && seen.drawn_share > 0.05 && seen.clear_edges, "{seen:?}");
    assert_eq!(bytes, cycle_traces(&cycle).unwrap());
}
