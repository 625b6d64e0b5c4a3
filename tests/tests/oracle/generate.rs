//! Running the oracle's generator.

use std::path::Path;
use std::process::Command;

/// A whole number from the environment.
pub(crate) fn setting(name: &str, default: u32) -> u32 {
    std::env::var(name).map_or(default, |text| text.parse().expect("a whole number"))
}

/// The generated books with their cases, a line of JSON each.
pub(crate) fn lines(seed: u32, count: u32) -> Vec<String> {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let out = folder.path().join("books.jsonl");
    let python = std::env::var("CHABLON_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let status = Command::new(&python)
        .args(["-m", "oracle.generate", "--seed", &seed.to_string(), "--count", &count.to_string()])
        .arg("--out")
        .arg(&out)
        .current_dir(Path::new(env!("CARGO_MANIFEST_DIR")))
        .status()
        .unwrap_or_else(|error| {
            panic!("`{python}` can't be started ({error}): run `cargo xtask test`")
        });
    assert!(status.success(), "the generator failed: {status}");
    let text = std::fs::read_to_string(out).expect("the generator writes its file");
    text.lines().map(str::to_owned).collect()
}
