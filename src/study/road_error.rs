//! Why a speed cannot be held on the road.

use thiserror::Error;

/// Why a speed cannot be held.
#[derive(Debug, Clone, PartialEq, Error)]
pub enum RoadError {
    /// There is no such gear.
    #[error("there is no gear {gear}; the gearbox has {last}")]
    NoGear {
        /// Asked for.
        gear: usize,
        /// The highest there is.
        last: usize,
    },
    /// The engine would turn faster than it ever is.
    #[error("the engine would turn at {rpm:.0} rpm in gear {gear}, above its highest speed of {highest:.0} rpm")]
    PastHighest {
        /// Speed it would turn at [rpm].
        rpm: f64,
        /// In this gear.
        gear: usize,
        /// Highest speed of the set-up [rpm].
        highest: f64,
    },
    /// The engine would turn slower than it idles.
    #[error(
        "the engine would turn at {rpm:.0} rpm in gear {gear}, below its idle speed of {idle:.0} rpm: there the clutch slips"
    )]
    BelowIdle {
        /// Speed it would turn at [rpm].
        rpm: f64,
        /// In this gear.
        gear: usize,
        /// Idle speed of the set-up [rpm].
        idle: f64,
    },
    /// More is wanted than the engine gives at any throttle.
    #[error("it takes {wanted_kw:.1} kW at the crank; the engine has {has_kw:.1} kW at {rpm:.0} rpm in gear {gear}")]
    TooWeak {
        /// In this gear, the one with most power there.
        gear: usize,
        /// Crank speed there [rpm].
        rpm: f64,
        /// Power it has [kW].
        has_kw: f64,
        /// Power wanted [kW].
        wanted_kw: f64,
    },
    /// Less is wanted than the engine gives with the throttle shut.
    #[error(
        "it takes {wanted_nm:.1} N m at the crank; the engine gives {has_nm:.1} N m with the throttle as good as shut: the vehicle \
         would go faster by itself"
    )]
    Coasts {
        /// Torque wanted [N m].
        wanted_nm: f64,
        /// Torque with the throttle shut [N m].
        has_nm: f64,
    },
    /// The torque jumps past the wanted one.
    #[error(
        "torque jumps from {low_nm:.1} to {high_nm:.1} N m at {percent:.1} % throttle, past the {wanted_nm:.1} N m wanted: on one side \
         the charge does not burn steadily (lambda {lambda})"
    )]
    Jumps {
        /// Below the jump [N m].
        low_nm: f64,
        /// Above it [N m].
        high_nm: f64,
        /// Wanted [N m].
        wanted_nm: f64,
        /// Where [%].
        percent: f64,
        /// Lambda below the jump.
        lambda: String,
    },
    /// No speed at all can be held at full throttle.
    #[error("at full throttle the engine holds no speed in any gear")]
    HoldsNone,
    /// Points failed.
    #[error("{0}")]
    Failed(String),
}

impl RoadError {
    /// A task ended in a panic with this text.
    #[must_use]
    pub fn bug(text: &str) -> Self {
        Self::Failed(format!("a bug in bellmouth: {text}"))
    }
}
