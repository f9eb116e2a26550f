//! Results as files and text: CSV, JSON, tables of 80 columns, and the one place that writes files.
//!
//! Nothing is computed here. Files hold SI or the units named in the head of each column; a value that does not exist
//! is an empty cell in CSV and `null` in JSON, and so is a number that is not finite.

pub mod afr_table;
pub mod compare_csv;
pub mod compare_text;
pub mod csv_text;
pub mod cycle_csv;
pub mod cycle_text;
pub mod findings;
mod how_sure_text;
pub mod json;
pub mod map_csv;
pub mod map_text;
pub mod number;
pub mod prose;
mod rejet_card_text;
pub mod rejet_text;
pub mod road_text;
pub mod sink;
pub mod snap_csv;
pub mod snap_text;
mod snap_verdict;
pub mod spots_text;
pub mod stdout;
pub mod steps_csv;
pub mod steps_text;
pub mod supply_csv;
mod supply_jug_text;
mod supply_ride_text;
pub mod supply_text;
pub mod table;

pub use compare_csv::compare_csv;
pub use compare_text::{compare_json, compare_text};
pub use cycle_csv::cycle_csv;
pub use cycle_text::cycle_text;
pub use json::{cycle_json, map_json, rejet_json};
pub use map_csv::map_csv;
pub use map_text::map_text;
pub use rejet_text::rejet_text;
pub use road_text::{road_text, sentence as road_sentence, top_words};
pub use sink::{Sink, SinkError};
pub use snap_csv::snap_csv;
pub use snap_text::{snap_json, snap_text};
pub use spots_text::spots_text;
pub use steps_csv::steps_csv;
pub use steps_text::steps_text;
pub use supply_csv::supply_csv;
pub use supply_text::{supply_json, supply_text};

/// A result could not be put into the form of a file.
#[derive(Debug, thiserror::Error)]
pub enum ReportError {
    /// The rows could not be written.
    #[error("the CSV text could not be put together: {0}")]
    Csv(String),
    /// The result could not be written.
    #[error("the JSON text could not be put together: {0}")]
    Json(String),
}
