//! `chablon kitchen status`.

use std::path::PathBuf;

use chablon_model::{Deviation, DeviationStanding, Moment};
use chablon_sdk::{Replica, Status};
use clap::Args;

use super::trust::say_notices;

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
    let now = clock::now();
    let in_force = replica.standards(now).await.map_err(failed)?;
    let deviations = replica.deviations(now).await.map_err(failed)?;
    replica.close().await;
    let contents = text::contents(in_force.iter().map(|one| one.document.kind));
    if let Some(trust) = &status.trust {
        say_notices(&trust.notices);
    }
    console::result(&format!(
        "{}{}\nHeld and sound: {} revisions, {} entries of the feed.\nIn force: {contents}.{}{}",
        contact(&status),
        trusted(&status),
        held.revisions,
        held.entries,
        text::withdrawn(&in_force),
        otherwise(&deviations, now)
    ))?;
    Ok(Exit::Result)
}

/// What is granted for now, a line each.
fn otherwise(deviations: &[Deviation], now: Moment) -> String {
    let holding = deviations.iter().filter(|one| one.standing(now) == DeviationStanding::InForce);
    let line = |one: &Deviation| {
        let (id, recipe, until) = (&one.id, one.recipe(), clock::show(one.until));
        format!("\n~ Deviation {id} from {recipe}, until {until}.")
    };
    holding.map(line).collect()
}

/// Whom it trusts, in a line of its own.
fn trusted(status: &Status) -> String {
    let Some(trust) = &status.trust else { return String::new() };
    let vouched = match &trust.checkpoint {
        Some(checkpoint) => {
            format!("the hub vouched for it on {}", clock::show(checkpoint.issued_at))
        }
        None => "nothing vouches for it yet".to_owned(),
    };
    format!("\nTrusts version {} of root {}: {vouched}.", trust.version, trust.digest.short())
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
