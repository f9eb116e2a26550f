//! The usual cautions, said once by each sheet that is printed.

/// Cautions, one sentence each; common practice.
pub const CAUTIONS: [&str; 6] = [
    "Petrol vapour catches fire: work outdoors, away from flames and sparks.",
    "The throttle must shut by itself, at every steering lock.",
    "Lean running damages engines: start rich and go leaner in single steps.",
    "Do not test on public roads.",
    "Emissions law and local codes come first, and so does a licence where one is needed.",
    "The numbers are a model's: measure before you trust them.",
];
