//! Times as a person reads them.

use std::time::Duration;

/// Time left, rounded: `about 25 s`, `about 4 min`, `about 1 h 20 min`.
#[must_use]
pub fn rounded(time: Duration) -> String {
    let seconds = time.as_secs();
    match seconds {
        0..55 => format!("about {} s", (seconds / 5 + 1) * 5),
        55..3570 => format!("about {} min", (seconds + 30).max(60) / 60),
        _ => {
            let tens = (seconds + 300) / 600;
            format!("about {} h {} min", tens / 6, tens % 6 * 10)
        }
    }
}

/// Time taken, exact: `3.2 s`, `2 min 5.0 s`.
#[must_use]
pub fn exact(time: Duration) -> String {
    let tenths = (time.as_millis() + 50) / 100;
    let (minutes, rest) = (tenths / 600, tenths % 600);
    let seconds = format!("{}.{} s", rest / 10, rest % 10);
    if minutes == 0 { seconds } else { format!("{minutes} min {seconds}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn time_left_is_rounded_to_what_it_is_worth() {
        let cases = [
            (0, "about 5 s"),
            (12, "about 15 s"),
            (54, "about 55 s"),
            (55, "about 1 min"),
            (89, "about 1 min"),
            (90, "about 2 min"),
            (3569, "about 59 min"),
            (3570, "about 1 h 0 min"),
            (5000, "about 1 h 20 min"),
        ];
        for (seconds, wanted) in cases {
            assert_eq!(rounded(Duration::from_secs(seconds)), wanted);
        }
    }

    #[test]
    fn time_taken_is_exact_to_a_tenth_of_a_second() {
        assert_eq!(exact(Duration::from_millis(3_249)), "3.2 s");
        assert_eq!(exact(Duration::from_millis(59_970)), "1 min 0.0 s");
        assert_eq!(exact(Duration::from_millis(125_049)), "2 min 5.0 s");
    }
}
