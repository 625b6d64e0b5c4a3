//! The lists of checks are complete.

use std::fs;
use std::path::Path;

/// A check that no list names is one that no store is held to.
#[test]
fn every_check_is_listed() {
    for suite in ["hub", "replica"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/conformance").join(suite);
        let list = fs::read_to_string(folder.join("mod.rs")).unwrap();
        let listed: Vec<&str> = list.split(|c: char| !(c.is_alphanumeric() || c == '_')).collect();
        let mut found = 0;
        for file in fs::read_dir(folder).unwrap() {
            let text = fs::read_to_string(file.unwrap().path()).unwrap();
            for check in text.lines().filter_map(|line| line.strip_prefix("pub async fn ")) {
                let name = check.split('(').next().unwrap();
                assert!(listed.contains(&name), "`{name}` is not in the list of {suite}");
                found += 1;
            }
        }
        assert!(found >= 25, "only {found} checks of {suite} were found");
    }
}
