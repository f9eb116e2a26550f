//! A number with the thing it counts.

/// `1 point`, `2 points`: the plural is the noun with an s.
#[must_use]
pub fn counted(number: usize, noun: &str) -> String {
    format!("{number} {noun}{}", if number == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_has_no_plural_and_none_has() {
        assert_eq!([0, 1, 2].map(|n| counted(n, "point")), ["0 points", "1 point", "2 points"]);
    }
}
