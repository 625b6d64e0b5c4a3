//! `chablon access`.

mod invite;
mod list;
mod revoke;
mod show;

use chablon_model::{Role, SiteId};
use clap::Subcommand;

use crate::failure::{Exit, Failure};
use crate::runtime;

pub(super) use invite::{Whom, handed_over};

/// Say who may reach a hub: let others in and shut them out
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Show(show::Arguments),
    List(list::Arguments),
    Invite(invite::Arguments),
    Revoke(revoke::Arguments),
}

pub(super) fn run(command: &Command) -> Result<Exit, Failure> {
    runtime::run(async {
        match command {
            Command::Show(arguments) => show::run(arguments).await,
            Command::List(arguments) => list::run(arguments).await,
            Command::Invite(arguments) => invite::run(arguments).await,
            Command::Revoke(arguments) => revoke::run(arguments).await,
        }
    })
}

/// `kitchen of harbour`.
pub(super) fn whom(role: Role, site: Option<&SiteId>) -> String {
    site.map_or_else(|| role.to_string(), |site| format!("{role} of {site}"))
}
