//! Everything the simulation needs to know: engine, carburettor, air and fuel.

use serde::{Deserialize, Serialize};

use super::air_box::AirBox;
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
    /// The air box or pod filter in front of its mouth.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub air_box: Option<AirBox>,
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
