//! Everything the simulation needs to know: engine, carburettor, air and fuel.

use serde::{Deserialize, Serialize};

use super::carburettor::Carburettor;
use super::engine::Engine;
use crate::media::atmosphere::FreeAir;
use crate::media::fuel::Fuel;

/// An engine with a carburettor on it, in given air, on a given fuel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Machine {
    /// The engine.
    pub engine: Engine,
    /// The carburettor.
    pub carburettor: Carburettor,
    /// The free air around it.
    pub air: FreeAir,
    /// The fuel in the bowl.
    pub fuel: Fuel,
    /// Share of the metered fuel that evaporates at once on entering the air stream [-].
    pub evaporated_fraction: f64,
    /// Share of the fuel blown out of the mouth that does not come back [-].
    pub standoff_loss: f64,
    /// Bore of an air leak behind the slide [m], 0 for none.
    pub air_leak: f64,
}
