//! `chablon access revoke`.

use chablon_model::ActorName;
use chablon_sdk::access::Shut;
use clap::Args;

use crate::arguments::HubArguments;
use crate::console;
use crate::failure::{Exit, Failure};

/// Shut somebody out, or one of their machines, at once and for ever
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The account, with all its tokens and codes; its name is not given again
    #[arg(long, value_name = "NAME", required_unless_present = "token", conflicts_with = "token")]
    name: Option<ActorName>,
    /// One token alone, as `chablon access list` names it
    #[arg(long, value_name = "ID")]
    token: Option<String>,
    #[command(flatten)]
    hub: HubArguments,
}

impl Arguments {
    fn what(&self) -> Result<Shut, Failure> {
        match (&self.name, &self.token) {
            (Some(name), _) => Ok(Shut::Account(name.clone())),
            (None, Some(token)) => Ok(Shut::Token(token.clone())),
            (None, None) => Err(Failure::usage("neither a name nor a token is given")),
        }
    }
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let what = arguments.what()?;
    let client = arguments.hub.client()?;
    let done = client.shut_out(&what).await;
    done.map_err(|error| Failure::of(&error, "nobody was shut out"))?;
    console::result(&match what {
        Shut::Account(name) => format!("{name} is shut out."),
        Shut::Token(token) => format!("The token {token} is shut out."),
    })?;
    Ok(Exit::Result)
}
