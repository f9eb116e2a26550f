//! x
use super::ReportError;
use crate::study::snap::result::SnapResult;
/// The snap as JSON text.
///
/// # Errors
/// The text could not be put together.
pub fn snap_json(result: &SnapResult) -> Result<String, ReportError> {
    let text = serde_json::to_string_pretty(result).map_err(|e| ReportError::Json(e.to_string()))?;
    Ok(text + "\n")
}
/// x
#[must_use]
pub fn snap_text(r: &SnapResult) -> String {
    let mut s = String::new();
    s += &format!("goal {:?}\n wall {}\n", r.goal, r.wall_k);
    let mut one = |n: &str, x: &crate::study::snap::result::SnapRun| {
        s += &format!("{n}: hole {:?}\n misfit {:?} score {:.4} missing {:.1} surplus {:.1} squirt {:.1} lasts {:?} defect {:e}\n", x.hole, x.misfit, x.misfit.score(), x.missing_mg, x.surplus_mg, x.squirt_mg, x.squirt_lasts_s, x.worst_defect);
    };
    one("without", &r.without);
    if let Some(w) = &r.with { one("with", &w.run); }
    if let Some(t) = &r.tuned { one("usual", &t.usual.run); one("best", &t.best.run); s += &format!("{:?} {} {} {:?} ten {:.2} cc\n", t.best.parts, t.tried, t.run, t.at_the_end, 1e6*t.best.bench.ten_strokes); }
    for c in &r.without.cycles { s += &format!("{:6.3} rpm {:5.0} th {:.2} lam {:5.2} want {:.2} T {:6.1} air {:5.0} need {:5.1} fuel {:5.1} met {:5.1} land {:4.1} left {:4.1} film {:6.1} X {:.2} t {:.2} {} {:e} p {:.0}\n", c.time_s, c.rpm, c.throttle, c.lambda.unwrap_or(9.9), c.lambda_wanted, c.torque_nm, c.air_mg, c.needed_mg, c.fuel_mg, c.metered_mg, c.landed_mg, c.left_mg, c.film_mg, c.film_share, c.film_time_s, c.film_held, c.fuel_defect, c.manifold_pa); }
    if let Some(w) = &r.with { for c in &w.run.cycles { s += &format!("{:6.3} lam {:5.2} T {:6.1} fuel {:5.1} squirt {:4.1} film {:5.1} {:e} {:e}\n", c.time_s, c.lambda.unwrap_or(9.9), c.torque_nm, c.fuel_mg, c.squirt_mg, c.film_mg, c.fuel_defect, c.pump_defect); } }
    s
}
