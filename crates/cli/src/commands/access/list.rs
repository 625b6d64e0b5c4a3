//! `chablon access list`.

use chablon_sdk::access::{Account, AccountToken};
use clap::Args;
use futures::TryStreamExt as _;

use crate::arguments::HubArguments;
use crate::failure::{Exit, Failure};
use crate::text::{Listing, Side};
use crate::{clock, console};

/// List who may reach the hub, and by which machines
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    hub: HubArguments,
}

pub(super) async fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let accounts: Result<Vec<Account>, _> = client.accounts().try_collect().await;
    let accounts = accounts.map_err(|error| Failure::of(&error, "nobody is listed"))?;
    console::result(&match &accounts[..] {
        [] => "Nobody is known.".to_owned(),
        accounts => shown(accounts),
    })?;
    Ok(Exit::Result)
}

fn shown(accounts: &[Account]) -> String {
    let mut listing = Listing::new(0, [Side::Left; 4]);
    listing.head(["", "may act as", "since", "last seen"]);
    for account in accounts {
        let whom = super::whom(account.role, account.site.as_ref());
        let since = clock::show(account.created_at);
        listing.row([account.name.to_string(), whom, since, standing(account)]);
        for token in &account.tokens {
            let since = clock::show(token.created_at);
            listing.row([format!("  token {}", token.id), String::new(), since, use_of(token)]);
        }
    }
    listing.render(console::width())
}

/// What stands in the way, or is yet to come.
fn standing(account: &Account) -> String {
    match (account.revoked_at, account.open_until) {
        (Some(at), _) => format!("shut out {}", clock::show(at)),
        (None, Some(until)) if until > clock::now() => {
            format!("a code is open until {}", clock::show(until))
        }
        (None, _) if account.tokens.is_empty() => "never joined".to_owned(),
        (None, _) => String::new(),
    }
}

fn use_of(token: &AccountToken) -> String {
    match (token.revoked_at, token.expires_at, token.last_used_at) {
        (Some(at), ..) => format!("shut out {}", clock::show(at)),
        (None, Some(end), _) if end <= clock::now() => format!("ended {}", clock::show(end)),
        (None, _, Some(at)) => clock::show(at),
        (None, _, None) => "never".to_owned(),
    }
}
