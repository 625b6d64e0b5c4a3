//! `chablon kitchen rebuild`.

use chablon_sdk::Replica;
use clap::Args;

use super::trust::TrustArguments;
use super::{ReplicaArguments, sync};
use crate::arguments::HubArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Throw a replica away, whole or damaged, and take everything anew from the hub
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    replica: ReplicaArguments,
    #[command(flatten)]
    hub: HubArguments,
    #[command(flatten)]
    trust: TrustArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    // Nothing is thrown away while there is nobody to take it anew from.
    let head = client.head(&chablon_model::View::Whole).await;
    head.map_err(|error| Failure::of(&error, "the replica was left as it is"))?;
    let ReplicaArguments { replica, site } = &arguments.replica;
    let rebuilt = Replica::rebuild(replica, site.clone()).await;
    let rebuilt = rebuilt.map_err(|error| Failure::of(&error, "the replica was left as it is"))?;
    arguments.trust.apply(&rebuilt, &client, &arguments.hub).await?;
    let caught_up = sync::catch_up(&rebuilt, &client).await;
    rebuilt.close().await;
    console::result(&caught_up?)?;
    Ok(Exit::Result)
}
