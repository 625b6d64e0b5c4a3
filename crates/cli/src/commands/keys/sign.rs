//! `chablon keys sign`.

use std::path::PathBuf;

use chablon_sdk::trust::{Payload, sign};
use clap::Args;

use super::root::state;
use super::show::shown;
use crate::console;
use crate::failure::{Exit, Failure};
use crate::keys::{PassphraseArguments, read_root, replace_root};

/// Add signatures to a root of trust, where its keys are held by several
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The root's file
    #[arg(value_name = "ROOT")]
    root: PathBuf,
    /// A root key's file; may be given more than once
    #[arg(long = "key", value_name = "FILE", required = true)]
    keys: Vec<PathBuf>,
    #[command(flatten)]
    passphrase: PassphraseArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let mut frozen = read_root(&arguments.root)?;
    for key in arguments.passphrase.open(&arguments.keys)? {
        sign(&mut frozen, Payload::Root, &key);
    }
    let shown = shown(&frozen)?;
    replace_root(&arguments.root, &frozen)?;
    console::result(&shown)?;
    console::note(&state(&frozen, None));
    Ok(Exit::Result)
}
