//! The usual cautions, said once on every sheet.

/// The usual cautions of the trade, one a line.
pub const CAUTIONS: &str = "\
petrol vapour burns: work outdoors or in a draught, engine cold, no flame, an extinguisher at hand
the throttle must shut by itself: try it with the engine off, at both steering locks, and again hot
running lean damages engines: start rich, go one step at a time, stop at the first ping
do not test on public roads
emissions law and local codes come first, and licensed practice where it is required
the numbers are a model's: measure before you trust them
";
