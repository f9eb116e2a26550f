//! Files in the repository that have to load.

use std::path::{Path, PathBuf};

use bellmouth::setup::load;

fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

#[test]
fn scenarios_and_the_known_single_load_without_errors_or_warnings() {
    for path in ["scenarios/sidecar_34mm.toml", "scenarios/sidecar_38mm.toml", "tests/trade/single_650.toml"] {
        let loaded = load(&here(path), None).unwrap_or_else(|report| panic!("{path}\n{report}"));
        assert!(loaded.warnings.is_empty(), "{path}\n{:#?}", loaded.warnings);
    }
}
