//! What a snap gives: plain numbers, one row per cycle. Masses in mg, SI elsewhere.

use serde::Serialize;

use super::goal::Goal;
use super::hole::{Hole, Misfit, RichSpell};
use crate::setup::SnapPlan;
use crate::study::point::PointResult;
use crate::study::pump_bench::PumpSheet;

/// One cycle, from bottom centre to bottom centre. The charge that burns in it was drawn in at the end of the cycle
/// before; fuel metered, squirted and on the walls is that of the cycle itself.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SnapCycle {
    /// Beginning, after the throttle began to open [s]; negative before.
    pub time_s: f64,
    /// Duration [s].
    pub lasts_s: f64,
    /// Speed [rpm].
    pub rpm: f64,
    /// Throttle at the beginning, when the charge has just been drawn in [-].
    pub throttle: f64,
    /// Fresh dry air trapped over fresh fuel trapped [-]; none without fuel.
    pub afr: Option<f64>,
    /// `afr` over the fuel's stoichiometric ratio [-].
    pub lambda: Option<f64>,
    /// Lambda wanted [-].
    pub lambda_wanted: f64,
    /// Whether the charge burnt.
    pub fired: bool,
    /// Brake torque, mean of the cycle [N m].
    pub torque_nm: f64,
    /// Time mean of the pressure behind the slide [Pa, absolute].
    pub manifold_pa: f64,
    /// Fresh dry air trapped.
    pub air_mg: f64,
    /// Fresh fuel trapped.
    pub fuel_mg: f64,
    /// Fuel that this air needs for the wanted lambda.
    pub needed_mg: f64,
    /// Fuel that pilot, main and starter circuit gave to the air.
    pub metered_mg: f64,
    /// Fuel that the pump squirted.
    pub squirt_mg: f64,
    /// Fuel that the pump's leak jet gave back to the bowl.
    pub leaked_mg: f64,
    /// Fuel that landed on the walls.
    pub landed_mg: f64,
    /// Fuel that left the walls.
    pub left_mg: f64,
    /// Fuel on the walls at the end.
    pub film_mg: f64,
    /// Share of the metered fuel that landed [-].
    pub film_share: f64,
    /// Time constant of the film [s].
    pub film_time_s: f64,
    /// Whether share or time were held at a limit of what was measured.
    pub film_held: bool,
    /// What the books of fuel do not account for, over the fuel that passed [-].
    pub fuel_defect: f64,
    /// What the pump's volumes do not account for, displaced less squirted, leaked, drawn and stored, over the largest
    /// of them [-].
    pub pump_defect: f64,
    /// Floors and fallbacks used.
    pub repairs: u64,
}

impl SnapCycle {
    /// Fuel that is missing [mg]; negative where there is too much.
    #[must_use]
    pub fn missing_mg(&self) -> f64 {
        self.needed_mg - self.fuel_mg
    }
}

/// One run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SnapRun {
    /// Cycles, the first few before the throttle moves.
    pub cycles: Vec<SnapCycle>,
    /// The lean hole.
    pub hole: Hole,
    /// The rich spell.
    pub rich: RichSpell,
    /// How far the mixture is from the wanted one.
    pub misfit: Misfit,
    /// Fuel missing in lean cycles, summed.
    pub missing_mg: f64,
    /// Fuel too much in rich cycles, summed.
    pub surplus_mg: f64,
    /// Fuel squirted in all.
    pub squirt_mg: f64,
    /// Fuel that the leak jet gave back in all.
    pub leaked_mg: f64,
    /// Time in which nine tenths of the squirt came out, from its first hundredth [s]; none without a squirt.
    pub squirt_lasts_s: Option<f64>,
    /// Worst of the cycles' fuel and pump defects [-].
    pub worst_defect: f64,
    /// Whether the speed fell so low that the run was ended.
    pub stalled: bool,
    /// What went wrong, where, when, and what to try; the run ends there.
    pub note: Option<String>,
}

/// Rod gap, stop and nozzle of a pump.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PumpParts {
    /// Lift of the slide at which the rod begins to push [m].
    pub rod_gap_m: f64,
    /// Lift at which the stroke ends [m].
    pub stop_m: f64,
    /// Bore of the nozzle [m].
    pub nozzle_m: f64,
}

/// A pump that was run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PumpRun {
    /// What is fitted.
    pub parts: PumpParts,
    /// On the bench: ten strokes, squirt against twist.
    pub bench: PumpSheet,
    /// On the engine.
    pub run: SnapRun,
}

/// The pump that fills the hole best, and what it is compared with.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Tuned {
    /// Best of the pumps that were run.
    pub best: PumpRun,
    /// Common practice to start from: gap 2 mm, stop at 0.7 of full lift, the nozzle as given.
    pub usual: PumpRun,
    /// Pumps tried on the bench and by the film's law.
    pub tried: usize,
    /// Pumps run on the engine.
    pub run: usize,
    /// Parts whose best size is the smallest or the largest of those that were tried.
    pub at_the_end: Vec<&'static str>,
}

/// The whole answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SnapResult {
    /// Version of this layout; additions do not change it.
    pub schema: u32,
    /// Version of the program.
    pub version: String,
    /// Name of the set-up.
    pub name: String,
    /// What was opened, how fast.
    pub plan: SnapPlan,
    /// What the engine accelerates, at the crank [kg m2]; none when the speed is held.
    pub inertia_kg_m2: Option<f64>,
    /// Bore of the carburettor [m].
    pub bore_m: f64,
    /// Density of the fuel [kg/m3], to turn mg into cc.
    pub fuel_density: f64,
    /// The steady engine before.
    pub before: PointResult,
    /// The steady engine at the throttle after it, at the speed at which the run ends.
    pub after: PointResult,
    /// The wanted mixture.
    pub goal: Goal,
    /// Temperature of the wall that the film lies on [K].
    pub wall_k: f64,
    /// Without a pump.
    pub without: SnapRun,
    /// With the pump as it is; none when there is none.
    pub with: Option<PumpRun>,
    /// With the best pump; none when it was not looked for.
    pub tuned: Option<Tuned>,
}
