//! Every check that runs none of the project's code.

use anyhow::Context;

use crate::shell::{cargo, run};
use crate::{generate, schema, tidy};

/// cargo-deny, as the project runs it. Advisories need a database from the network and are
/// checked where that can be reached: `cargo deny check advisories`.
const DENY: &[&str] = &["deny", "--config", ".deny.toml", "check", "bans", "licenses", "sources"];

/// The release of cargo-deny that is installed where there is none.
const DENY_VERSION: &str = "0.20.2";

/// Runs all checks and stops at the first that fails.
pub(crate) fn all() -> anyhow::Result<()> {
    run(&mut cargo(&["fmt", "--all", "--check"]))?;
    tidy::check().context("the tree is not tidy")?;
    generate::run(&generate::Arguments { check: true, promise: false })?;
    schema::check()?;
    let clippy = ["clippy", "--workspace", "--all-targets", "--all-features", "--locked"];
    run(cargo(&clippy).args(["--", "--deny", "warnings"]))?;
    let doc = ["doc", "--workspace", "--no-deps", "--all-features", "--locked"];
    run(cargo(&doc).env("RUSTDOCFLAGS", "--deny warnings"))?;
    deny()
}

fn deny() -> anyhow::Result<()> {
    let found = cargo(&["deny", "--version"]).output().is_ok_and(|out| out.status.success());
    if !found {
        run(&mut cargo(&["install", "cargo-deny", "--locked", "--version", DENY_VERSION]))?;
    }
    run(&mut cargo(DENY))
}
