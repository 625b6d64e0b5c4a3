//! The command line as a process.

use std::path::PathBuf;
use std::process::{Command, Output};

/// The built command line, beside this test's own program.
///
/// # Panics
/// Where it isn't built.
pub fn program() -> PathBuf {
    let test = std::env::current_exe().expect("a test has a program");
    let folder = test.ancestors().find(|folder| folder.ends_with("deps"));
    let profile = folder.and_then(|deps| deps.parent()).expect("tests run from a target folder");
    let program = profile.join(format!("chablon{}", std::env::consts::EXE_SUFFIX));
    assert!(program.exists(), "build the command line first: `cargo build -p chablon-cli`");
    program
}

/// A command of the command line, without what the environment would change.
pub fn chablon(arguments: &[&str]) -> Command {
    let mut command = Command::new(program());
    command.args(arguments).env("NO_COLOR", "1").env_remove("CHABLON_LOG");
    command
}

/// The Python that `cargo xtask test` made ready, with its packages.
pub fn python() -> PathBuf {
    let prepared = std::env::var_os("CHABLON_PYTHON").map(PathBuf::from);
    let usual =
        || PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../target/python/venv/bin/python");
    let python = prepared.unwrap_or_else(usual);
    assert!(python.exists(), "`cargo xtask test` makes Python ready first");
    python
}

/// Runs a command that must succeed.
///
/// # Panics
/// Where it fails, with all that it said.
pub fn succeed(command: &mut Command) -> Output {
    let output = command.output().expect("the program starts");
    let said = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    assert!(
        output.status.success(),
        "{command:?} failed ({}):\n{}{}",
        output.status,
        said(&output.stdout),
        said(&output.stderr)
    );
    output
}

/// What a command that must succeed prints as JSON.
pub fn json(command: &mut Command) -> serde_json::Value {
    serde_json::from_slice(&succeed(command).stdout).expect("nothing but JSON on standard output")
}
