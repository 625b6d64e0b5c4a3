//! Running other programs from the workspace's root.

use std::path::{Path, PathBuf};
use std::process::Command;

use anyhow::{Context, bail};

/// The workspace's root folder.
pub(crate) fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}

/// A cargo command in the workspace's root.
pub(crate) fn cargo(arguments: &[&str]) -> Command {
    let mut command = Command::new(std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.args(arguments).current_dir(root());
    command
}

/// Runs a command to its end, saying what it is, and fails where it fails.
#[expect(clippy::print_stderr, reason = "a task says what it runs")]
pub(crate) fn run(command: &mut Command) -> anyhow::Result<()> {
    let line = shown(command);
    eprintln!("$ {line}");
    let status = command.status().with_context(|| format!("`{line}` could not be started"))?;
    if !status.success() {
        bail!("`{line}` failed: {status}");
    }
    Ok(())
}

fn shown(command: &Command) -> String {
    let words = std::iter::once(command.get_program()).chain(command.get_args());
    let words: Vec<_> = words.map(|word| word.to_string_lossy()).collect();
    let program = Path::new(words[0].as_ref()).file_name().unwrap_or_default();
    format!("{} {}", program.to_string_lossy(), words[1..].join(" "))
}
