//! `chablon review`.

use chablon_model::DraftId;
use chablon_sdk::drafts::{Draft, Step};
use clap::Args;

use crate::arguments::HubArguments;
use crate::failure::{Exit, Failure};
use crate::{console, runtime, text};

/// Say something of a draft: approve it, hand it back, comment it, or give it up
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// Which draft
    #[arg(value_name = "DRAFT")]
    draft: DraftId,
    #[command(flatten)]
    hub: HubArguments,
    #[command(flatten)]
    verdict: Verdict,
    /// What you say with an approval
    #[arg(long, value_name = "TEXT", requires = "approve", default_value = "")]
    note: String,
}

#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct Verdict {
    /// Approve it as it stands
    #[arg(long)]
    approve: bool,
    /// Hand it back, with what is to be mended
    #[arg(long = "return", value_name = "TEXT")]
    hand_back: Option<String>,
    /// Say something about it
    #[arg(long, value_name = "TEXT")]
    comment: Option<String>,
    /// Give it up, with why
    #[arg(long, value_name = "TEXT")]
    drop: Option<String>,
}

impl Arguments {
    fn step(&self, draft: &Draft) -> Step {
        let Verdict { hand_back, comment, drop, .. } = &self.verdict;
        match (hand_back, comment, drop) {
            (Some(text), ..) => Step::hand_back(draft, text),
            (_, Some(text), _) => Step::comment(&draft.id, text),
            (_, _, Some(text)) => Step::give_up(draft, text),
            (None, None, None) => Step::approve(draft, &self.note),
        }
    }
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let draft = runtime::run(async {
        let failed = |error| Failure::of(&error, "nothing was said of it");
        let client = arguments.hub.client()?;
        let there = client.proposed(&arguments.draft).await.map_err(failed)?;
        client.take(&arguments.step(&there.draft)).await.map_err(failed)
    })?;
    console::result(&text::history(&draft, console::width()))?;
    Ok(Exit::Result)
}
