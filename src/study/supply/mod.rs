//! Fuel supply from tank to bowl: how much runs in, what the engine asks, and how long the bowl lasts.
//!
//! ```text
//! SupplyLine -> Network (flow at a head and a level) ---+
//! operating points -> Demand (fuel, mixture at a level) +-> Rider (one ODE for the level) -> SupplyResult
//! jug tests -> SupplyLine as measured ------------------+
//! ```

mod asked;
mod demand;
mod jug;
mod network;
mod result;
mod ride;
mod run;

pub use asked::{Asked, DemandPoint, EASED_SPEED, Hold, USUAL_SPEED, gather, points};
pub use demand::{Demand, LEAN, LevelPoint};
pub use jug::{JugReading, Measured, measured};
pub use network::{Network, fluids};
pub use result::{Held, MARGIN, PartHead, SupplyResult, TankLimit, TankRide};
pub use ride::{Ending, LONGEST, Phase, Ride, Rider, TracePoint};
pub use run::{SupplyError, run, runs};
