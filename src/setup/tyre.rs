//! The size written on a tyre: `130/80-17` or `4.00-18`.

/// Millimetres in an inch: rims are sold in inches.
const INCH: f64 = 25.4;
/// Height of a section over its width where the size does not say it [-], from 0.92 to 1.03. Common practice, no source.
const ASPECT: f64 = 0.97;

/// Diameter of an unloaded tyre [m] by its size: `rim + 2 x width x aspect`, with the rim in inches; width in
/// millimetres and aspect in per cent (`130/80-17`), or width in inches and a section about as high as it is wide
/// (`4.00-18`). None if it is no such size or one that no road vehicle has.
///
/// Source: definition of the size designation, ISO 5751-1 (from memory).
#[must_use]
pub fn diameter(text: &str) -> Option<f64> {
    let (width, rest) = number(text.trim())?;
    let (width, aspect, rest) = match rest.strip_prefix('/') {
        Some(rest) => {
            let (aspect, rest) = number(rest)?;
            let sane = (40.0..=400.0).contains(&width) && (20.0..=120.0).contains(&aspect);
            (sane.then_some(width)?, aspect / 100.0, rest)
        }
        None => ((1.5..=8.0).contains(&width).then_some(width * INCH)?, ASPECT, rest),
    };
    let rim = rest.trim_start_matches(|c: char| c.is_ascii_alphabetic() || matches!(c, ' ' | '-'));
    let (rim, tail) = if rim.len() < rest.len() { number(rim)? } else { return None };
    let ends = tail.is_empty() || tail.starts_with([' ', 'M']);
    ((8.0..=30.0).contains(&rim) && ends).then_some(1e-3 * (rim * INCH + 2.0 * width * aspect))
}

/// The plain number at the front of `text`, and the rest.
fn number(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|c: char| !c.is_ascii_digit() && c != '.').unwrap_or(text.len());
    let (digits, rest) = text.split_at(end.min(8));
    digits.parse().ok().filter(|v: &f64| v.is_finite()).map(|v| (v, rest))
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn sizes_give_the_diameter_of_their_definition() {
        // 17 x 25.4 + 2 x 130 x 0.8 = 639.8 mm, by hand
        for text in ["130/80-17", "130/80 R17", "130/80B17", "130/80-17 M/C 65H", "130/80ZR17M/C"] {
            assert!((diameter(text).unwrap() - 0.6398).abs() < 1e-9, "{text}");
        }
        // Tables of makers give 651 to 660 mm for 4.00-18 and 620 to 635 mm for 3.50-18 (from memory).
        assert!((0.645..0.665).contains(&diameter("4.00-18").unwrap()));
        assert!((0.615..0.640).contains(&diameter("3.50 x 18").unwrap()));
    }

    #[test]
    fn other_texts_are_no_sizes() {
        for text in
            ["", "130", "130/80", "130/80-", "13080-17", "130/80-99", "4.00", "4.00-", "40-18", "1.9 m", "MT90-16", "é"]
        {
            assert_eq!(diameter(text), None, "{text}");
        }
    }
}
