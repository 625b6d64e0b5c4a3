//! `chablon hub restore`.

use std::path::{Path, PathBuf};

use chablon_server::{Location, OpenStore};
use clap::Args;

use crate::arguments::StoreArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Make a hub's store from a backup, as a new history that kitchens list anew
///
/// A database is restored with the database server's own tools first; this then begins the new
/// history in it. No hub may serve it meanwhile.
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The backup of a file; a database has none here
    #[arg(long, value_name = "FILE")]
    from: Option<PathBuf>,
    #[command(flatten)]
    store: StoreArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let location = &arguments.store.location;
    let source = match (location, &arguments.from) {
        (Location::File(to), Some(from)) => {
            copy(from, to).await?;
            from.display().to_string()
        }
        (Location::Database(_), None) => "the database's backup".to_owned(),
        (Location::File(_), None) => {
            return Err(Failure::usage("a file is restored from a backup: name it with --from"));
        }
        (Location::Database(_), Some(_)) => {
            return Err(Failure::usage(
                "a database is restored with the database server's own tools first, then \
                 without --from",
            ));
        }
    };
    let restored = OpenStore::open_restored(location).await;
    restored.map_err(|error| super::store(location, &error))?.close().await;
    console::result(&format!(
        "{location} holds what was in {source}. What was recorded after the backup is gone; release it again."
    ))?;
    Ok(Exit::Result)
}

async fn copy(from: &Path, to: &Path) -> Result<(), Failure> {
    super::must_be_there(from)?;
    let shown = to.display();
    if to.exists() {
        return Err(Failure::refused(format!("{shown} is there already, so nothing was restored"))
            .hint("name a new file, or move the old store away together with its -wal and -shm"));
    }
    let copied = tokio::fs::copy(from, to).await;
    copied.map(|_| ()).map_err(|error| {
        Failure::hub(format!("{shown} can't be written ({error}), so nothing was restored"))
    })
}
