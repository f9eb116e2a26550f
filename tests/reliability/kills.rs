//! A map killed at any moment goes on to the same bytes.

use std::process::Stdio;
use std::time::Duration;

use crate::undisturbed::{
    POINTS, assert_undisturbed, files, map, points_kept, points_taken_over, resume, undisturbed, wait_for,
};
use crate::{Dice, stage};

/// Kills; a third of them in a run that goes on already. `BELLMOUTH_KILLS` asks for another number.
const KILLS: usize = 12;

#[test]
fn a_map_killed_at_any_moment_goes_on_to_the_same_bytes() {
    let mut dice = Dice(2026);
    let (mut lost, mut amid, mut locks) = (0, 0, 0);
    let mut killed = 0;
    let kills = std::env::var("BELLMOUTH_KILLS").ok().and_then(|text| text.parse().ok()).unwrap_or(KILLS);
    while killed < kills {
        let folder = tempfile::tempdir().unwrap();
        let mut kept = 0;
        // Every third folder sees two kills, the second of them while the map goes on.
        for _ in 0..=usize::from(killed % 3 == 0) {
            let mut child =
                map(folder.path(), &["--resume"]).stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
            if killed % 2 == 0 {
                // among the points
                wait_for(folder.path(), (kept + 1 + dice.roll(5)).min(POINTS - 1), &mut child);
                std::thread::sleep(Duration::from_millis(dice.roll(20) as u64));
            } else {
                // anywhere from the start to the pictures
                std::thread::sleep(undisturbed().took.mul_f64(dice.share()));
            }
            child.kill().unwrap();
            child.wait().unwrap();
            locks += usize::from(folder.path().join(".bellmouth.lock").exists());
            killed += 1;
            assert!(points_kept(folder.path()) >= kept || !folder.path().join(crate::undisturbed::JOURNAL).exists());
            kept = points_kept(folder.path());
            amid += usize::from(kept > 0 && kept < POINTS);
            for (name, bytes) in files(folder.path()) {
                let own = name == crate::undisturbed::JOURNAL || name == ".bellmouth.lock";
                assert!(own || undisturbed().files.get(&name).is_some_and(|whole| *whole == bytes), "half of {name}");
            }
        }
        let ran = resume(folder.path());
        assert_undisturbed(folder.path(), &ran);
        lost += kept.saturating_sub(points_taken_over(&ran));
    }
    assert_eq!(lost, 0);
    assert!(amid * 4 >= kills, "only {amid} kills fell among the points");
    assert!(locks * 4 >= kills, "only {locks} kills left a lock, which blocks nobody");
    stage(
        "kills",
        &format!("{killed} of a map of {POINTS} points, {amid} of them among the points; lost points 0, same bytes"),
    );
}
