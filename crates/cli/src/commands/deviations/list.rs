//! `chablon deviations list`.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chablon_model::{Deviation, DocumentKey, Moment, RevisionRef, SiteId};
use chablon_sdk::deviations::State;
use chablon_sdk::{Client, Listed, Replica, StandardState, Status};
use clap::Args;
use futures::TryStreamExt;
use serde_json::{Value, json};

use crate::arguments::{Format, LineArguments};
use crate::failure::{Exit, Failure};
use crate::{clock, console, text};

/// What was asked, granted, refused, and what must be decided anew
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Of all kitchens, as the hub at this address, or at several in turn, knows them
    #[arg(long, value_name = "URL", value_delimiter = ',', env = "CHABLON_HUB")]
    hub: Vec<String>,
    /// A kitchen's own replica instead, which needs no hub and knows what was decided
    #[arg(long, value_name = "FILE")]
    replica: Option<PathBuf>,
    /// One kitchen alone, of those that the hub knows
    #[arg(long, value_name = "ID", conflicts_with = "replica")]
    site: Option<SiteId>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
    #[command(flatten)]
    line: LineArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let now = clock::now();
    let rows = match &arguments.replica {
        Some(file) => {
            let (rows, status) = of_replica(file, now).await?;
            for overdue in text::overdue(&status, text::Tongue::English, now) {
                console::note(&format!("! {overdue}"));
            }
            rows
        }
        None if arguments.hub.is_empty() => {
            return Err(Failure::usage("neither a hub nor a replica is named").hint(
                "name the hub with --hub URL, or the kitchen's replica with --replica FILE",
            ));
        }
        None => {
            of_hub(&arguments.line.connect(&arguments.hub)?, arguments.site.as_ref(), now).await?
        }
    };
    let printed = match arguments.format {
        Format::Text => text::deviations(&rows, console::width()),
        Format::Json => console::json(&rows.iter().map(json_of).collect::<Value>()),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}

async fn of_hub(
    client: &Client,
    site: Option<&SiteId>,
    now: Moment,
) -> Result<Vec<text::Row>, Failure> {
    let failed = |error| Failure::of(&error, "deviations aren't known");
    let all: Vec<_> = client.deviations(site).try_collect().await.map_err(failed)?;
    let mut rows = Vec::new();
    for submitted in all {
        let deviation = submitted.latest().clone();
        let key = DocumentKey::from(&deviation.recipe());
        let standard = match client.standard(&deviation.site, &key, Some(now)).await {
            Ok(listed) => in_force(&listed),
            Err(error) if error.is_not_found() => None,
            Err(error) => return Err(failed(error)),
        };
        rows.push(row(deviation, now, standard.as_ref()));
    }
    Ok(rows)
}

async fn of_replica(file: &Path, now: Moment) -> Result<(Vec<text::Row>, Status), Failure> {
    let failed = |error| Failure::of(&error, "nothing can be read from it");
    let replica = Replica::reopen(file).await.map_err(failed)?;
    let status = replica.status().await.map_err(failed)?;
    let deviations = replica.deviations(now).await.map_err(failed)?;
    let standards = replica.standards(now).await.map_err(failed)?;
    replica.close().await;
    let standards: BTreeMap<DocumentKey, RevisionRef> = standards
        .iter()
        .filter_map(|listed| Some((listed.document.clone(), in_force(listed)?)))
        .collect();
    let rows = deviations.into_iter().map(|deviation| {
        let standard = standards.get(&DocumentKey::from(&deviation.recipe()));
        row(deviation, now, standard)
    });
    Ok((rows.collect(), status))
}

fn in_force(listed: &Listed) -> Option<RevisionRef> {
    match &listed.state {
        StandardState::InForce(in_force) => Some(in_force.revision.clone()),
        StandardState::Stopped(_) => None,
    }
}

fn row(deviation: Deviation, now: Moment, standard: Option<&RevisionRef>) -> text::Row {
    let state = State::of(&deviation, now, standard);
    text::Row { standard: standard.map(|one| one.number), deviation, state }
}

fn json_of(row: &text::Row) -> Value {
    let deviation = &row.deviation;
    let departures = deviation.departures.iter().map(chablon_sdk::change::departure_words);
    json!({
        "deviation": deviation.id.to_string(),
        "site": deviation.site.to_string(),
        "recipe": deviation.recipe().to_string(),
        "revision": deviation.based_on.number,
        "standard": row.standard,
        "state": row.state.as_str(),
        "from_ms": deviation.from.0,
        "until_ms": deviation.until.0,
        "reason": deviation.reason,
        "departures": departures.collect::<Vec<_>>(),
        "decision": text::decision(deviation),
    })
}
