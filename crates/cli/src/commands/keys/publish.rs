//! `chablon keys publish` and `chablon keys sign-feed`.

use std::path::PathBuf;

use clap::Args;

use super::show::shown;
use crate::arguments::HubArguments;
use crate::failure::{Exit, Failure};
use crate::keys::{SigningArguments, read_root};
use crate::{console, runtime};

/// Give a root of trust to the hub, from which kitchens take it
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The root's file
    #[arg(value_name = "ROOT")]
    root: PathBuf,
    #[command(flatten)]
    hub: HubArguments,
}

/// Sign what is in the feed and isn't signed by a release key that counts
#[derive(Debug, Args)]
pub(crate) struct FeedArguments {
    #[command(flatten)]
    hub: HubArguments,
    #[command(flatten)]
    signing: SigningArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let root = read_root(&arguments.root)?;
    let shown = shown(&root)?;
    let added = runtime::run(async { Ok(arguments.hub.client()?.add_root(&root).await) })?;
    let version = added.map_err(|error| Failure::of(&error, "the hub's root stays as it is"))?;
    console::result(&format!("{shown}\nThe hub has version {version}."))?;
    console::note(&format!("Kitchens pin it with `chablon kitchen sync --trust {}`.", root.digest));
    Ok(Exit::Result)
}

pub(super) fn sign_feed(arguments: &FeedArguments) -> Result<Exit, Failure> {
    let keys = arguments.signing.keys()?;
    if keys.is_empty() {
        return Err(Failure::usage("the feed is signed with a release key; give --key FILE"));
    }
    let signed = runtime::run(async { Ok(arguments.hub.client()?.sign_entries(&keys).await) })?;
    let signed = signed.map_err(|error| Failure::of(&error, "no more was signed"))?;
    console::result(&match signed {
        0 => "Every entry of the feed is signed already.".to_owned(),
        1 => "1 entry of the feed was signed.".to_owned(),
        many => format!("{many} entries of the feed were signed."),
    })?;
    Ok(Exit::Result)
}
