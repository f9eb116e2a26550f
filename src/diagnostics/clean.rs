//! Foreign text made safe for a terminal.

/// `text` with each control, bidirectional and invisible character replaced by question marks of the same
/// byte length, so that byte positions stay right. Line feeds and tabs stay; a carriage return becomes a blank.
#[must_use]
pub fn clean(text: &str) -> String {
    text.chars().fold(String::with_capacity(text.len()), |mut out, c| {
        match c {
            '\n' | '\t' => out.push(c),
            '\r' => out.push(' '),
            c if hides(c) => (0..c.len_utf8()).for_each(|_| out.push('?')),
            c => out.push(c),
        }
        out
    })
}

/// `text` cleaned, on one line, cut to `longest` characters.
#[must_use]
pub fn clean_line(text: &str, longest: usize) -> String {
    let line = clean(text).replace(['\n', '\t'], " ");
    if line.chars().count() <= longest {
        return line;
    }
    line.chars().take(longest.saturating_sub(1)).chain(std::iter::once('…')).collect()
}

/// Whether a character acts on the terminal or cannot be seen: C0, C1, bidirectional marks, zero-width
/// characters, separators of lines and paragraphs, tags.
#[must_use]
pub fn hides(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{ad}' | '\u{34f}' | '\u{61c}' | '\u{115f}' | '\u{1160}' | '\u{17b4}' | '\u{17b5}' | '\u{180b}'
                ..='\u{180f}'
        )
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{3164}')
        || matches!(c, '\u{fe00}'..='\u{fe0f}' | '\u{feff}' | '\u{ffa0}' | '\u{fff9}'..='\u{fffb}' | '\u{e0000}'..='\u{e0fff}')
}
