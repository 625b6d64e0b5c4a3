//! Which store of a hub.

use chablon_server::Location;
use clap::Args;

/// Where a hub keeps everything.
#[derive(Debug, Args)]
pub(crate) struct StoreArguments {
    /// Where everything is kept: a file, made where there is none, or the URL of a PostgreSQL
    /// database, which several hubs may share
    #[arg(long = "store", value_name = "FILE|URL", env = "CHABLON_STORE", hide_env_values = true)]
    pub(crate) location: Location,
}
