//! Python with nothing but its standard library: all that the oracle needs.

use std::path::Path;
use std::process::Command;

/// A Python that runs a module of this folder, the one that `cargo xtask test` prepared or else
/// the system's.
pub(crate) fn module(name: &str) -> Command {
    let python = std::env::var("CHABLON_PYTHON").unwrap_or_else(|_| "python3".to_owned());
    let mut command = Command::new(python);
    command.args(["-m", name]).current_dir(Path::new(env!("CARGO_MANIFEST_DIR")));
    command
}
