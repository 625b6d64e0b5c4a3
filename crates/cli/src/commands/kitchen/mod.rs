//! `chablon kitchen`.

mod follow;
mod import;
mod progress;
mod rebuild;
mod refuse;
mod saying;
mod serve;
mod status;
mod sync;
mod trust;
mod use_;

use std::path::PathBuf;

use chablon_model::SiteId;
use chablon_sdk::Replica;
use clap::{Args, Subcommand};

use crate::failure::{Exit, Failure};
use crate::runtime;

/// Keep a kitchen's replica: its standards on its own machine, hub or no hub
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Sync(sync::Arguments),
    Follow(follow::Arguments),
    Import(import::Arguments),
    Status(status::Arguments),
    Use(use_::Arguments),
    Refuse(refuse::Arguments),
    Rebuild(rebuild::Arguments),
}

pub(super) fn run(command: &Command) -> Result<Exit, Failure> {
    runtime::run(async {
        match command {
            Command::Sync(arguments) => sync::run(arguments).await,
            Command::Follow(arguments) => follow::run(arguments).await,
            Command::Import(arguments) => import::run(arguments).await,
            Command::Status(arguments) => status::run(arguments).await,
            Command::Use(arguments) => use_::run(arguments).await,
            Command::Refuse(arguments) => refuse::run(arguments).await,
            Command::Rebuild(arguments) => rebuild::run(arguments).await,
        }
    })
}

pub(super) use sync::catch_up;
pub(super) use use_::say;

/// Whose replica, and where.
#[derive(Debug, Args)]
struct ReplicaArguments {
    /// The replica's file; made where there is none
    #[arg(long, value_name = "FILE", env = "CHABLON_REPLICA")]
    replica: PathBuf,
    /// The kitchen
    #[arg(long, value_name = "ID", env = "CHABLON_SITE")]
    site: SiteId,
}

impl ReplicaArguments {
    async fn open(&self) -> Result<Replica, Failure> {
        let opened = Replica::open(&self.replica, self.site.clone()).await;
        opened.map_err(|error| Failure::of(&error, "nothing was taken"))
    }
}
