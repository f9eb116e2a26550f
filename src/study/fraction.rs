//! How the trade writes a throttle opening: in sixteenths of full lift.

/// `throttle` [-] as a fraction of the fewest parts (`1/8`, `7/16`, `1`), if it is within 1/1000 of a sixteenth.
///
/// Nothing comes back for 0, for openings between the sixteenths and for values outside 0 to 1.
#[must_use]
pub fn fraction(throttle: f64) -> Option<String> {
    let parts = (throttle * 16.0).round();
    if !(1.0..=16.0).contains(&parts) || (throttle - parts / 16.0).abs() > 1e-3 {
        return None;
    }
    let (mut over, mut under) = (parts as u32, 16_u32);
    while over.is_multiple_of(2) && under > 1 {
        over /= 2;
        under /= 2;
    }
    Some(if under == 1 { over.to_string() } else { format!("{over}/{under}") })
}

/// `throttle` [-] in per cent of full lift, with one decimal where it is needed: `12.5 %`, `95 %`.
#[must_use]
pub fn percent(throttle: f64) -> String {
    let tenths = (throttle * 1000.0).round();
    if (tenths / 10.0).fract().abs() < 1e-9 {
        format!("{:.0} %", tenths / 10.0)
    } else {
        format!("{:.1} %", tenths / 10.0)
    }
}

/// `throttle` [-] as a fraction where there is one, else in per cent.
#[must_use]
pub fn throttle_name(throttle: f64) -> String {
    fraction(throttle).unwrap_or_else(|| percent(throttle))
}

/// `throttle` [-] inside a sentence: `1/4 throttle`, `full throttle`, `95 % throttle`.
#[must_use]
pub fn throttle_phrase(throttle: f64) -> String {
    if (throttle - 1.0).abs() <= 1e-3 {
        "full throttle".to_owned()
    } else {
        format!("{} throttle", throttle_name(throttle))
    }
}
