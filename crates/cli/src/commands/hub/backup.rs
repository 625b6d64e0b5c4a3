//! `chablon hub backup`.

use std::path::PathBuf;

use chablon_server::{Location, open_store};
use clap::Args;

use crate::arguments::StoreArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Copy a hub's store as of one moment, while it serves
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    store: StoreArguments,
    /// A new file for the copy
    #[arg(long, value_name = "FILE")]
    to: PathBuf,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let location = &arguments.store.location;
    let Location::File(path) = location else {
        return Err(Failure::refused(format!("{location} is a database, so nothing was copied"))
            .hint("back it up with the database server's own tools, such as pg_dump"));
    };
    super::must_be_there(path)?;
    let store = open_store(path).await.map_err(|error| super::store(location, &error))?;
    let copied = store.backup_to(&arguments.to).await;
    store.close().await;
    copied.map_err(|error| Failure::hub(super::chain(&error)))?;
    let to = arguments.to.display();
    console::result(&format!(
        "{to} is a backup of {location}. Restore it with: chablon hub restore --from {to} --store FILE"
    ))?;
    Ok(Exit::Result)
}
