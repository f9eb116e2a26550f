//! Whether set-ups are of the same engine, behind the same air box, in the same air, on the same fuel.

use std::path::PathBuf;

use super::ending::Failure;
use crate::diagnostics::clean::clean_line;
use crate::setup::Setup;

/// What has to agree, as the first word of a key.
const AGREE: [&str; 5] = ["engine.", "air.", "fuel.", "air_box.", "pod_filter."];
/// Most keys named.
const MOST: usize = 8;

/// Refuses set-ups that differ in engine, air box, air or fuel.
///
/// # Errors
/// [`Failure::Input`] with the keys that differ and both values.
pub fn check(paths: &[PathBuf], setups: &[Setup]) -> Result<(), Failure> {
    let Some((first, others)) = setups.split_first() else { return Ok(()) };
    for (path, other) in paths[1..].iter().zip(others) {
        let (a, b) = (&first.machine, &other.machine);
        let alike = a.engine == b.engine
            && a.air == b.air
            && a.fuel == b.fuel
            && a.evaporated_fraction.to_bits() == b.evaporated_fraction.to_bits()
            && front(first) == front(other);
        if alike {
            continue;
        }
        let name = |path: &PathBuf| clean_line(&path.to_string_lossy(), 60);
        let mut text = format!(
            "error: `{}` and `{}` differ in engine, air box, air or fuel; only the carburettor may differ",
            name(&paths[0]),
            name(path)
        );
        let differ = differing(first, other);
        for (key, one, two) in differ.iter().take(MOST) {
            text += &format!("\n  {key}: {one} against {two}");
        }
        if differ.len() > MOST {
            text += &format!("\n  and {} more", differ.len() - MOST);
        }
        text +=
            "\nhelp: name the same engine file in both, `engine = \"...\"`, and the same [air_box], [air] and [fuel]";
        return Err(Failure::Input(text));
    }
    Ok(())
}

/// What the file says of the air box or pod filter; estimates follow the bore, so they may differ.
fn front(setup: &Setup) -> (bool, Vec<(&str, &str)>) {
    let given = setup.provenance.iter().filter(|p| p.estimate().is_none());
    let keys = given.filter(|p| p.key.starts_with("air_box.") || p.key.starts_with("pod_filter."));
    (setup.machine.air_box.is_some(), keys.map(|p| (p.key.as_str(), p.shown.as_str())).collect())
}

/// Keys of engine, air box, air and fuel with different values.
fn differing(first: &Setup, other: &Setup) -> Vec<(String, String, String)> {
    let shown = |setup: &Setup, key: &str| {
        setup.provenance.iter().find(|p| p.key == key).map_or("not given".to_owned(), |p| p.shown.clone())
    };
    let mut keys: Vec<&String> = Vec::new();
    for p in first.provenance.iter().chain(&other.provenance) {
        if AGREE.iter().any(|a| p.key.starts_with(a)) && !keys.contains(&&p.key) {
            keys.push(&p.key);
        }
    }
    let pairs = keys.into_iter().map(|key| (key.clone(), shown(first, key), shown(other, key)));
    pairs.filter(|(_, a, b)| a != b).collect()
}
