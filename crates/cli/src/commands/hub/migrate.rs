//! `chablon hub migrate`.

use chablon_server::OpenStore;
use clap::Args;

use crate::arguments::StoreArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Make the tables of a hub's store, or bring them up to date
///
/// A database is prepared so before the first hub serves it and again before a newer version does;
/// hubs that serve it meanwhile go on. A file needs it never: it is brought up to date when it is
/// opened.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    store: StoreArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let location = &arguments.store.location;
    OpenStore::prepare(location).await.map_err(|error| super::unprepared(location, &error))?;
    console::result(&format!(
        "{location} is up to date. Serve it with: chablon hub serve --store {location}"
    ))?;
    Ok(Exit::Result)
}
