//! `chablon hub backup`.

use std::path::PathBuf;

use chablon_server::open_store;
use clap::Args;

use crate::console;
use crate::failure::{Exit, Failure};

/// Copy a hub's store as of one moment, while it serves
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The store
    #[arg(long, value_name = "FILE")]
    store: PathBuf,
    /// A new file for the copy
    #[arg(long, value_name = "FILE")]
    to: PathBuf,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    super::must_be_there(&arguments.store)?;
    let store = open_store(&arguments.store)
        .await
        .map_err(|error| super::store(&arguments.store, &error))?;
    let copied = store.backup_to(&arguments.to).await;
    store.close().await;
    copied.map_err(|error| Failure::hub(super::chain(&error)))?;
    console::result(&format!(
        "{} is a backup of {}. Restore it with: chablon hub restore --from {} --store FILE",
        arguments.to.display(),
        arguments.store.display(),
        arguments.to.display()
    ))?;
    Ok(Exit::Result)
}
