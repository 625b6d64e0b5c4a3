//! `chablon keys root` and `chablon keys rotate`.

use std::path::PathBuf;

use chablon_model::{Moment, Root};
use chablon_sdk::SignedBytes;
use chablon_sdk::trust::{Payload, TrustedRoot, freeze_root, sign};
use clap::Args;

use super::roles::{Roles, Three};
use super::show::shown;
use crate::failure::{Exit, Failure};
use crate::keys::{PassphraseArguments, read_root, write_root};
use crate::{clock, console};

const DAY_MS: i64 = 24 * 60 * 60 * 1000;

/// What the two have in common.
#[derive(Debug, Args)]
struct Making {
    /// The file to write
    #[arg(value_name = "FILE")]
    file: PathBuf,
    #[command(flatten)]
    roles: Roles,
    /// For how many days it holds; then the next version is due
    #[arg(long, value_name = "DAYS", default_value_t = 400)]
    days: u32,
    /// A root key's file to sign with; others sign with `chablon keys sign`
    #[arg(long = "sign", value_name = "FILE")]
    signers: Vec<PathBuf>,
    #[command(flatten)]
    passphrase: PassphraseArguments,
}

/// Make the first root of trust: which keys count, and for what
#[derive(Debug, Args)]
pub(crate) struct First {
    #[command(flatten)]
    making: Making,
}

/// Make the next version of a root of trust; what isn't given stays as it is
#[derive(Debug, Args)]
pub(crate) struct Next {
    /// The version before
    #[arg(value_name = "ROOT")]
    before: PathBuf,
    #[command(flatten)]
    making: Making,
}

pub(super) fn first(arguments: &First) -> Result<Exit, Failure> {
    let roles = arguments.making.roles.after(None)?;
    arguments.making.make(1, roles, None)
}

pub(super) fn next(arguments: &Next) -> Result<Exit, Failure> {
    let path = arguments.before.display();
    let before = TrustedRoot::as_it_says(&read_root(&arguments.before)?)
        .map_err(|error| Failure::refused(format!("{path}: {error}")))?;
    let Root { version, root, release, checkpoint, .. } = before.root().clone();
    let roles = arguments.making.roles.after(Some(Three { root, release, checkpoint }))?;
    arguments.making.make(version.saturating_add(1), roles, Some(&before))
}

impl Making {
    fn make(
        &self,
        version: u32,
        roles: Three,
        before: Option<&TrustedRoot>,
    ) -> Result<Exit, Failure> {
        let now = clock::now();
        let Three { root, release, checkpoint } = roles;
        let expires_at = Moment(now.0.saturating_add(i64::from(self.days) * DAY_MS));
        let root = Root { version, issued_at: now, expires_at, root, release, checkpoint };
        let mut frozen = freeze_root(&root);
        for key in self.passphrase.open(&self.signers)? {
            sign(&mut frozen, Payload::Root, &key);
        }
        let shown = shown(&frozen)?;
        write_root(&self.file, &frozen)?;
        console::result(&format!("{}\n{shown}", self.file.display()))?;
        console::note(&state(&frozen, before));
        Ok(Exit::Result)
    }
}

/// Whether it counts as it is.
pub(super) fn state(frozen: &SignedBytes, before: Option<&TrustedRoot>) -> String {
    let read = match before {
        Some(before) => before.next(frozen),
        None => TrustedRoot::as_it_says(frozen),
    };
    match read {
        Ok(_) => "Enough have signed: publish it with `chablon keys publish`.".to_owned(),
        Err(error) => format!("Not yet: {error}."),
    }
}
