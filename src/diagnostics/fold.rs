//! Text folded into lines at blanks, quoted words kept whole.

/// `text` in lines of at most `width` characters; what stands in quotes, backticks or braces is kept on one line if it
/// fits, and a word longer than a line is cut.
#[must_use]
pub fn fold(text: &str, width: usize) -> String {
    text.lines().map(|line| fold_line(line, width.max(8))).collect::<Vec<_>>().join("\n")
}

fn fold_line(line: &str, width: usize) -> String {
    let mut lines: Vec<String> = vec![String::new()];
    let mut room = width;
    let mut put = |word: &str, lines: &mut Vec<String>| {
        let length = word.chars().count();
        let last = lines.len() - 1;
        let gap = usize::from(!lines[last].is_empty());
        if length + gap <= room {
            if gap == 1 {
                lines[last].push(' ');
            }
            lines[last].push_str(word);
            room -= length + gap;
        } else {
            lines.push(word.to_string());
            room = width.saturating_sub(length);
        }
    };
    for word in words(line) {
        if word.chars().count() <= width {
            put(&word, &mut lines);
            continue;
        }
        for part in word.split(' ') {
            let letters: Vec<char> = part.chars().collect();
            for piece in letters.chunks(width) {
                put(&piece.iter().collect::<String>(), &mut lines);
            }
        }
    }
    lines.retain(|l| !l.is_empty());
    lines.join("\n")
}

/// Words, a quoted stretch with its blanks being one.
fn words(line: &str) -> Vec<String> {
    let mut out: Vec<String> = Vec::new();
    let mut closing: Option<char> = None;
    for word in line.split(' ').filter(|w| !w.is_empty()) {
        match (closing, out.last_mut()) {
            (Some(_), Some(last)) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => out.push(word.to_string()),
        }
        for c in word.chars() {
            closing = match (closing, c) {
                (None, '"') => Some('"'),
                (None, '`') => Some('`'),
                (None, '{') => Some('}'),
                (Some(end), c) if c == end => None,
                (state, _) => state,
            };
        }
    }
    out
}
