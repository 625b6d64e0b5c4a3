//! `chablon withdraw`.

use chablon_model::{NextStep, RecipeId, RevisionRef, Withdrawal};
use chablon_sdk::publish::{GoOn, Taking, WithdrawalDraft};
use chablon_sdk::{Client, Recorded};
use clap::Args;

use crate::arguments::{AddressArguments, HubArguments, show_audience};
use crate::confirm::confirmed;
use crate::failure::{Exit, Failure};
use crate::hub::users_of;
use crate::keys::SigningArguments;
use crate::{clock, console, runtime};

/// Take a released recipe back: kitchens go back to an earlier revision, or make none
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    hub: HubArguments,
    /// What is withdrawn
    #[arg(long, value_name = "ID")]
    recipe: RecipeId,
    /// The revision that is withdrawn; the one released last if not given
    #[arg(long, value_name = "N")]
    revision: Option<u32>,
    #[command(flatten)]
    next: Next,
    /// Why, as the kitchens that must stop read it
    #[arg(long, value_name = "TEXT")]
    reason: String,
    #[command(flatten)]
    address: AddressArguments,
    #[command(flatten)]
    signing: SigningArguments,
}

#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct Next {
    /// Go back to this revision
    #[arg(long, value_name = "N")]
    go_back_to: Option<u32>,
    /// Make none until further notice
    #[arg(long)]
    make_none: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    runtime::run(withdraw(arguments))
}

async fn withdraw(arguments: &Arguments) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let keys = arguments.signing.keys()?;
    let mut draft = prepare(&client, taking(arguments)).await?;
    for key in &keys {
        draft.sign(key);
    }
    let withdrawal = draft.withdrawal();
    console::result(&shown(withdrawal))?;
    still_in_force(&client, withdrawal).await?.iter().for_each(|user| console::note(user));
    let question = format!("Withdraw it from {}?", show_audience(&withdrawal.audience));
    if confirmed(&arguments.address, &question)? {
        let recorded = send(&client, &draft).await?;
        console::result(&told(&recorded, withdrawal))?;
    }
    Ok(Exit::Result)
}

fn taking(arguments: &Arguments) -> Taking {
    let address = &arguments.address;
    let go_on = arguments.next.go_back_to.map_or(GoOn::WithNone, GoOn::WithRevision);
    let (document, holds_from) = ((&arguments.recipe).into(), address.holds_from());
    let taking = Taking::back(document, go_on, holds_from, &arguments.reason, &address.author)
        .from(address.audience());
    match arguments.revision {
        Some(number) => taking.revision(number),
        None => taking,
    }
}

/// Looks up what a withdrawal names.
pub(super) async fn prepare(client: &Client, taking: Taking) -> Result<WithdrawalDraft, Failure> {
    let draft = client.draft_withdrawal(taking).await;
    draft.map_err(|error| Failure::of(&error, "nothing was withdrawn"))
}

/// What is made with a revision that is withdrawn and stays in force, a sentence each.
pub(super) async fn still_in_force(
    client: &Client,
    withdrawal: &Withdrawal,
) -> Result<Vec<String>, Failure> {
    let users = users_of(client, &withdrawal.revision).await?;
    let told = |user: RevisionRef| {
        let RevisionRef { key, number, .. } = user;
        format!(
            "! recipe {}, revision {number}, uses it and stays in force: withdraw that too",
            key.id
        )
    };
    Ok(users.into_iter().map(told).collect())
}

/// Sends a withdrawal.
pub(super) async fn send(client: &Client, draft: &WithdrawalDraft) -> Result<Recorded, Failure> {
    let recorded = client.withdraw(draft).await;
    recorded.map_err(|error| {
        let so = if error.outcome_unknown() {
            "it may have been withdrawn or not"
        } else {
            "nothing was withdrawn"
        };
        Failure::of(&error, so)
    })
}

fn shown(withdrawal: &Withdrawal) -> String {
    let (id, number) = (&withdrawal.revision.key.id, withdrawal.revision.number);
    let next = match &withdrawal.next {
        NextStep::GoBackTo(earlier) => format!("kitchens go back to revision {}", earlier.number),
        NextStep::MakeNone => "kitchens make none until further notice".to_owned(),
    };
    format!("Recipe {id}, revision {number}: {next}. Reason: {}", withdrawal.reason)
}

/// What was withdrawn, in a sentence.
pub(super) fn told(recorded: &Recorded, withdrawal: &Withdrawal) -> String {
    format!(
        "Withdrawn from {}, from {} on (feed position {}).",
        show_audience(&withdrawal.audience),
        clock::show(withdrawal.holds_from),
        recorded.last_position
    )
}
