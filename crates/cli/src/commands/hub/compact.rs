//! `chablon hub compact`.

use chablon_model::Moment;
use chablon_server::{Location, OpenStore, compact};
use clap::Args;

use crate::arguments::StoreArguments;
use crate::failure::{Exit, Failure};
use crate::{clock, console};

/// Shorten what new kitchens must read: leave out what was superseded long ago
///
/// The hub itself forgets nothing, and what is in force stays as it is. Kitchens that have not
/// caught up since then list anew. Hubs that serve the store go on.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    store: StoreArguments,
    /// Leave out what was recorded before this moment, such as `2026-01-01`
    #[arg(long, value_name = "MOMENT", value_parser = clock::parse_moment)]
    before: Moment,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let location = &arguments.store.location;
    if let Location::File(path) = location {
        super::must_be_there(path)?;
    }
    let store = OpenStore::open(location).await.map_err(|error| super::store(location, &error))?;
    let compacted = compact(store.store(), arguments.before, clock::now()).await;
    store.close().await;
    let compacted = compacted.map_err(|error| {
        Failure::hub(format!("{}, so nothing was left out", super::chain(&error)))
    })?;
    console::result(&format!(
        "Of the entries up to position {}, kitchens need not read {} any more.",
        compacted.up_to, compacted.passed_over
    ))?;
    Ok(Exit::Result)
}
