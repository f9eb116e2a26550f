//! Colours that people with any kind of colour vision can tell apart.

use plotters::style::RGBColor;

/// A colour.
pub type Colour = RGBColor;

/// Text, frames.
pub const INK: Colour = RGBColor(0x20, 0x20, 0x24);
/// Secondary text.
pub const FAINT_INK: Colour = RGBColor(0x5c, 0x5c, 0x64);
/// Grid lines.
pub const GRID: Colour = RGBColor(0xdf, 0xdf, 0xe3);
/// Paper.
pub const PAPER: Colour = RGBColor(0xff, 0xff, 0xff);
/// Wanted mixture, as an area behind curves.
pub const BAND: Colour = RGBColor(0xe3, 0xea, 0xd8);
/// Edge of the wanted mixture.
pub const BAND_EDGE: Colour = RGBColor(0x7b, 0x8f, 0x5a);
/// Ground of a cell that did not converge.
pub const DOUBT: Colour = RGBColor(0xd6, 0xd6, 0xda);

/// Up to six curves (Petroff, 2021, "Accessible color sequences for data visualization", arXiv:2107.02270).
const SIX: [Colour; 6] = [
    RGBColor(0x57, 0x90, 0xfc),
    RGBColor(0xf8, 0x9c, 0x20),
    RGBColor(0xe4, 0x25, 0x36),
    RGBColor(0x96, 0x4a, 0x8b),
    RGBColor(0x9c, 0x9c, 0xa1),
    RGBColor(0x7a, 0x21, 0xdd),
];

/// Up to ten curves (same source).
const TEN: [Colour; 10] = [
    RGBColor(0x3f, 0x90, 0xda),
    RGBColor(0xff, 0xa9, 0x0e),
    RGBColor(0xbd, 0x1f, 0x01),
    RGBColor(0x94, 0xa4, 0xa2),
    RGBColor(0x83, 0x2d, 0xb6),
    RGBColor(0xa9, 0x6b, 0x59),
    RGBColor(0xe7, 0x63, 0x00),
    RGBColor(0xb9, 0xac, 0x70),
    RGBColor(0x71, 0x75, 0x81),
    RGBColor(0x92, 0xda, 0xdd),
];

/// Colour of curve `index` out of `count`.
#[must_use]
pub fn curve(index: usize, count: usize) -> Colour {
    match count {
        // grey is kept for the sixth curve
        0..=5 => SIX[[0, 1, 2, 3, 5][index % 5]],
        6 => SIX[index % 6],
        _ => TEN[index % TEN.len()],
    }
}

/// Colour of a fuel circuit, the same in every figure: pilot, main, starter.
pub const CIRCUITS: [Colour; 3] = [SIX[1], SIX[0], SIX[3]];

/// Every sixteenth colour and the last of the cividis ramp (Nunez, Anderton and Renslow, 2018, "Optimizing colormaps
/// with consideration for color vision deficiency", PLoS ONE 13(7), e0199239), from memory to within a few steps of 255.
const CIVIDIS: [(u8, u8, u8); 17] = [
    (0x00, 0x22, 0x4e),
    (0x00, 0x2d, 0x6c),
    (0x17, 0x37, 0x6e),
    (0x2f, 0x42, 0x6c),
    (0x41, 0x4d, 0x6b),
    (0x50, 0x57, 0x6c),
    (0x5f, 0x63, 0x6e),
    (0x6d, 0x6e, 0x72),
    (0x7c, 0x7b, 0x78),
    (0x8b, 0x87, 0x79),
    (0x9b, 0x94, 0x77),
    (0xac, 0xa1, 0x73),
    (0xbd, 0xaf, 0x6d),
    (0xce, 0xbd, 0x63),
    (0xe0, 0xcb, 0x56),
    (0xf1, 0xda, 0x44),
    (0xfe, 0xe8, 0x38),
];

/// Colour of the ramp at `share` [0 to 1, held at the ends].
#[must_use]
pub fn ramp(share: f64) -> Colour {
    let last = CIVIDIS.len() - 1;
    let place = if share.is_finite() { share.clamp(0.0, 1.0) } else { 0.0 } * last as f64;
    let low = (place as usize).min(last - 1);
    let t = place - low as f64;
    let (a, b) = (CIVIDIS[low], CIVIDIS[low + 1]);
    let mix = |a: u8, b: u8| (f64::from(a) + (f64::from(b) - f64::from(a)) * t).round() as u8;
    RGBColor(mix(a.0, b.0), mix(a.1, b.1), mix(a.2, b.2))
}

/// `colour` mixed with white; `share` of the colour stays [0 to 1]. Opaque, so that areas can touch without a seam.
#[must_use]
pub fn tint(colour: Colour, share: f64) -> Colour {
    let mix = |c: u8| (255.0 - (255.0 - f64::from(c)) * share).round() as u8;
    RGBColor(mix(colour.0), mix(colour.1), mix(colour.2))
}

/// Relative luminance [0 to 1] (W3C, Web Content Accessibility Guidelines 2.1, "relative luminance").
#[must_use]
pub fn luminance(colour: Colour) -> f64 {
    let linear = |c: u8| {
        let c = f64::from(c) / 255.0;
        if c <= 0.03928 { c / 12.92 } else { libm::pow((c + 0.055) / 1.055, 2.4) }
    };
    0.2126 * linear(colour.0) + 0.7152 * linear(colour.1) + 0.0722 * linear(colour.2)
}

/// Contrast of two colours [1 to 21] (same source, "contrast ratio").
#[must_use]
pub fn contrast(a: Colour, b: Colour) -> f64 {
    let (a, b) = (luminance(a), luminance(b));
    (a.max(b) + 0.05) / (a.min(b) + 0.05)
}

/// Black or white ink, whichever stands out better on `ground`.
#[must_use]
pub fn ink_on(ground: Colour) -> Colour {
    let black = RGBColor(0, 0, 0);
    if contrast(ground, black) >= contrast(ground, PAPER) { black } else { PAPER }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn contrast_is_that_of_the_standard() {
        // W3C, WCAG 2.1: black on white 21:1; #767676 on white 4.54:1, the usual example of a grey that just passes
        assert!((contrast(RGBColor(0, 0, 0), PAPER) - 21.0).abs() < 1e-9);
        assert!((contrast(RGBColor(0x76, 0x76, 0x76), PAPER) - 4.54).abs() < 0.01);
    }

    #[test]
    fn numbers_can_be_read_on_every_colour_of_the_ramp_and_the_ramp_gets_brighter() {
        let mut last = -1.0;
        for i in 0..=200 {
            let ground = ramp(f64::from(i) / 200.0);
            // WCAG 2.1, success criterion 1.4.3
            assert!(contrast(ground, ink_on(ground)) >= 4.5, "{ground:?}");
            assert!(luminance(ground) >= last - 1e-3, "{ground:?}");
            last = luminance(ground);
        }
        assert_eq!(ramp(-3.0), ramp(0.0));
        assert_eq!(ramp(f64::NAN), ramp(0.0));
        assert_eq!(ramp(7.0), ramp(1.0));
    }
}
