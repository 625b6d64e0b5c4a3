//! `chablon deviations refuse`.

use chablon_model::{Decision, Deviation, DeviationId};
use clap::Args;

use super::decide;
use crate::arguments::{HubArguments, SendArguments};
use crate::confirm::agreed;
use crate::failure::{Exit, Failure};
use crate::keys::SigningArguments;
use crate::{clock, console};

/// Refuse a deviation, or take back one that was granted
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    hub: HubArguments,
    /// Which deviation
    #[arg(value_name = "ID")]
    id: DeviationId,
    /// Why, as the kitchen reads it
    #[arg(long, value_name = "TEXT")]
    reason: String,
    /// Who refuses it, as the kitchen reads it
    #[arg(long, value_name = "NAME", env = "CHABLON_AUTHOR", default_value = "group pastry chef")]
    author: String,
    #[command(flatten)]
    send: SendArguments,
    #[command(flatten)]
    signing: SigningArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let keys = arguments.signing.keys()?;
    let submitted = decide::find(&client, &arguments.id).await?;
    let (by, reason) = (arguments.author.clone(), arguments.reason.clone());
    let decision = Decision::Refused { by, at: clock::now(), reason };
    let deviation = Deviation { decision, ..submitted.latest().clone() };
    let question = format!("Refuse {} to {}?", deviation.id, deviation.site);
    if agreed(&arguments.send, &question)? {
        let site = deviation.site.clone();
        let recorded = decide::send(&client, &submitted, deviation, &keys).await?;
        let position = recorded.last_position;
        console::result(&format!("Refused to {site} (feed position {position})."))?;
    }
    Ok(Exit::Result)
}
