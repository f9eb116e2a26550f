//! How much is on a picture: tells a drawn one from a blank one.

use std::collections::HashSet;

use super::PlotError;

/// What is on a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ink {
    /// Width [px].
    pub width: u32,
    /// Height [px].
    pub height: u32,
    /// Colours that differ.
    pub colours: usize,
    /// Share of pixels that are not white [-].
    pub drawn_share: f64,
    /// Whether all pixels on the four edges are white: text that is cut off touches an edge.
    pub clear_edges: bool,
}

/// Read a picture back.
///
/// # Errors
/// The bytes are not an 8-bit RGB picture.
pub fn ink(bytes: &[u8]) -> Result<Ink, PlotError> {
    let coding = |e: png::DecodingError| PlotError::Coding(e.to_string());
    let mut reader = png::Decoder::new(std::io::Cursor::new(bytes)).read_info().map_err(coding)?;
    let size = reader.output_buffer_size().ok_or_else(|| PlotError::Coding("too large".to_owned()))?;
    let mut pixels = vec![0; size];
    let info = reader.next_frame(&mut pixels).map_err(coding)?;
    if info.color_type != png::ColorType::Rgb || info.bit_depth != png::BitDepth::Eight {
        return Err(PlotError::Coding("not an 8-bit RGB picture".to_owned()));
    }
    let (width, height) = (info.width as usize, info.height as usize);
    let mut colours = HashSet::new();
    let mut last = None;
    let (mut drawn, mut clear_edges) = (0_usize, true);
    for (place, pixel) in pixels.chunks_exact(3).take(width * height).enumerate() {
        let colour = [pixel[0], pixel[1], pixel[2]];
        if last != Some(colour) {
            colours.insert(colour);
            last = Some(colour);
        }
        if pixel != [255, 255, 255] {
            drawn += 1;
            let (x, y) = (place % width, place / width);
            clear_edges &= x > 0 && y > 0 && x + 1 < width && y + 1 < height;
        }
    }
    let all = (width * height).max(1) as f64;
    let drawn_share = drawn as f64 / all;
    Ok(Ink { width: info.width, height: info.height, colours: colours.len(), drawn_share, clear_edges })
}
