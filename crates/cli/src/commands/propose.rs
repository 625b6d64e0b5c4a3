//! `chablon propose`.

use std::path::PathBuf;

use chablon_model::DraftId;
use chablon_sdk::drafts::{Apart, Draft, DraftState, Proposal, Step};
use chablon_sdk::{Client, Error, Reason};
use clap::Args;

use crate::arguments::HubArguments;
use crate::book::{Checked, documents, folder_or_here};
use crate::failure::{Exit, Failure};
use crate::text::Tongue;
use crate::{clock, console, runtime, text};

/// Propose what has changed in a book as a draft, for others to look at before it is released
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// What to call the draft; one of this name that is still written at is changed
    #[arg(value_name = "DRAFT")]
    draft: DraftId,
    /// The book's folder; the current one if it holds book.toml
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
    #[command(flatten)]
    hub: HubArguments,
    /// What has changed and why
    #[arg(long, value_name = "TEXT")]
    note: String,
    /// Put it in the place of what somebody else wrote there, which this names
    #[arg(long, value_name = "ETAG")]
    over: Option<String>,
    /// Put it in the draft, and don't give it to review yet
    #[arg(long)]
    open: bool,
    /// Show what it means, and send nothing
    #[arg(long)]
    dry_run: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let folder = folder_or_here(arguments.book.as_deref()).ok_or_else(|| {
        Failure::usage("the current folder holds no book.toml, so there is no book to propose")
            .hint("name its folder with --book DIR")
    })?;
    let checked = Checked::folder(&folder)?;
    console::note_if_any(&checked.warnings());
    let book = checked.sound(&folder)?;
    runtime::run(propose(arguments, &documents(&book)))
}

fn failed(error: &Error) -> Failure {
    Failure::of(error, "nothing was proposed")
}

async fn propose(
    arguments: &Arguments,
    documents: &[chablon_model::DocumentContent],
) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let proposal = client.proposal(documents, &arguments.note).await;
    let proposal = proposal.map_err(|error| failed(&error))?;
    if proposal.is_empty() {
        console::result("Nothing has changed since the last release.")?;
        return Ok(Exit::Result);
    }
    console::result(&meaning(&client, &proposal).await?)?;
    if arguments.dry_run {
        console::note("Nothing was sent (--dry-run).");
        return Ok(Exit::Result);
    }
    let draft = put(arguments, &client, &proposal).await?;
    let check = client.check_draft(&draft.id).await.map_err(|error| failed(&error))?;
    console::result(&text::check(&check, console::width()))?;
    let done = if arguments.open || check.findings.iter().any(|finding| finding.is_error) {
        draft
    } else {
        let submitted = client.take(&Step::submit(&draft)).await;
        submitted.map_err(|error| Failure::of(&error, "it isn't in review yet"))?
    };
    console::result(&outcome(&done))?;
    let refused = !arguments.open && done.state == DraftState::Open;
    Ok(if refused { Exit::Refused } else { Exit::Result })
}

/// What a proposal means, and what would be in force again by it.
async fn meaning(client: &Client, proposal: &Proposal) -> Result<String, Failure> {
    let comparison = proposal.comparison(clock::today());
    let again = client.in_force_again(&comparison.leaving(), proposal.parts(), clock::now()).await;
    let again = again.map_err(|error| failed(&error))?;
    let (tongue, width) = (Tongue::of_group(comparison.language()), console::width());
    Ok(text::meaning(&comparison, width) + &text::in_force_again(&again, tongue, width))
}

/// Makes the draft, or puts the proposal in the one that is there.
///
/// What somebody else wrote there stays until whoever writes next says that they saw it.
async fn put(
    arguments: &Arguments,
    client: &Client,
    proposal: &Proposal,
) -> Result<Draft, Failure> {
    let id = &arguments.draft;
    let there = match client.proposed(id).await {
        Ok(there) => there.draft,
        Err(error) if error.is_not_found() => return take(client, proposal, None, id).await,
        Err(error) => return Err(failed(&error)),
    };
    let me = client.who_am_i().await.map_err(|error| failed(&error))?.name;
    let own = me.is_some_and(|me| me.as_str() == there.writer());
    let saw = arguments.over.as_ref().is_some_and(|etag| is_etag(&there, etag));
    if own || saw || there.state.is_final() {
        return take(client, proposal, Some(&there), id).await;
    }
    Err(apart(client, proposal, id).await.unwrap_or_else(|error| failed(&error)))
}

async fn take(
    client: &Client,
    proposal: &Proposal,
    there: Option<&Draft>,
    id: &DraftId,
) -> Result<Draft, Failure> {
    let step = match there {
        Some(draft) => Step::update(draft, proposal),
        None => Step::create(id, proposal),
    };
    match client.take(&step).await {
        Ok(draft) => Ok(draft),
        Err(error) if error.reason() == Some(Reason::DraftChanged) => {
            Err(apart(client, proposal, id).await.unwrap_or_else(|error| failed(&error)))
        }
        Err(error) => Err(failed(&error)),
    }
}

/// Shows both sides where somebody else wrote at the draft.
async fn apart(client: &Client, proposal: &Proposal, id: &DraftId) -> Result<Failure, Error> {
    let Apart { draft, theirs, between, .. } = client.apart(id, proposal, clock::today()).await?;
    let (writer, width) = (draft.writer(), console::width());
    console::note(&format!("What {writer} has put in draft {id}:"));
    console::note(&text::meaning(&theirs, width));
    console::note("From theirs to yours:");
    console::note(&text::meaning(&between, width));
    let etag = short(&draft);
    Ok(Failure::refused(format!("draft `{id}` holds what {writer} wrote, so nothing was proposed"))
        .hint(format!("with --over {etag} yours takes its place; or choose another name")))
}

/// The beginning of what names the content of a draft.
fn short(draft: &Draft) -> String {
    draft.etag.to_string().chars().take(12).collect()
}

fn is_etag(draft: &Draft, etag: &str) -> bool {
    etag.len() >= 12 && draft.etag.to_string().starts_with(etag)
}

fn outcome(draft: &Draft) -> String {
    let id = &draft.id;
    match draft.state {
        DraftState::InReview => format!("Draft {id} is in review."),
        DraftState::Approved => {
            format!("Draft {id} is approved: `chablon release --draft {id}` releases it.")
        }
        _ => format!("Draft {id} is open: `chablon propose` again gives it to review."),
    }
}
