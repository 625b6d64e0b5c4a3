//! Python with what a task needs of it, installed anew where the list of packages changed.

use std::fs;
use std::path::PathBuf;
use std::process::Command;

use anyhow::{Context, bail};

use crate::shell::{root, run};

/// A Python with the packages of a list, in a folder of its own; both by their paths from the root.
pub(crate) fn with(requirements: &str, home: &str) -> anyhow::Result<PathBuf> {
    let home = root().join(home);
    let python = home.join("venv/bin/python");
    let list = root().join(requirements);
    let wanted = fs::read_to_string(&list).with_context(|| requirements.to_owned())?;
    let installed = home.join("installed.txt");
    if fs::read_to_string(&installed).is_ok_and(|text| text == wanted) && python.exists() {
        return Ok(python);
    }
    fs::create_dir_all(&home)?;
    system_python()?;
    run(Command::new("python3").args(["-m", "venv", "--clear"]).arg(home.join("venv")))?;
    let pip = ["-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--requirement"];
    run(Command::new(&python).args(pip).arg(&list))?;
    fs::write(installed, wanted)?;
    Ok(python)
}

fn system_python() -> anyhow::Result<()> {
    let script = "import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))";
    let output = Command::new("python3").args(["-c", script]).output();
    if output.is_ok_and(|output| output.status.success()) {
        return Ok(());
    }
    bail!("this needs Python 3.11 or later with venv: `apt-get install python3 python3-venv`")
}
