//! Sentences broken into lines.

/// Widest line of text output [columns].
pub const WIDTH: usize = 80;

/// `text` in lines of at most [`WIDTH`] columns; the first begins with `first`, the others with `rest`. A word longer
/// than a line is broken. Control characters become spaces, so that foreign text cannot steer a terminal. Ends with
/// a line feed.
#[must_use]
pub fn wrapped(first: &str, rest: &str, text: &str) -> String {
    let clean: String = text.chars().map(|c| if unseen(c) { ' ' } else { c }).collect();
    let mut out = String::new();
    let mut line = first.to_owned();
    let mut bare = true;
    let length = |s: &str| s.chars().count();
    for word in clean.split_whitespace() {
        let mut word: Vec<char> = word.chars().collect();
        loop {
            let gap = usize::from(!bare);
            if length(&line) + gap + word.len() <= WIDTH {
                if !bare {
                    line.push(' ');
                }
                line.extend(word);
                bare = false;
                break;
            }
            if bare {
                let room = WIDTH.saturating_sub(length(&line)).max(1);
                let tail = word.split_off(room.min(word.len()));
                line.extend(word);
                word = tail;
            }
            out.push_str(line.trim_end());
            out.push('\n');
            rest.clone_into(&mut line);
            bare = true;
            if word.is_empty() {
                break;
            }
        }
    }
    if !bare || out.is_empty() {
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

/// Characters that steer a terminal or turn the direction of writing (Unicode control and format characters).
fn unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}')
}
