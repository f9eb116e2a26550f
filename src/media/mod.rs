//! Air and burnt gas, the atmosphere, and liquid fuels.

pub mod alcohol;
pub mod atmosphere;
pub mod blend;
pub mod burnt_gas;
pub mod composition;
pub mod fuel;
pub mod gas;
pub mod species;
pub mod test_liquid;
