//! All tests, with what they need beyond the Rust toolchain.
//!
//! Python recomputes every figure independently and talks to the hub as a foreign client. Its
//! packages live under `target/python`, installed anew where their list changed.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use anyhow::{Context, bail};

use crate::shell::{cargo, root, run};

/// Arguments of `cargo xtask test`.
#[derive(clap::Args)]
pub(crate) struct Arguments {
    /// Passed on to `cargo test`, such as `--package chablon-arith` or the part of a test's name.
    #[arg(trailing_var_arg = true, allow_hyphen_values = true)]
    rest: Vec<String>,
}

/// Prepares Python, then runs `cargo test` over the workspace.
pub(crate) fn all(arguments: &Arguments) -> anyhow::Result<()> {
    let python = python()?;
    let mut test = cargo(&["test", "--workspace", "--all-features", "--locked", "--no-fail-fast"]);
    // The command line is run as a process by many tests.
    run(&mut cargo(&["build", "--package", "chablon-cli", "--locked"]))?;
    run(test.args(&arguments.rest).env("CHABLON_PYTHON", python))
}

/// A Python with the packages of `tests/python/requirements.txt` and the stubs on its path.
fn python() -> anyhow::Result<PathBuf> {
    let home = root().join("target/python");
    let python = home.join("venv/bin/python");
    let requirements = root().join("tests/python/requirements.txt");
    let wanted = fs::read_to_string(&requirements).context("tests/python/requirements.txt")?;
    let installed = home.join("installed.txt");
    if fs::read_to_string(&installed).is_ok_and(|text| text == wanted) && python.exists() {
        return Ok(python);
    }
    fs::create_dir_all(&home)?;
    system_python()?;
    run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(home.join("venv")))?;
    let pip = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"];
    run(Command::new(&python).args(pip).arg(&requirements))?;
    fs::write(installed, wanted)?;
    Ok(python)
}

fn system_python() -> anyhow::Result<()> {
    let script = "import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))";
    let output = Command::new("python3").args(["-c", script]).output();
    if output.is_ok_and(|output| output.status.success()) {
        return Ok(());
    }
    bail!("the tests need Python 3.11 or later with venv: `apt-get install python3 python3-venv`")
}
