//! Which files a set-up may name, and that a refusal never shows what a file holds.

use std::fs;
use std::path::{Path, PathBuf};

use bellmouth::diagnostics::{Style, render};
use bellmouth::setup::load;

/// What a file outside the root holds; it may show up in no report.
const SECRET: &str = "s3cret-line";

struct Place {
    folder: tempfile::TempDir,
}

impl Place {
    /// A root `set` with a good engine and carburettor, a sibling `set-up` and a file beside them.
    fn new() -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let bad = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/setup/bad/parts");
        let root = folder.path().join("set");
        fs::create_dir_all(root.join("parts/deep")).expect("folders");
        fs::create_dir_all(folder.path().join("set-up")).expect("a folder");
        for part in ["engine.toml", "carburettor.toml"] {
            fs::copy(bad.join(part), root.join("parts").join(part)).expect("a copy");
            fs::copy(bad.join(part), folder.path().join("set-up").join(part)).expect("a copy");
        }
        fs::write(folder.path().join("outside.toml"), format!("{SECRET} = {SECRET}\n")).expect("a file");
        Self { folder }
    }

    fn root(&self) -> PathBuf {
        self.folder.path().join("set")
    }

    /// Loads a set-up in the root that names `engine`; the drawn report, or none if it loads.
    fn load(&self, engine: &str) -> Option<String> {
        let engine = engine.replace('\\', "\\\\").replace('\u{0}', "\\u0000");
        let text = format!("engine = \"{engine}\"\ncarburettor = \"parts/carburettor.toml\"\n");
        let path = self.root().join("main.toml");
        fs::write(&path, text).expect("a file");
        let report = load(&path, None).err()?;
        let drawn = render(&report.problems, Style::plain());
        assert!(!drawn.contains(SECRET), "content of a refused file in {drawn}");
        Some(drawn)
    }
}

#[test]
fn a_path_inside_the_root_loads() {
    let place = Place::new();
    for path in ["parts/engine.toml", "./parts/engine.toml", "parts/deep/../engine.toml"] {
        assert_eq!(place.load(path), None, "{path}");
    }
}

#[test]
fn paths_that_leave_the_root_or_are_no_plain_paths_are_refused() {
    let place = Place::new();
    let absolute = place.root().join("parts/engine.toml").to_string_lossy().into_owned();
    let long = format!("{}.toml", "x".repeat(300));
    let longer = "x/".repeat(600);
    let cases = [
        ("../outside.toml", "climbs out"),
        ("parts/../../outside.toml", "climbs out"),
        ("../set-up/engine.toml", "climbs out"),
        ("../set/parts/engine.toml", "climbs out"),
        (absolute.as_str(), "absolute"),
        ("/etc/passwd", "absolute"),
        ("//host/share/x.toml", "absolute"),
        ("\\\\host\\share\\x.toml", "backslash"),
        ("\\\\?\\C:\\x.toml", "backslash"),
        ("parts\\engine.toml", "backslash"),
        ("C:x.toml", "drive letter"),
        ("C:/x.toml", "drive letter"),
        ("file:///etc/passwd", "drive letter"),
        ("parts/engine.toml:stream", "drive letter"),
        ("CON", "device"),
        ("parts/nul", "device"),
        ("aux.toml", "device"),
        ("com1.txt", "device"),
        ("parts/engine.toml ", "blank"),
        ("parts/engine.toml.", "point"),
        ("parts//engine.toml", "two slashes"),
        ("parts/", "two slashes"),
        ("", "empty"),
        ("parts/\u{0}engine.toml", "invisible"),
        ("parts/\u{202e}engine.toml", "invisible"),
        (long.as_str(), "longer than 255"),
        (longer.as_str(), "longer than 1024"),
        ("parts", "a folder"),
        ("parts/nowhere.toml", "not there"),
        ("main.toml", "names itself"),
        ("parts/../main.toml", "names itself"),
        ("parts/engine.toml/x", "`engine`"),
    ];
    for (path, why) in cases {
        let drawn = place.load(path).unwrap_or_else(|| panic!("{path:?} loaded"));
        let flat = drawn.replace("\n  │ ", " ");
        assert!(flat.contains(why), "{path:?}: no \"{why}\" in\n{drawn}");
    }
}

#[test]
fn a_wider_root_allows_what_lies_inside_it() {
    let place = Place::new();
    let path = place.root().join("main.toml");
    let text = "engine = \"../set-up/engine.toml\"\ncarburettor = \"parts/carburettor.toml\"\n";
    fs::write(&path, text).expect("a file");
    assert!(load(&path, None).is_err());
    assert!(load(&path, Some(place.folder.path())).is_ok());
    let elsewhere = place.folder.path().join("set-up");
    let report = load(&path, Some(&elsewhere)).expect_err("a root that does not hold the set-up");
    let drawn = report.to_string().replace("\n  │ ", " ");
    assert!(drawn.contains("does not lie inside the root"), "{drawn}");
}

#[cfg(unix)]
#[test]
fn links_are_judged_by_where_they_lead() {
    use std::os::unix::fs::symlink;
    let place = Place::new();
    let root = place.root();
    let link = |target: &Path, name: &str| symlink(target, root.join(name)).expect("a link");
    link(Path::new("parts/engine.toml"), "inside.toml");
    link(Path::new("../outside.toml"), "out.toml");
    link(&place.folder.path().join("set-up"), "folder");
    link(Path::new("loop-b.toml"), "loop-a.toml");
    link(Path::new("loop-a.toml"), "loop-b.toml");
    link(Path::new("../outside.toml"), "chain-0");
    for i in 1..=60 {
        link(Path::new(&format!("chain-{}", i - 1)), &format!("chain-{i}"));
    }
    assert_eq!(place.load("inside.toml"), None);
    for (path, why) in [
        ("out.toml", "target lies outside"),
        ("folder/engine.toml", "target lies outside"),
        ("chain-5", "target lies outside"),
        ("chain-60", "`engine`"),
        ("loop-a.toml", "`engine`"),
    ] {
        let drawn = place.load(path).unwrap_or_else(|| panic!("{path} loaded")).replace("\n  │ ", " ");
        assert!(drawn.contains(why), "{path}: {drawn}");
    }
}

#[cfg(unix)]
#[test]
fn pipes_large_files_and_broken_text_are_refused_as_named_files_too() {
    let place = Place::new();
    let pipe = place.root().join("pipe.toml");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().expect("mkfifo").success());
    fs::write(place.root().join("large.toml"), "#\n".repeat(131_073)).expect("a file");
    fs::write(place.root().join("broken.toml"), [0xff, 0xfe, 0x41]).expect("a file");
    for (path, why) in [("pipe.toml", "not a regular file"), ("large.toml", "too large"), ("broken.toml", "UTF-16")] {
        let drawn = place.load(path).unwrap_or_else(|| panic!("{path} loaded"));
        assert!(drawn.contains(why) && drawn.contains("main.toml:1:10"), "{path}: {drawn}");
    }
}

#[test]
fn text_without_a_file_may_not_name_files() {
    let report = bellmouth::setup::load_text("given", "engine = \"parts/engine.toml\"").expect_err("a refusal");
    assert!(report.to_string().contains("`engine` names a file"), "{report}");
}

#[test]
fn a_named_file_may_not_name_files_itself_nor_be_found_by_other_capitals() {
    let place = Place::new();
    let engine = fs::read_to_string(place.root().join("parts/engine.toml")).expect("a file");
    fs::write(place.root().join("parts/naming.toml"), format!("engine = \"engine.toml\"\n{engine}")).expect("a file");
    let drawn = place.load("parts/naming.toml").expect("a refusal").replace("\n  │ ", " ");
    assert!(drawn.contains("`engine`") && drawn.contains("naming.toml"), "{drawn}");
    // Whether capitals count is the file system's own rule: refused as not there, or the same file inside the root.
    if let Some(drawn) = place.load("PARTS/ENGINE.TOML") {
        assert!(drawn.contains("not there"), "{drawn}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_to_a_device_and_a_file_that_may_not_be_read_are_refused() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let place = Place::new();
    symlink("/dev/zero", place.root().join("zero.toml")).expect("a link");
    let drawn = place.load("zero.toml").expect("a refusal").replace("\n  │ ", " ");
    assert!(drawn.contains("target lies outside"), "{drawn}");
    let locked = place.root().join("locked.toml");
    fs::write(&locked, SECRET).expect("a file");
    fs::set_permissions(&locked, fs::Permissions::from_mode(0o000)).expect("rights");
    // The superuser reads it all the same.
    if fs::read(&locked).is_err() {
        assert!(place.load("locked.toml").expect("a refusal").contains("`engine`"));
    }
}
