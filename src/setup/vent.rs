//! Where the float bowl's vent ends.

use super::air_box::Front;
use super::ledger::Ledger;
use super::reader::Reader;
use crate::diagnostics::{Place, Problem};

/// Where the float bowl's vent ends.
#[derive(Debug, Clone, Default)]
pub struct Vent {
    /// The part it ends in, with the word of the file; none for free air.
    inside: Option<(Front, &'static str)>,
    place: Option<Place>,
}

const WORDS: [(&str, Option<(Front, &str)>); 3] = [
    ("free air", None),
    ("air box", Some((Front::AirBox, "air_box"))),
    ("pod filter", Some((Front::PodFilter, "pod_filter"))),
];

impl Vent {
    /// Reads `vent` of the bowl's table, free air if it is not there.
    pub fn read(reader: &mut Reader<'_>, ledger: &mut Ledger) -> Self {
        let what = "follow the hose, or the drilling, from the float bowl: vent = \"free air\" or \"air box\"";
        let place = reader.value_place(ledger, "vent");
        let word = if place.is_some() { reader.choice(ledger, "vent", &WORDS, what) } else { None };
        Self { inside: word.flatten(), place }
    }

    /// Whether the vent ends in the part that stands in `front`; a part that is not there is noted.
    pub fn ends_in(&self, ledger: &mut Ledger, front: Option<Front>) -> bool {
        let Some((part, table)) = self.inside else { return false };
        if front == Some(part) {
            return true;
        }
        ledger.note(
            Problem::error(format!("the bowl is vented into {}, but the set-up has none", part.words()))
                .at(self.place.clone(), format!("no [{table}] in this set-up"))
                .allowed(match front {
                    None => "\"free air\"".to_string(),
                    Some(there) => format!("\"free air\" or \"{}\"", there.word()),
                })
                .help(match front {
                    None => format!("add the heading [{table}], or write vent = \"free air\""),
                    Some(there) => format!("write vent = \"{}\" if the bowl breathes from inside it", there.word()),
                }),
        );
        false
    }
}
