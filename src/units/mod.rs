//! Quantities as people write them, and the only place where units are converted.
//!
//! A quantity is a number and a unit: `"38 mm"`, `"1.496 in"`, `"3/32 in"`, `"2 1/2 turns"`, `"70 degF"`. Inside
//! the program everything is SI; rotational speed stays in rev/min and screw settings in turns, as the
//! trade says them. Conversion factors come from the crate `uom`.

pub mod dimension;
pub mod number;
pub mod quantity;
pub mod road;
pub mod shown;
pub mod shown_table;
pub mod table;

pub use dimension::Dimension;
pub use quantity::{QuantityError, format, parse, significant};
pub use shown::{Quantity, System, Units};
