//! `chablon join`.

use std::io::{BufRead as _, stdin};

use chablon_model::Digest;
use chablon_sdk::access::{EnrolmentCode, random_token};
use clap::Args;

use crate::arguments::LineArguments;
use crate::failure::{Exit, Failure};
use crate::{console, runtime};

/// Join a hub by a code, and keep the token that lets this machine in
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The hub's address
    #[arg(value_name = "URL")]
    hub: String,
    /// The code, as it was handed over; read from standard input if not given
    code: Option<EnrolmentCode>,
    /// The digest of the group's root of trust, handed over with the code: kitchens that sync from
    /// this machine take nothing that it doesn't lead to
    #[arg(long, value_name = "DIGEST")]
    root: Option<Digest>,
    #[command(flatten)]
    line: LineArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let code = arguments.code.clone().map_or_else(typed, Ok)?;
    runtime::run(join(arguments, &code))
}

async fn join(arguments: &Arguments, code: &EnrolmentCode) -> Result<Exit, Failure> {
    let client = arguments.line.connect_as_stranger(&arguments.hub)?;
    let mut credentials = arguments.line.credentials()?;
    let before = credentials.clone();
    let token = random_token().map_err(|error| Failure::of(&error, "nobody has joined"))?;
    // Kept before it is sent: once the code is spent, nobody else has the token.
    credentials.keep(&arguments.hub, &token, None);
    if let Some(root) = &arguments.root {
        credentials.trust(&arguments.hub, root);
    }
    credentials.write()?;
    let account = match client.join(code, &token).await {
        Ok(account) => account,
        Err(error) if error.outcome_unknown() => {
            return Err(Failure::of(&error, "it isn't known whether this machine has joined")
                .hint("see with `chablon access show`; the token is kept in any case"));
        }
        Err(error) => {
            before.write()?;
            return Err(Failure::of(&error, "nobody has joined"));
        }
    };
    credentials.keep(&arguments.hub, &token, Some(&account));
    let kept_in = credentials.write()?;
    let as_whom = super::access::whom(account.role, account.site.as_ref());
    console::result(&format!(
        "This machine has joined {} as {} ({as_whom}). Its token is kept in {}.",
        arguments.hub,
        account.name,
        kept_in.display()
    ))?;
    if let Some(root) = &arguments.root {
        console::note(&format!("Its kitchens trust root {} from now on.", root.short()));
    }
    Ok(Exit::Result)
}

fn typed() -> Result<EnrolmentCode, Failure> {
    console::note("The code:");
    let mut line = String::new();
    stdin().lock().read_line(&mut line)?;
    line.trim().parse().map_err(|error| Failure::usage(format!("{error}")))
}
