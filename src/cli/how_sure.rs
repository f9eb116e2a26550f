//! Whether the lean spots of a map are there where the estimates are off: `map --how-sure`.

use std::num::NonZeroUsize;
use std::sync::atomic::AtomicBool;

use super::clock;
use super::console::say;
use super::counted::counted;
use super::progress::SharedProgress;
use crate::rig::settings::Settings;
use crate::setup::Setup;
use crate::study::how_sure::spots;
use crate::study::map::MapResult;
use crate::study::sweep::cost;

/// Adds the answer to the lean spots of `map`; whether that came to its end.
pub fn of_spots(
    setup: &Setup,
    map: &mut MapResult,
    settings: &Settings,
    threads: NonZeroUsize,
    stop: &AtomicBool,
) -> bool {
    let runs = spots::runs(setup, map);
    if runs == 0 {
        return true;
    }
    say(format_args!("how sure the lean spots are: at most {}", counted(runs, "run")));
    let progress = SharedProgress::over(runs, "run", runs as f64 * cost(1.0));
    let heard = |_| progress.advance(1.0);
    let answers = spots::run(setup, map, settings, (threads, stop), &heard);
    let took = progress.finish();
    match answers {
        Some(answers) => {
            for (place, sure) in answers {
                map.spots[place].how_sure = Some(sure);
            }
            say(format_args!("tried in {}", clock::exact(took)));
            true
        }
        None => {
            say("stopping; how sure they are is left out");
            false
        }
    }
}
