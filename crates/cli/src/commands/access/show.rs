//! `chablon access show`.

use clap::Args;

use crate::arguments::HubArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Say whom the hub takes this machine for
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    hub: HubArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let who = client.who_am_i().await;
    let who = who.map_err(|error| Failure::of(&error, "it isn't known who this is there"))?;
    let name = who.name.map(|name| name.to_string());
    console::result(&match (who.role, name) {
        (Some(role), name) => {
            format!("{} ({})", name.unwrap_or_default(), super::whom(role, who.site.as_ref()))
        }
        (None, Some(name)) => {
            format!("{name}, as this machine says: the hub is open and asks nobody")
        }
        (None, None) => "Nobody by name: the hub is open and asks nobody".to_owned(),
    })?;
    Ok(Exit::Result)
}
