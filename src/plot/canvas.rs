//! The sheet that figures draw on: three times as fine as the picture, averaged down so that lines look smooth.

use plotters::backend::{BitMapBackend, DrawingBackend};
use plotters::style::{Color, FontTransform, TextStyle};

use super::PlotError;
use super::colour::{Colour, PAPER};
use super::text::{Align, Lettering, use_font};

/// Fine pixels along one side of a pixel of the picture.
const FINE: usize = 3;
/// Furthest place that is drawn [px]; what lies beyond is drawn there, off the sheet.
const FAR: f64 = 1e5;

/// A rectangle [px], y downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub left: f64,
    /// Upper edge.
    pub top: f64,
    /// Right edge.
    pub right: f64,
    /// Lower edge.
    pub bottom: f64,
}

impl Rect {
    /// From its edges.
    #[must_use]
    pub fn new(left: f64, top: f64, right: f64, bottom: f64) -> Self {
        Self { left, top, right, bottom }
    }

    /// Width [px].
    #[must_use]
    pub fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Height [px].
    #[must_use]
    pub fn height(&self) -> f64 {
        self.bottom - self.top
    }

    /// Middle.
    #[must_use]
    pub fn middle(&self) -> (f64, f64) {
        (0.5 * (self.left + self.right), 0.5 * (self.top + self.bottom))
    }

    /// Smaller by `by` [px] on each side.
    #[must_use]
    pub fn inset(&self, by: f64) -> Self {
        Self::new(self.left + by, self.top + by, self.right - by, self.bottom - by)
    }

    /// Whether two rectangles share a place.
    #[must_use]
    pub fn meets(&self, other: &Self) -> bool {
        self.left < other.right && other.left < self.right && self.top < other.bottom && other.top < self.bottom
    }
}

/// The sheet.
pub struct Canvas {
    width: usize,
    height: usize,
    fine: Vec<u8>,
    /// Lines outside are not drawn.
    pub clip: Option<Rect>,
}

impl Canvas {
    /// A white sheet for a picture of this size [px].
    ///
    /// # Errors
    /// The font is not there.
    pub fn new(width: usize, height: usize) -> Result<Self, PlotError> {
        use_font()?;
        let fine = vec![PAPER.0; width * FINE * height * FINE * 3];
        Ok(Self { width, height, fine, clip: None })
    }

    /// Size [px].
    #[must_use]
    pub fn size(&self) -> (f64, f64) {
        (self.width as f64, self.height as f64)
    }

    fn draw(&mut self, act: impl FnOnce(&mut BitMapBackend<'_>) -> Result<(), String>) -> Result<(), PlotError> {
        let size = ((self.width * FINE) as u32, (self.height * FINE) as u32);
        let mut backend = BitMapBackend::with_buffer(&mut self.fine, size);
        act(&mut backend).map_err(PlotError::Drawing)
    }

    /// Fill a rectangle; its edges are moved to the fine pixels.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn fill(&mut self, rect: Rect, colour: Colour) -> Result<(), PlotError> {
        let (from, to) = (fine((rect.left, rect.top)), fine((rect.right, rect.bottom)));
        self.draw(|b| b.draw_rect(from, to, &colour.filled(), true).map_err(|e| e.to_string()))
    }

    /// Fill a polygon without dents.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn polygon(&mut self, corners: &[(f64, f64)], colour: Colour) -> Result<(), PlotError> {
        if corners.len() < 3 {
            return Ok(());
        }
        let corners: Vec<(i32, i32)> = corners.iter().map(|c| fine(*c)).collect();
        self.draw(|b| b.fill_polygon(corners, &colour.filled()).map_err(|e| e.to_string()))
    }

    /// Fill a disc.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn disc(&mut self, centre: (f64, f64), radius: f64, colour: Colour) -> Result<(), PlotError> {
        let corner = |i: i32| {
            let angle = f64::from(i) * std::f64::consts::TAU / 24.0;
            (centre.0 + radius * libm::cos(angle), centre.1 + radius * libm::sin(angle))
        };
        self.polygon(&(0..24).map(corner).collect::<Vec<_>>(), colour)
    }

    /// A straight line of a width [px] with round ends, inside the clip.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn line(&mut self, from: (f64, f64), to: (f64, f64), width: f64, colour: Colour) -> Result<(), PlotError> {
        let (from, to) = (near(from), near(to));
        let Some((from, to)) = self.clip.map_or(Some((from, to)), |clip| clipped(from, to, clip)) else {
            return Ok(());
        };
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let length = (dx * dx + dy * dy).sqrt();
        let half = 0.5 * width;
        if length > 1e-9 {
            let (nx, ny) = (-dy / length * half, dx / length * half);
            let corners = [
                (from.0 + nx, from.1 + ny),
                (to.0 + nx, to.1 + ny),
                (to.0 - nx, to.1 - ny),
                (from.0 - nx, from.1 - ny),
            ];
            self.polygon(&corners, colour)?;
        }
        if width >= 2.0 {
            self.disc(from, half, colour)?;
            self.disc(to, half, colour)?;
        }
        Ok(())
    }

    /// A level line, sharp on the pixels of the picture.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn level(&mut self, left: f64, right: f64, y: f64, width: f64, colour: Colour) -> Result<(), PlotError> {
        let top = (y - 0.5 * width).round();
        self.fill(Rect::new(left, top, right, top + width), colour)
    }

    /// An upright line, sharp on the pixels of the picture.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn upright(&mut self, x: f64, top: f64, bottom: f64, width: f64, colour: Colour) -> Result<(), PlotError> {
        let left = (x - 0.5 * width).round();
        self.fill(Rect::new(left, top, left + width, bottom), colour)
    }

    /// The outline of a rectangle.
    ///
    /// # Errors
    /// Drawing failed.
    pub fn outline(&mut self, rect: Rect, width: f64, colour: Colour) -> Result<(), PlotError> {
        let half = 0.5 * width;
        self.level(rect.left - half, rect.right + half, rect.top, width, colour)?;
        self.level(rect.left - half, rect.right + half, rect.bottom, width, colour)?;
        self.upright(rect.left, rect.top - half, rect.bottom + half, width, colour)?;
        self.upright(rect.right, rect.top - half, rect.bottom + half, width, colour)
    }

    /// Text; `at` is its side and the middle of its capital letters.
    ///
    /// # Errors
    /// The font is not there, or drawing failed.
    pub fn text(&mut self, at: (f64, f64), text: &str, look: Lettering) -> Result<(), PlotError> {
        let width = look.width(text)?;
        let back = match look.align {
            Align::Start => 0.0,
            Align::Middle => 0.5 * width,
            Align::End => width,
        };
        let k = FINE as f64;
        let font = look.font(k);
        // the rasteriser puts the base line half a font height below the upper left corner of the text
        let drop = 0.5 * look.capital() - 0.5 * font.get_size() / k;
        let corner = if look.upwards { (at.0 + drop, at.1 + back) } else { (at.0 - back, at.1 + drop) };
        let turn = if look.upwards { FontTransform::Rotate270 } else { FontTransform::None };
        let style = TextStyle::from(font.transform(turn)).color(&look.colour);
        self.draw(|b| b.draw_text(text, &style, fine(corner)).map_err(|e| e.to_string()))
    }

    /// The finished picture as the bytes of a PNG file. `title` and `software` go into its text fields; there is no
    /// time in it, so the same picture gives the same bytes.
    ///
    /// # Errors
    /// The file could not be put together.
    pub fn finish(self, title: &str, software: &str) -> Result<Vec<u8>, PlotError> {
        let coding = |e: png::EncodingError| PlotError::Coding(e.to_string());
        let picture = self.averaged();
        let mut bytes = Vec::new();
        let mut encoder = png::Encoder::new(&mut bytes, self.width as u32, self.height as u32);
        encoder.set_color(png::ColorType::Rgb);
        encoder.set_depth(png::BitDepth::Eight);
        let title: String = title.chars().filter(|c| !c.is_control()).take(1000).collect();
        encoder.add_itxt_chunk("Title".to_owned(), title).map_err(coding)?;
        encoder.add_itxt_chunk("Software".to_owned(), software.to_owned()).map_err(coding)?;
        let mut writer = encoder.write_header().map_err(coding)?;
        writer.write_image_data(&picture).map_err(coding)?;
        writer.finish().map_err(coding)?;
        Ok(bytes)
    }

    /// Mean of each block of fine pixels.
    fn averaged(&self) -> Vec<u8> {
        let fine_row = self.width * FINE * 3;
        let block = (FINE * FINE) as u32;
        let mut picture = Vec::with_capacity(self.width * self.height * 3);
        let mut sums = vec![0_u32; self.width * 3];
        for y in 0..self.height {
            sums.fill(0);
            for row in 0..FINE {
                let start = (y * FINE + row) * fine_row;
                let line = &self.fine[start..start + fine_row];
                for (sum, pixel) in sums.chunks_exact_mut(3).zip(line.chunks_exact(FINE * 3)) {
                    for part in pixel.chunks_exact(3) {
                        sum[0] += u32::from(part[0]);
                        sum[1] += u32::from(part[1]);
                        sum[2] += u32::from(part[2]);
                    }
                }
            }
            picture.extend(sums.iter().map(|s| ((s + block / 2) / block) as u8));
        }
        picture
    }
}

/// A place held to where numbers still have room.
fn near((x, y): (f64, f64)) -> (f64, f64) {
    let hold = |v: f64| if v.is_nan() { -FAR } else { v.clamp(-FAR, FAR) };
    (hold(x), hold(y))
}

/// The fine pixel at a place.
fn fine(at: (f64, f64)) -> (i32, i32) {
    let (x, y) = near(at);
    ((x * FINE as f64).round() as i32, (y * FINE as f64).round() as i32)
}

/// The part of a line inside a rectangle (Liang and Barsky, 1984, ACM Transactions on Graphics 3(1)).
fn clipped(from: (f64, f64), to: (f64, f64), rect: Rect) -> Option<((f64, f64), (f64, f64))> {
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut start, mut end) = (0.0_f64, 1.0_f64);
    let sides =
        [(-dx, from.0 - rect.left), (dx, rect.right - from.0), (-dy, from.1 - rect.top), (dy, rect.bottom - from.1)];
    for (p, q) in sides {
        if p.abs() < 1e-12 {
            if q < 0.0 {
                return None;
            }
        } else if p < 0.0 {
            start = start.max(q / p);
        } else {
            end = end.min(q / p);
        }
    }
    let at = |t: f64| (from.0 + t * dx, from.1 + t * dy);
    (start <= end).then(|| (at(start), at(end)))
}
