//! Questions asked of many operating points; plain results come back.

pub mod cycle;
pub mod fraction;
pub mod map;
pub mod point;
pub mod sweep;
pub mod selection;
pub mod verdict;
