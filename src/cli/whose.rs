//! Whose points a journal holds, and what differs when they are not those asked for.

use std::sync::OnceLock;

use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::journal::fnv1a64;
use crate::rig::settings::Settings;
use crate::study::map::Grid;

/// Most places of a set-up that are named.
const MOST_NAMED: usize = 5;

/// All that the points of a map depend on.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Whose {
    /// Version of the program.
    pub version: String,
    /// Hash of the program's file: a version may be built more than once.
    pub build: String,
    /// How finely and how long each point is computed.
    pub settings: Settings,
    /// The grid.
    pub grid: Grid,
    /// The set-up in its resolved form.
    pub setup: Value,
}

impl Whose {
    /// Those of this program.
    #[must_use]
    pub fn this(settings: Settings, grid: &Grid, setup: Value) -> Self {
        Self { version: env!("CARGO_PKG_VERSION").to_owned(), build: build(), settings, grid: grid.clone(), setup }
    }

    /// What keeps the points of `earlier` from being used, and what to do; none if they are the same.
    #[must_use]
    pub fn differs(&self, earlier: &Self) -> Option<(String, &'static str)> {
        let grid = |g: &Grid| format!("{} throttles by {} speeds", g.throttles.len(), g.speeds.len());
        if self.version != earlier.version {
            let text = format!("bellmouth {} computed them, this is {}", earlier.version, self.version);
            Some((text, "go on with that version"))
        } else if self.build != earlier.build {
            let text = format!("another build of bellmouth {} computed them", self.version);
            Some((text, "go on with that build"))
        } else if self.setup != earlier.setup {
            Some((format!("the set-up differs at {}", named(&earlier.setup, &self.setup)), "undo the change"))
        } else if self.grid != earlier.grid {
            let text = format!("the grid differs: it was {}, it is {}", grid(&earlier.grid), grid(&self.grid));
            Some((text, "give the same `--throttle` and `--rpm`"))
        } else if self.settings != earlier.settings {
            let words = |s: &Settings| format!("{} mm and {}", 1e3 * s.cell_size, s.courant);
            let text =
                format!("cells and Courant number were {}, now {}", words(&earlier.settings), words(&self.settings));
            Some((text, "give the same `--cell-size` and `--courant`"))
        } else {
            None
        }
    }
}

/// Hash of the program's file.
fn build() -> String {
    static ONCE: OnceLock<String> = OnceLock::new();
    let read = || std::env::current_exe().and_then(std::fs::read);
    let hash = || read().map_or_else(|_| "unknown".to_owned(), |bytes| format!("{:016x}", fnv1a64(&bytes)));
    ONCE.get_or_init(hash).clone()
}

/// The first places at which two set-ups differ.
fn named(then: &Value, now: &Value) -> String {
    let mut places = Vec::new();
    gather(then, now, String::new(), &mut places);
    let more = places.len().saturating_sub(MOST_NAMED);
    places.truncate(MOST_NAMED);
    let more = if more > 0 { format!(" and {more} more places") } else { String::new() };
    places.iter().map(|place| format!("`{place}`")).collect::<Vec<_>>().join(", ") + &more
}

fn gather(then: &Value, now: &Value, at: String, places: &mut Vec<String>) {
    let below = |key: &str| if at.is_empty() { key.to_owned() } else { format!("{at}.{key}") };
    match (then, now) {
        (Value::Object(a), Value::Object(b)) => {
            for (key, value) in a {
                gather(value, b.get(key).unwrap_or(&Value::Null), below(key), places);
            }
            places.extend(b.keys().filter(|key| !a.contains_key(*key)).map(|key| below(key)));
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            for (i, (x, y)) in a.iter().zip(b).enumerate() {
                gather(x, y, below(&i.to_string()), places);
            }
        }
        _ if then != now => places.push(at),
        _ => {}
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use serde_json::json;

    use super::*;

    fn whose() -> Whose {
        let grid = Grid { throttles: vec![0.5, 1.0], speeds: vec![3000.0] };
        Whose::this(Settings::default(), &grid, json!({"name": "x", "machine": {"bore": 0.1, "jets": [1.0, 2.0]}}))
    }

    #[test]
    fn the_same_question_to_the_same_program_differs_in_nothing() {
        assert_eq!(whose().differs(&whose()), None);
        let read: Whose = serde_json::from_str(&serde_json::to_string(&whose()).unwrap()).unwrap();
        assert_eq!(whose().differs(&read), None, "also after writing and reading");
    }

    #[test]
    fn each_difference_is_named_with_what_to_do() {
        let now = whose();
        let setup = json!({"name": "x", "machine": {"bore": 0.11, "jets": [1.0, 2.5]}, "more": 1});
        let cases = [
            (Whose { version: "0.0.9".into(), ..whose() }, "bellmouth 0.0.9 computed them"),
            (Whose { build: "0".into(), ..whose() }, "another build"),
            (Whose { setup, ..whose() }, "the set-up differs at `machine.bore`, `machine.jets.1`, `more`"),
            (
                Whose { grid: Grid { throttles: vec![1.0], speeds: vec![1.0] }, ..whose() },
                "it was 1 throttles by 1 speeds",
            ),
            (
                Whose { settings: Settings { cell_size: 0.01, ..Settings::default() }, ..whose() },
                "were 10 mm and 0.9, now 6",
            ),
        ];
        for (earlier, words) in cases {
            let (text, help) = now.differs(&earlier).unwrap();
            assert!(text.contains(words) && !help.is_empty(), "{text}");
        }
    }

    #[test]
    fn places_are_named_in_full_and_many_are_counted() {
        let (a, b) = (json!({"m": {"x": 1, "y": [1, 2]}}), json!({"m": {"x": 2, "y": [1, 3]}, "n": 0}));
        assert_eq!(named(&a, &b), "`m.x`, `m.y.1`, `n`");
        let many = |n: i32| Value::Array((0..9).map(|i| json!(i * n)).collect());
        assert!(named(&many(1), &many(2)).ends_with("`5` and 3 more places"), "{}", named(&many(1), &many(2)));
    }
}
