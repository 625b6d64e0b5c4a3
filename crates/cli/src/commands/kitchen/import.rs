//! `chablon kitchen import`.

use std::path::PathBuf;

use chablon_sdk::Bundle;
use clap::Args;

use super::ReplicaArguments;
use super::sync::{Before, news, say_why};
use super::trust::{TrustArguments, say_notices};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::keys::read_within;

/// The most bytes of a bundle: a site's view of a large group with all its history.
const MAX_BYTES: u64 = 1 << 30;

/// Take a kitchen's standards from a file that `chablon export` wrote
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The bundle
    #[arg(value_name = "FILE")]
    bundle: PathBuf,
    #[command(flatten)]
    replica: ReplicaArguments,
    #[command(flatten)]
    trust: TrustArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let failed = |error| Failure::of(&error, "nothing of the bundle was taken");
    let bundle = Bundle::from_bytes(read_within(&arguments.bundle, MAX_BYTES)?).map_err(failed)?;
    let replica = arguments.replica.open().await?;
    if let Some(pin) = arguments.trust.pin()? {
        bundle.pin(&replica, &pin).await.map_err(failed)?;
    }
    let before = Before::now(&replica).await?;
    let imported = replica.import(&bundle).await.map_err(failed)?;
    say_why(imported.relisted);
    say_notices(&imported.notices);
    let told = news(&replica, &before, imported.progress.position).await;
    replica.close().await;
    console::result(&told?)?;
    Ok(Exit::Result)
}
