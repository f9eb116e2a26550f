//! Pictures of results, one file per figure; each figure is a function from a result, or from a sheet of numbers, to
//! the bytes of a PNG file.
//!
//! Nothing is computed here and nothing is written to disk. Colours are safe for the colour-blind and never the only
//! code. A point that did not converge is drawn as a cross and is left out of lines and iso-lines.

mod afr_axis;
mod afr_curve;
mod axis;
mod canvas;
mod chart;
mod colour;
mod contour;
mod curve;
mod fuel_bars;
mod ghost_lines;
mod heat_cell;
mod heat_scale;
mod heat_sheet;
mod ink;
mod label_places;
mod legend;
mod loss_cell;
mod panel;
mod part_look;
mod series;
mod snap_panel;
mod speed_curve;
mod spot_outline;
mod text;
mod valve_strip;

pub mod afr_against_speed;
pub mod afr_against_throttle;
pub mod afr_heat_map;
pub mod bypass_holes;
pub mod carburettors;
pub mod comparison;
pub mod cycle_traces;
pub mod full_throttle;
pub mod hand_over;
pub mod road_line;
pub mod snap_cycles;
pub mod snap_fuel;
pub mod supply_bowl;
pub mod supply_demand;
pub mod torque_lost;
pub mod who_is_in_charge;

pub use afr_against_speed::afr_against_speed;
pub use afr_against_throttle::afr_against_throttle;
pub use afr_heat_map::afr_heat_map;
pub use bypass_holes::bypass_holes;
pub use carburettors::carburettors;
pub use comparison::comparison;
pub use cycle_traces::cycle_traces;
pub use full_throttle::{full_throttle, full_throttle_in};
pub use hand_over::hand_over;
pub use ink::{Ink, ink};
pub use road_line::road_line;
pub use snap_cycles::snap_cycles;
pub use snap_fuel::snap_fuel;
pub use supply_bowl::supply_bowl;
pub use supply_demand::supply_demand;
pub use torque_lost::torque_lost;
pub use who_is_in_charge::who_is_in_charge;

/// A picture of a map.
pub type MapFigure = fn(&crate::study::map::MapResult, &crate::units::Units) -> Result<Vec<u8>, PlotError>;

/// The pictures of a map with the names of their files, the most useful first.
pub const MAP_FIGURES: [(&str, MapFigure); 5] = [
    ("afr_heat_map.png", |map, _| afr_heat_map(map)),
    ("afr_against_throttle.png", |map, _| afr_against_throttle(map)),
    ("afr_against_speed.png", |map, _| afr_against_speed(map)),
    ("full_throttle.png", full_throttle_in),
    ("torque_lost.png", |map, _| torque_lost(map)),
];

/// A picture could not be made.
#[derive(Debug, thiserror::Error)]
pub enum PlotError {
    /// The font that comes with the program was refused.
    #[error("the font for the picture could not be used")]
    Font,
    /// Drawing failed.
    #[error("the picture could not be drawn: {0}")]
    Drawing(String),
    /// The PNG file could not be put together or read.
    #[error("the picture could not be coded as PNG: {0}")]
    Coding(String),
}
