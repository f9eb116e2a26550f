//! Lettering: the font that comes with the program, sizes and places of text.

use std::sync::OnceLock;

use plotters::style::{FontDesc, FontFamily, FontStyle, register_font};

use super::PlotError;
use super::colour::{Colour, INK};

/// Name under which the font is registered.
const FACE: &str = "sans-serif";
/// Height of ascent and descent over the em square in the embedded font [-]: the rasteriser takes this height as size.
const HEIGHT_OVER_EM: f64 = 1.164;
/// Height of a capital letter over the em square in the embedded font [-].
const CAPITAL_OVER_EM: f64 = 0.729;

/// Which side of the text its x stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Align {
    /// The text starts at x.
    Start,
    /// The middle is at x.
    Middle,
    /// The text ends at x.
    End,
}

/// How a text looks.
#[derive(Debug, Clone, Copy)]
pub struct Lettering {
    /// Size of the em square [px].
    pub size: f64,
    /// Colour.
    pub colour: Colour,
    /// Side that x stands for.
    pub align: Align,
    /// Whether the text runs upwards.
    pub upwards: bool,
}

impl Lettering {
    /// Dark text of a size [px], starting at x.
    #[must_use]
    pub fn new(size: f64) -> Self {
        Self { size, colour: INK, align: Align::Start, upwards: false }
    }

    /// The same in a colour.
    #[must_use]
    pub fn coloured(self, colour: Colour) -> Self {
        Self { colour, ..self }
    }

    /// The same with x in its middle.
    #[must_use]
    pub fn middle(self) -> Self {
        Self { align: Align::Middle, ..self }
    }

    /// The same with x at its end.
    #[must_use]
    pub fn end(self) -> Self {
        Self { align: Align::End, ..self }
    }

    /// The same, running upwards.
    #[must_use]
    pub fn upwards(self) -> Self {
        Self { upwards: true, ..self }
    }

    /// The font at `fine` times the size.
    pub(super) fn font(&self, fine: f64) -> FontDesc<'static> {
        FontDesc::new(FontFamily::Name(FACE), self.size * HEIGHT_OVER_EM * fine, FontStyle::Normal)
    }

    /// Width of `text` [px].
    ///
    /// # Errors
    /// The font is not there.
    pub fn width(&self, text: &str) -> Result<f64, PlotError> {
        use_font()?;
        let fine = 4.0;
        let (width, _) = self.font(fine).box_size(text).map_err(|_| PlotError::Font)?;
        Ok(f64::from(width) / fine)
    }

    /// Height of a capital letter [px].
    #[must_use]
    pub fn capital(&self) -> f64 {
        self.size * CAPITAL_OVER_EM
    }

    /// `text` if it is no wider than `room` [px], else its beginning with an ellipsis.
    ///
    /// # Errors
    /// The font is not there.
    pub fn fitted(&self, text: &str, room: f64) -> Result<String, PlotError> {
        let clean: String = text.chars().map(|c| if c.is_control() { '\u{b7}' } else { c }).collect();
        if self.width(&clean)? <= room {
            return Ok(clean);
        }
        let mut kept: Vec<char> = clean.chars().take(200).collect();
        while !kept.is_empty() {
            kept.pop();
            let cut: String = kept.iter().collect::<String>().trim_end().to_owned() + "\u{2026}";
            if self.width(&cut)? <= room {
                return Ok(cut);
            }
        }
        Ok(String::new())
    }
}

/// `text` if it is no wider than `room` [px].
///
/// # Errors
/// It is wider, or the font is not there.
pub fn whole(text: &str, look: Lettering, room: f64) -> Result<String, PlotError> {
    if look.width(text)? <= room {
        Ok(text.to_owned())
    } else {
        Err(PlotError::Drawing(format!("`{text}` is wider than its place of {room:.0} px")))
    }
}

/// The words of `text` in lines of at most `room` [px].
///
/// # Errors
/// A word is wider, or the font is not there.
pub fn wrapped(text: &str, look: Lettering, room: f64) -> Result<Vec<String>, PlotError> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let longer = lines.last().map(|line| format!("{line} {word}"));
        match (longer, lines.last_mut()) {
            (Some(longer), Some(last)) if look.width(&longer)? <= room => *last = longer,
            _ => lines.push(whole(word, look, room)?),
        }
    }
    Ok(lines)
}

/// Register the embedded font, once in a process.
///
/// # Errors
/// The font was refused.
pub(super) fn use_font() -> Result<(), PlotError> {
    static DONE: OnceLock<bool> = OnceLock::new();
    let fine = DONE.get_or_init(|| register_font(FACE, FontStyle::Normal, dejavu::sans::regular()).is_ok());
    if *fine { Ok(()) } else { Err(PlotError::Font) }
}
