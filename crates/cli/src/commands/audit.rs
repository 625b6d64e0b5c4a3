//! `chablon audit`.

use chablon_sdk::AuditRecord;
use clap::Args;
use futures::{StreamExt, TryStreamExt};
use serde::Serialize;

use crate::arguments::{Format, HubArguments};
use crate::failure::{Exit, Failure};
use crate::{console, runtime, text};

/// Show who did what on the hub, the newest first
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    hub: HubArguments,
    /// How many records at most
    #[arg(long, value_name = "NUMBER", default_value_t = 50)]
    last: usize,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

/// What `--format json` prints of a record.
#[derive(Serialize)]
struct Record<'a> {
    number: u64,
    at_ms: i64,
    by: &'a str,
    role: Option<&'static str>,
    act: &'a str,
    subject: &'a str,
    detail: &'a str,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let records: Vec<AuditRecord> = runtime::run(async {
        let records = arguments.hub.client()?.audit().take(arguments.last).try_collect().await;
        records.map_err(|error| Failure::of(&error, "the log can't be shown"))
    })?;
    let shown = match (arguments.format, &records[..]) {
        (Format::Json, records) => console::json(&records.iter().map(record).collect::<Vec<_>>()),
        (Format::Text, []) => "Nothing was done yet.".to_owned(),
        (Format::Text, records) => text::audit(records, console::width()),
    };
    console::result(&shown)?;
    Ok(Exit::Result)
}

fn record(record: &AuditRecord) -> Record<'_> {
    Record {
        number: record.number,
        at_ms: record.at.0,
        by: &record.by,
        role: record.role.map(chablon_model::Role::as_str),
        act: &record.act,
        subject: &record.subject,
        detail: &record.detail,
    }
}
