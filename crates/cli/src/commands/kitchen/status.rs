//! `chablon kitchen status`.

use std::path::PathBuf;

use chablon_model::{Deviation, DeviationStanding, Moment};
use chablon_sdk::{Integrity, Listed, Replica, Status};
use clap::Args;
use serde_json::{Value, json};

use crate::arguments::Format;
use crate::failure::{Exit, Failure};
use crate::text::Tongue;
use crate::{clock, console, text};

/// How a replica stands, with every byte of it looked through
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The replica's file
    #[arg(long, value_name = "FILE", env = "CHABLON_REPLICA")]
    replica: PathBuf,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
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
    if arguments.format == Format::Json {
        console::result(&console::json(&json_of(&status, held, &in_force, &deviations, now)))?;
        return Ok(Exit::Result);
    }
    let contents = text::contents(in_force.iter().map(|one| one.document.kind));
    console::result(&format!(
        "{}{}\nHeld and sound: {} revisions, {} entries of the feed.\nIn force: {contents}.{}{}",
        contact(&status, now),
        trusted(&status),
        held.revisions,
        held.entries,
        text::withdrawn(&in_force),
        otherwise(&deviations, now)
    ))?;
    Ok(Exit::Result)
}

fn json_of(
    status: &Status,
    held: Integrity,
    in_force: &[Listed],
    deviations: &[Deviation],
    now: Moment,
) -> Value {
    let cursor = status.cursor.as_ref();
    let trust = status.trust.as_ref().map(|trust| {
        json!({
            "version": trust.version,
            "root": trust.digest.to_string(),
            "vouched_at_ms": trust.checkpoint.as_ref().map(|one| one.issued_at.0),
        })
    });
    let now_granted =
        deviations.iter().filter(|one| one.standing(now) == DeviationStanding::InForce);
    let mut value = json!({
        "position": cursor.map_or(0, |cursor| cursor.position),
        "epoch": cursor.map(|cursor| cursor.epoch.clone()),
        "held": {"revisions": held.revisions, "entries": held.entries},
        "standards": in_force.len(),
        "deviations": now_granted.map(|one| one.id.to_string()).collect::<Value>(),
        "trust": trust,
    });
    value["replica"] = text::age_json(status, now);
    value
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

/// When it last had all that a hub had, and what is overdue.
fn contact(status: &Status, now: Moment) -> String {
    let site = &status.site;
    let position = status.cursor.as_ref().map_or(0, |cursor| cursor.position);
    let heard = match status.last_contact.and(status.known_at()) {
        Some(at) => format!("up to date with the hub on {}", clock::show(at)),
        None => "not up to date with any hub yet".to_owned(),
    };
    let unsaid = match status.unsaid {
        0 => String::new(),
        waiting => {
            format!(" Still to be told to the hub: {}.", text::counted(waiting, "statement"))
        }
    };
    let overdue = text::overdue(status, Tongue::English, now).into_iter();
    let lines = [format!("{site}: {heard} (feed position {position}).{unsaid}")].into_iter();
    lines.chain(overdue.map(|one| format!("! {one}"))).collect::<Vec<_>>().join("\n")
}
