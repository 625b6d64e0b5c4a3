//! What the tree must and must not hold.

use std::path::Path;
use std::process::Command;

use anyhow::{Context, bail};

use crate::shell::root;

/// What may stand at the top, hidden names aside.
const TOP_LEVEL: &[&str] = &[
    "Cargo.lock",
    "Cargo.toml",
    "DEVELOPERS.md",
    "LICENSE",
    "README.md",
    "crates",
    "deploy",
    "migrations",
    "proto",
    "tests",
];

/// The longest hand-written source file, in lines.
const MAX_LINES: usize = 500;

/// Fails with every finding.
pub(crate) fn check() -> anyhow::Result<()> {
    let files = tracked()?;
    let mut findings = Vec::new();
    for file in &files {
        let top = file.split('/').next().unwrap_or(file);
        if !top.starts_with('.') && !TOP_LEVEL.contains(&top) {
            findings.push(format!("{file}: nothing else stands at the top of the tree"));
        }
        if is_source(file) {
            findings.extend(source_findings(file)?);
        }
    }
    if findings.is_empty() { Ok(()) } else { bail!("{}", findings.join("\n")) }
}

fn is_source(file: &str) -> bool {
    let rust = Path::new(file).extension().is_some_and(|extension| extension == "rs");
    rust && !file.contains("/pb/")
}

fn source_findings(file: &str) -> anyhow::Result<Vec<String>> {
    let text = std::fs::read_to_string(root().join(file)).with_context(|| file.to_owned())?;
    let mut findings = Vec::new();
    let lines = text.lines().count();
    if lines > MAX_LINES {
        findings.push(format!("{file}: {lines} lines; split it, {MAX_LINES} is the most"));
    }
    // Suites that are built into other crates' tests are tests too.
    let is_test = file.contains("/tests") || file.contains("/conformance/");
    if file.contains("/src/") && !is_test {
        let code = text.split("#[cfg(test)]").next().unwrap_or_default();
        let unwraps = code.lines().enumerate().filter(|(_, line)| unwraps(line));
        findings.extend(unwraps.map(|(at, _)| {
            format!("{file}:{}: `unwrap` outside a test; say with `expect` why it holds", at + 1)
        }));
    }
    Ok(findings)
}

fn unwraps(line: &str) -> bool {
    let code = line.split("//").next().unwrap_or_default();
    // In a constant it can't fail at run time.
    code.contains(concat!(".unwrap", "()")) && !code.starts_with("const ")
}

/// The files that version control knows; all files where there is none.
fn tracked() -> anyhow::Result<Vec<String>> {
    let output = Command::new("git").args(["ls-files"]).current_dir(root()).output()?;
    if !output.status.success() {
        bail!("`git ls-files` failed; the tidy check runs in a checkout");
    }
    let listed = String::from_utf8(output.stdout)?;
    Ok(listed.lines().filter(|file| root().join(file).exists()).map(str::to_owned).collect())
}
