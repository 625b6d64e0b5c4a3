//! `chablon hub`.

mod backup;
mod certificate;
mod compact;
mod invite;
mod migrate;
mod restore;
mod serve;

use std::error::Error;
use std::path::Path;

use chablon_server::Location;
use clap::Subcommand;

use crate::failure::{Exit, Failure};
use crate::runtime;

/// Run a hub, from which kitchens take their standards
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Serve(serve::Arguments),
    Migrate(migrate::Arguments),
    Compact(compact::Arguments),
    Invite(invite::Arguments),
    Certificate(certificate::Arguments),
    Backup(backup::Arguments),
    Restore(restore::Arguments),
}

pub(super) fn run(command: &Command) -> Result<Exit, Failure> {
    runtime::run(async {
        match command {
            Command::Serve(arguments) => serve::run(arguments).await,
            Command::Migrate(arguments) => migrate::run(arguments).await,
            Command::Compact(arguments) => compact::run(arguments).await,
            Command::Invite(arguments) => invite::run(arguments).await,
            Command::Certificate(arguments) => certificate::run(arguments),
            Command::Backup(arguments) => backup::run(arguments).await,
            Command::Restore(arguments) => restore::run(arguments).await,
        }
    })
}

/// A store that can't be opened.
fn store(location: &Location, error: &dyn Error) -> Failure {
    unprepared(location, error).hint_if(matches!(location, Location::Database(_)).then(|| {
        format!("`chablon hub migrate --store {location}` makes and updates a database's tables")
    }))
}

/// The same, before its tables are made.
fn unprepared(location: &Location, error: &dyn Error) -> Failure {
    Failure::hub(format!("the store {location} can't be opened: {}", chain(error)))
}

/// Opening a file makes one, which nobody wants who means one that is there.
fn must_be_there(path: &Path) -> Result<(), Failure> {
    if path.is_file() {
        return Ok(());
    }
    Err(Failure::refused(format!("there is no file {}", path.display()))
        .hint("a hub's store is the file that `chablon hub serve --store` names"))
}

/// An error with its causes.
fn chain(error: &dyn Error) -> String {
    let mut text = error.to_string();
    let mut cause = error.source();
    while let Some(below) = cause {
        text = format!("{text}: {below}");
        cause = below.source();
    }
    text
}
