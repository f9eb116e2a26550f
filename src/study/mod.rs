//! Questions asked of many operating points; plain results come back.

pub mod cycle;
pub mod map;
pub mod point;
pub mod sweep;
