//! `chablon kitchen status`.

use std::path::PathBuf;

use chablon_sdk::{Replica, Status};
use clap::Args;

use crate::failure::{Exit, Failure};
use crate::{clock, console, text};

/// How a replica stands, with every byte of it looked through
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The replica's file
    #[arg(long, value_name = "FILE", env = "CHABLON_REPLICA")]
    replica: PathBuf,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let failed = |error| Failure::of(&error, "it isn't known how it stands");
    let replica = Replica::reopen(&arguments.replica).await.map_err(failed)?;
    let held = replica.check().await.map_err(failed)?;
    let status = replica.status().await.map_err(failed)?;
    let in_force = replica.standards(clock::now()).await.map_err(failed)?;
    replica.close().await;
    let contents = text::contents(in_force.iter().map(|one| one.document.kind));
    console::result(&format!(
        "{}\nHeld and sound: {} revisions, {} entries of the feed.\nIn force: {contents}.",
        contact(&status),
        held.revisions,
        held.entries
    ))?;
    Ok(Exit::Result)
}

fn contact(status: &Status) -> String {
    let site = &status.site;
    let position = status.cursor.as_ref().map_or(0, |cursor| cursor.position);
    let heard = match status.last_contact {
        Some(at) => format!("up to date with the hub on {}", clock::show(at)),
        None => "not up to date with any hub yet".to_owned(),
    };
    let unsaid = match status.unsaid {
        0 => String::new(),
        waiting => {
            format!(" Still to be told to the hub: {}.", text::counted(waiting, "statement"))
        }
    };
    format!("{site}: {heard} (feed position {position}).{unsaid}")
}
