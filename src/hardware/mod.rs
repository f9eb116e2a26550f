//! Shapes of parts, in SI units, as the simulation needs them.
//!
//! Nothing here knows the set-up file, and nothing here knows a flow: a part answers only
//! questions of geometry (volume at a crank angle, area at a lift, diameter at a station).

pub mod accelerator_pump;
pub mod air_box;
pub mod attitude;
pub mod bleed_well;
pub mod butterfly;
pub mod carburettor;
pub mod crank;
pub mod duct;
pub mod engine;
pub mod exhaust;
pub mod float_bowl;
pub mod jet;
pub mod machine;
pub mod mixture_screw;
pub mod needle;
pub mod nozzle;
pub mod part;
pub mod part_size;
pub mod part_step;
pub mod poppet_valve;
pub mod road_vehicle;
pub mod slide;
pub mod starter;
pub mod stock;
pub mod supply_line;
pub mod vacuum_piston;
