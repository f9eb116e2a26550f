//! x
use super::PlotError;
use crate::study::snap::result::SnapResult;
/// x
///
/// # Errors
/// x
pub fn snap_fuel(_r: &SnapResult) -> Result<Vec<u8>, PlotError> {
    Ok(Vec::new())
}
