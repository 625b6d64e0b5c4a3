//! `chablon deviations`.

mod ask;
mod decide;
mod grant;
mod list;
mod refuse;

use chablon_model::{Day, Moment, SiteId};
use chablon_sdk::Client;
use chablon_sdk::deviations::SiteStandards;
use clap::Subcommand;

pub(super) use ask::{prepare as prepare_ask, read as read_file, send as send_ask};
pub(super) use grant::granted;

use crate::failure::{Exit, Failure};
use crate::{clock, runtime};

/// What kitchens make otherwise than the standard says, by leave and for a time
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Ask(ask::Arguments),
    List(list::Arguments),
    Grant(grant::Arguments),
    Refuse(refuse::Arguments),
}

pub(super) fn run(command: &Command) -> Result<Exit, Failure> {
    runtime::run(async {
        match command {
            Command::Ask(arguments) => ask::run(arguments).await,
            Command::List(arguments) => list::run(arguments).await,
            Command::Grant(arguments) => grant::run(arguments).await,
            Command::Refuse(arguments) => refuse::run(arguments).await,
        }
    })
}

/// What is in force at a site now.
async fn in_force(client: &Client, site: &SiteId) -> Result<SiteStandards, Failure> {
    let found = client.site_standards(site, clock::now()).await;
    found.map_err(|error| Failure::of(&error, "it isn't known what the deviation departs from"))
}

/// The first moment of a day.
fn beginning(day: Day) -> Result<Moment, Failure> {
    clock::parse_moment(&day.to_string()).map_err(Failure::refused)
}
