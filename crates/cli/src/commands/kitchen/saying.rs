//! What a kitchen says, and when the hub hears it.

use std::path::PathBuf;

use chablon_sdk::Replica;
use clap::Args;

use super::sync;
use crate::arguments::LineArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Whose word it is, and whom to tell.
#[derive(Debug, Args)]
pub(super) struct Saying {
    /// The replica's file
    #[arg(long, value_name = "FILE", env = "CHABLON_REPLICA")]
    replica: PathBuf,
    /// Tell this hub at once, not with the next sync
    #[arg(long, value_name = "URL", value_delimiter = ',', env = "CHABLON_HUB")]
    hub: Vec<String>,
    #[command(flatten)]
    line: LineArguments,
}

impl Saying {
    pub(super) async fn replica(&self) -> Result<Replica, Failure> {
        let opened = Replica::reopen(&self.replica).await;
        opened.map_err(|error| Failure::of(&error, "nothing was said"))
    }

    /// Tells the hub, if that is to be at once, and then what was said.
    pub(super) async fn tell(&self, replica: Replica, said: &str) -> Result<Exit, Failure> {
        let told = if self.hub.is_empty() {
            "The next sync tells the hub."
        } else {
            sync::catch_up(&replica, &self.line.connect(&self.hub)?).await?;
            "The hub knows."
        };
        console::result(&format!("{said}. {told}"))?;
        replica.close().await;
        Ok(Exit::Result)
    }
}
