//! The set-up file: from text to a validated [`crate::hardware::machine::Machine`].
//!
//! ```text
//! file -> TextFile -> Reader per table -> Figures and Problems (Ledger) -> Setup or Report
//! ```

mod air;
mod air_box;
mod assemble;
pub mod bands;
mod bleed_well;
mod bowl;
mod carburettor;
pub mod cautions;
pub mod describe;
mod ducts;
mod engine;
mod exhaust;
pub mod file;
pub mod flow_numbers;
mod flow_test;
mod fuel;
mod include;
mod instead;
pub mod jet;
mod jug_test;
mod ledger;
mod lift_points;
pub mod limits;
mod load;
pub mod measure;
mod mouth;
mod needle;
mod nozzle;
pub mod on_hand;
mod passage;
mod pilot;
mod pipe;
mod piston_clearance;
pub mod provenance;
mod pump;
mod quantity;
mod reader;
mod road;
mod rows;
#[allow(clippy::module_inception)]
mod setup;
pub mod snap;
pub mod spec;
mod starter;
mod supply;
mod tapers;
pub mod targets;
mod template;
mod throttle;
mod timing;
mod tyre;
mod vacuum_piston;
mod valve;
mod vent;
mod volatility;

pub use cautions::CAUTIONS;
pub use describe::{Description, describe};
pub use flow_test::{Family, FlowTest};
pub use instead::Instead;
pub use jug_test::{JugEnd, JugTest};
pub use load::{load, load_for_cells, load_text};
pub use provenance::{End, EstimateNote, Origin, Provenance};
pub use setup::Setup;
pub use snap::SnapPlan;
pub use supply::Supply;
pub use template::template;
