//! `chablon hub invite`.

use chablon_sdk::access::random_code;
use chablon_server::{Location, OpenStore, invite};
use clap::Args;

use crate::arguments::StoreArguments;
use crate::commands::access::{Whom, handed_over};
use crate::console;
use crate::failure::{Exit, Failure};

/// Make a code by which somebody joins, once: on the hub's own machine, for the first chef
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    store: StoreArguments,
    #[command(flatten)]
    whom: Whom,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let invitation = arguments.whom.invitation()?;
    let location = &arguments.store.location;
    if let Location::File(path) = location {
        super::must_be_there(path)?;
    }
    let code = random_code().map_err(|error| Failure::of(&error, "no code was made"))?;
    let store = OpenStore::open(location).await.map_err(|error| super::store(location, &error))?;
    let made = invite(
        store.store(),
        invitation.name.clone(),
        invitation.role,
        invitation.site.clone(),
        &code,
        (invitation.expires_at, invitation.token_expires_at),
    );
    let made = made.await;
    store.close().await;
    made.map_err(|error| Failure::refused(super::chain(&error)))?;
    console::result(&handed_over(&invitation, &code))?;
    Ok(Exit::Result)
}
