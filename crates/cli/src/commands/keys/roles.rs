//! The roles of a root, as they are typed.

use std::path::Path;

use chablon_model::{PublicKey, TrustKey, TrustRole};
use clap::Args;

use crate::failure::Failure;
use crate::keys::read_key;

/// Whose keys do what. A key is a key file, or `PUBLIC=HOLDER` where it is somebody else's.
#[derive(Debug, Args)]
pub(super) struct Roles {
    /// A key that may replace the root; may be given more than once
    #[arg(long = "root-key", value_name = "KEY")]
    root: Vec<String>,
    /// How many of the root keys must sign
    #[arg(long, value_name = "N")]
    root_threshold: Option<u32>,
    /// A key that may release and withdraw; may be given more than once
    #[arg(long = "release-key", value_name = "KEY")]
    release: Vec<String>,
    /// How many of the release keys must sign
    #[arg(long, value_name = "N")]
    release_threshold: Option<u32>,
    /// A hub's key; may be given more than once
    #[arg(long = "hub-key", value_name = "KEY")]
    hub: Vec<String>,
}

/// The three roles of a root.
pub(super) struct Three {
    pub(super) root: TrustRole,
    pub(super) release: TrustRole,
    pub(super) checkpoint: TrustRole,
}

impl Roles {
    /// The roles, where those that aren't given are as before. At first all must be given.
    pub(super) fn after(&self, before: Option<Three>) -> Result<Three, Failure> {
        let (root, release, hub) = match before {
            Some(Three { root, release, checkpoint }) => {
                (Some(root), Some(release), Some(checkpoint))
            }
            None => (None, None, None),
        };
        Ok(Three {
            root: role(&self.root, self.root_threshold, root, "--root-key")?,
            release: role(&self.release, self.release_threshold, release, "--release-key")?,
            checkpoint: role(&self.hub, None, hub, "--hub-key")?,
        })
    }
}

fn role(
    given: &[String],
    threshold: Option<u32>,
    before: Option<TrustRole>,
    flag: &str,
) -> Result<TrustRole, Failure> {
    let mut keys = given.iter().map(|text| key(text)).collect::<Result<Vec<_>, _>>()?;
    keys.sort();
    let (keys, usual) = match before {
        Some(before) if keys.is_empty() => (before.keys, before.threshold),
        Some(before) => (keys, before.threshold),
        None if keys.is_empty() => {
            return Err(Failure::usage(format!("a first root needs at least one {flag}")));
        }
        None => (keys, 1),
    };
    Ok(TrustRole { threshold: threshold.unwrap_or(usual), keys })
}

fn key(text: &str) -> Result<TrustKey, Failure> {
    if let Some((public, holder)) = text.split_once('=') {
        let public: Result<PublicKey, _> = public.parse();
        let key = public.map_err(|error| Failure::usage(error.to_string()))?;
        return Ok(TrustKey { key, holder: holder.to_owned() });
    }
    let file = read_key(Path::new(text))?;
    Ok(TrustKey { key: file.public(), holder: file.holder().to_owned() })
}
