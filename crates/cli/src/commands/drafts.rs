//! `chablon drafts`.

use chablon_model::DraftId;
use chablon_sdk::drafts::DraftState;
use clap::Args;
use futures::TryStreamExt;

use crate::arguments::HubArguments;
use crate::failure::{Exit, Failure};
use crate::hub::again_by_draft;
use crate::text::Tongue;
use crate::{clock, console, runtime, text};

/// Show what is proposed and not released: all drafts, or all of one
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// One draft: what was done to it, what it means, and who must approve it
    #[arg(value_name = "DRAFT")]
    draft: Option<DraftId>,
    #[command(flatten)]
    hub: HubArguments,
    /// Those that were released or dropped, too
    #[arg(long, conflicts_with = "draft")]
    all: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let shown = runtime::run(async {
        match &arguments.draft {
            Some(draft) => one(arguments, draft).await,
            None => list(arguments).await,
        }
    })?;
    console::result(&shown)?;
    Ok(Exit::Result)
}

async fn list(arguments: &Arguments) -> Result<String, Failure> {
    let client = arguments.hub.client()?;
    let states: &[DraftState] = if arguments.all { &DraftState::ALL } else { &[] };
    let drafts: Result<Vec<_>, _> = client.drafts(states).try_collect().await;
    let drafts = drafts.map_err(|error| Failure::of(&error, "no drafts can be shown"))?;
    Ok(match &drafts[..] {
        [] => "Nothing is proposed.".to_owned(),
        drafts => text::drafts(drafts, console::width()),
    })
}

async fn one(arguments: &Arguments, draft: &DraftId) -> Result<String, Failure> {
    let failed = |error| Failure::of(&error, "the draft can't be shown");
    let client = arguments.hub.client()?;
    let proposed = client.proposed(draft).await.map_err(failed)?;
    let comparison = client.comparison(&proposed, clock::today()).await.map_err(failed)?;
    let width = console::width();
    let again = again_by_draft(&client, &proposed, &comparison).await.map_err(failed)?;
    let tongue = Tongue::of_group(comparison.language());
    let mut shown = text::history(&proposed.draft, width);
    shown += &text::meaning(&comparison, width);
    shown += &text::in_force_again(&again, tongue, width);
    if !proposed.draft.state.is_final() {
        let check = client.check_draft(draft).await.map_err(failed)?;
        shown += &text::check(&check, width);
    }
    Ok(shown)
}
