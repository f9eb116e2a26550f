//! Which parts to fit: the sizes on hand or on sale that bring the map nearest to its wanted mixture.
//!
//! The search is discrete. From the parts as fitted, each free part is moved one size both ways at each point of a
//! coarse grid ([`runs`]); the changes of `ln lambda` make a model that is quadratic in each part and additive over them
//! ([`model`]); the best combination on the model ([`choose`]) is run on the machine, and the search goes on from there
//! until neither the model nor any neighbour that was run is better ([`search`]). So the model only guides: what is
//! reported was run.

pub mod advice;
pub mod answer;
pub mod card;
pub mod choose;
pub mod incurable;
pub mod misfit;
pub mod model;
pub mod result;
pub mod runs;
pub mod search;
