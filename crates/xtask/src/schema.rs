//! The schema against its own rules and against what was promised before.

use std::process::Command;

use anyhow::bail;

use crate::shell::{root, run};

/// The release of the checker, a program from the npm registry.
const BUF: &str = "@bufbuild/buf@1.75.0";

/// The schema as integrators know it: what stands in it may not be renumbered, renamed or removed.
/// `cargo xtask generate --promise` adds what is new.
pub(crate) const PROMISED: &str = "promised.binpb";

/// Holds names and comments to the rules in `proto/buf.yaml`, and the schema to its promise.
pub(crate) fn check() -> anyhow::Result<()> {
    let found = Command::new("npx").arg("--version").output();
    if !found.is_ok_and(|output| output.status.success()) {
        bail!("the schema's check needs npx: `apt-get install npm`");
    }
    run(&mut buf(&["lint"]))?;
    run(&mut buf(&["breaking", "--against", PROMISED]))
}

fn buf(arguments: &[&str]) -> Command {
    let mut command = Command::new("npx");
    command.args(["--yes", "--package", BUF, "buf"]).args(arguments);
    command.current_dir(root().join("proto"));
    command
}
