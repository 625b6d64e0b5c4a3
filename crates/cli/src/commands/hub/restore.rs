//! `chablon hub restore`.

use std::path::PathBuf;

use chablon_server::SqliteHub;
use clap::Args;
use uuid::Uuid;

use crate::console;
use crate::failure::{Exit, Failure};

/// Make a hub's store from a backup, as a new history that kitchens list anew
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The backup
    #[arg(long, value_name = "FILE")]
    from: PathBuf,
    /// A new file for the store
    #[arg(long, value_name = "FILE")]
    store: PathBuf,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let (from, to) = (&arguments.from, &arguments.store);
    super::must_be_there(from)?;
    if to.exists() {
        return Err(Failure::refused(format!(
            "{} is there already, so nothing was restored",
            to.display()
        ))
        .hint("name a new file, or move the old store away together with its -wal and -shm"));
    }
    tokio::fs::copy(from, to).await.map_err(|error| {
        Failure::hub(format!(
            "{} can't be written ({error}), so nothing was restored",
            to.display()
        ))
    })?;
    let epoch = Uuid::new_v4().to_string().parse().expect("a UUID names an epoch");
    let store =
        SqliteHub::open_restored(to, epoch).await.map_err(|error| super::store(to, &error))?;
    store.close().await;
    console::result(&format!(
        "{} holds what was in {}. What was recorded after the backup is gone; release it again.",
        to.display(),
        from.display()
    ))?;
    Ok(Exit::Result)
}
