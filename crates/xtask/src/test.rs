//! All tests, with what they need beyond the Rust toolchain.
//!
//! Python recomputes every figure independently and talks to the hub as a foreign client. Its
//! packages live under `target/python`, installed anew where their list changed.

use crate::python;
use crate::shell::{cargo, run};

/// Arguments of `cargo xtask test`.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// Passed on to `cargo test`, such as `--package chablon-arith` or the part of a test's name.
    #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
    rest: Vec<String>,
}

/// Prepares Python, then runs `cargo test` over the workspace, which builds the command line before
/// any test starts it.
pub(crate) fn all(arguments: &Arguments) -> anyhow::Result<()> {
    let python = python::with("tests/python/requirements.txt", "target/python")?;
    let mut test = cargo(&["test", "--workspace", "--all-features", "--locked", "--no-fail-fast"]);
    run(test.args(&arguments.rest).env("CHABLON_PYTHON", python))
}
