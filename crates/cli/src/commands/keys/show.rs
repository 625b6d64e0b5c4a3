//! `chablon keys show`.

use std::fmt::Write as _;
use std::path::PathBuf;

use chablon_model::{Root, TrustKey, TrustRole};
use chablon_sdk::SignedBytes;
use chablon_sdk::trust::root_content;
use clap::Args;

use crate::failure::{Exit, Failure};
use crate::keys::{read_key, read_root};
use crate::{clock, console};

/// Show a key file's public key, or what a root file says
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Key files and root files
    #[arg(value_name = "FILE", required = true)]
    files: Vec<PathBuf>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    for path in &arguments.files {
        let text = if let Ok(root) = read_root(path) {
            shown(&root)?
        } else {
            let key = read_key(path)?;
            let kept = if key.is_sealed() { "sealed" } else { "not sealed" };
            format!("{} ({}, {kept})", key.public(), key.holder())
        };
        console::result(&format!("{}\n{text}", path.display()))?;
    }
    Ok(Exit::Result)
}

/// What a root says, and by whom it is signed as far as is claimed.
pub(super) fn shown(frozen: &SignedBytes) -> Result<String, Failure> {
    let root = root_content(frozen).map_err(|error| Failure::refused(error.to_string()))?;
    let Root { version, expires_at, .. } = &root;
    let mut text = format!(
        "Root of trust, version {version}, due for the next on {}\nDigest {}\n",
        clock::show(*expires_at),
        frozen.digest
    );
    for (name, role) in
        [("root", &root.root), ("release", &root.release), ("hub", &root.checkpoint)]
    {
        text.push_str(&lines(name, role, frozen));
    }
    Ok(text.trim_end().to_owned())
}

fn lines(name: &str, role: &TrustRole, frozen: &SignedBytes) -> String {
    let mut text = format!("{name}: {} of {} must sign\n", role.threshold, role.keys.len());
    let mut keys: Vec<&TrustKey> = role.keys.iter().collect();
    keys.sort_by_key(|key| &key.holder);
    for key in keys {
        let signed = frozen.signatures.iter().any(|one| one.key == key.key);
        let mark = if signed { " (has signed)" } else { "" };
        let _ = writeln!(text, "  {} {}{mark}", key.key, key.holder);
    }
    text
}
