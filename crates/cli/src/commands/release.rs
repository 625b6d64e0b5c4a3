//! `chablon release`.

use std::path::PathBuf;

use chablon_model::{DocumentContent, DraftId, LocalTime};
use chablon_sdk::publish::{Draft, Scope, Terms};
use chablon_sdk::{Client, Error, Recorded};
use clap::Args;

use crate::arguments::{AddressArguments, HubArguments, show_audience};
use crate::book::{Checked, documents, folder_or_here};
use crate::confirm::confirmed;
use crate::failure::{Exit, Failure};
use crate::keys::SigningArguments;
use crate::text::Tongue;
use crate::{clock, console, runtime, text};

/// Release what has changed in a book: from then on it is the standard
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The book's folder; the current one if it holds book.toml
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
    #[command(flatten)]
    hub: HubArguments,
    /// Release this draft, which others have approved, instead of a book
    #[arg(long, value_name = "ID", conflicts_with_all = ["book", "everything"])]
    draft: Option<DraftId>,
    /// What has changed and why, as kitchens read it; a draft's own note if not given
    #[arg(long, value_name = "TEXT", required_unless_present = "draft")]
    note: Option<String>,
    #[command(flatten)]
    address: AddressArguments,
    /// The time on each kitchen's own clock from which it holds there
    #[arg(long, value_name = "TIME", conflicts_with = "from")]
    from_local: Option<LocalTime>,
    /// Release the whole book, not what has changed alone: for kitchens that joined
    #[arg(long)]
    everything: bool,
    #[command(flatten)]
    signing: SigningArguments,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    if let Some(draft) = &arguments.draft {
        return runtime::run(release_draft(arguments, draft));
    }
    let folder = folder_or_here(arguments.book.as_deref()).ok_or_else(|| {
        Failure::usage("the current folder holds no book.toml, so there is no book to release")
            .hint("name its folder with --book DIR")
    })?;
    let checked = Checked::folder(&folder)?.for_release();
    console::note_if_any(&checked.warnings());
    let book = checked.sound(&folder)?;
    runtime::run(release(arguments, &documents(&book)))
}

async fn release_draft(arguments: &Arguments, draft: &DraftId) -> Result<Exit, Failure> {
    let failed = |error| Failure::of(&error, "nothing was released");
    let client = arguments.hub.client()?;
    let keys = arguments.signing.keys()?;
    let proposed = client.proposed(draft).await.map_err(failed)?;
    let terms = terms(arguments, &proposed.draft.note);
    let mut release = client.draft_release(&proposed, &terms).await.map_err(failed)?;
    let comparison = client.comparison(&proposed, clock::today()).await.map_err(failed)?;
    let leaving = comparison.leaving();
    let again = client.in_force_again(&leaving, release.parts(), clock::now()).await;
    let again = again.map_err(failed)?;
    let (tongue, width) = (Tongue::of_group(comparison.language()), console::width());
    let meaning = text::meaning(&comparison, width);
    console::result(&(meaning + &text::in_force_again(&again, tongue, width)))?;
    let question = format!("Release this to {}?", show_audience(&terms.audience));
    if confirmed(&arguments.address, &question)? {
        for key in &keys {
            release.sign(key);
        }
        let recorded = client.release_draft(&release).await.map_err(|error| not_sent(&error))?;
        console::result(&told(&recorded, &terms))?;
    }
    Ok(Exit::Result)
}

async fn release(arguments: &Arguments, documents: &[DocumentContent]) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let keys = arguments.signing.keys()?;
    let terms = terms(arguments, "");
    let mut draft = prepare(&client, documents, &terms).await?;
    if draft.is_empty() {
        console::result(
            "Nothing has changed since the last release, so there is nothing to release.",
        )?;
        return Ok(Exit::Result);
    }
    console::result(&shown(&client, &draft, first_language(documents)).await?)?;
    let question = format!("Release this to {}?", show_audience(&terms.audience));
    if confirmed(&arguments.address, &question)? {
        for key in &keys {
            draft.sign(key);
        }
        let recorded = send(&client, &draft).await?;
        console::result(&told(&recorded, &terms))?;
    }
    Ok(Exit::Result)
}

/// The draft for people, with what would be in force again by it.
async fn shown(client: &Client, draft: &Draft, tongue: Tongue) -> Result<String, Failure> {
    let again = client.in_force_again(draft.leaving(), draft.parts(), clock::now()).await;
    let again = again.map_err(|error| Failure::of(&error, "nothing was released"))?;
    let width = console::width();
    Ok(text::draft(draft, tongue, width) + &text::in_force_again(&again, tongue, width))
}

/// The tongue of the group that a book is of.
fn first_language(documents: &[DocumentContent]) -> Tongue {
    let languages = documents.iter().find_map(|content| match content {
        DocumentContent::Book(book) => Some(&book.languages),
        _ => None,
    });
    Tongue::of_group(languages.and_then(|all| all.first()))
}

/// The terms, with this note where none is given.
fn terms(arguments: &Arguments, note: &str) -> Terms {
    let note = arguments.note.as_deref().unwrap_or(note);
    let address = &arguments.address;
    let scope = if arguments.everything { Scope::Everything } else { Scope::Changed };
    let mut terms =
        Terms::new(address.holds_from(), note, &address.author).to(address.audience()).of(scope);
    terms.site_time = arguments.from_local;
    terms
}

/// Compares documents with what the hub has.
pub(super) async fn prepare(
    client: &Client,
    documents: &[DocumentContent],
    terms: &Terms,
) -> Result<Draft, Failure> {
    let draft = client.draft(documents, terms).await;
    draft.map_err(|error| Failure::of(&error, "nothing was released"))
}

/// Sends a draft.
pub(super) async fn send(client: &Client, draft: &Draft) -> Result<Recorded, Failure> {
    client.release(draft).await.map_err(|error| not_sent(&error))
}

fn not_sent(error: &Error) -> Failure {
    let so = if error.outcome_unknown() {
        "it may have been released or not"
    } else {
        "nothing was released"
    };
    Failure::of(error, so)
}

/// From when it holds, for people.
fn from(terms: &Terms) -> String {
    match terms.site_time {
        Some(time) => format!("{time} by each kitchen's clock"),
        None => clock::show(terms.holds_from),
    }
}

/// What was released, in a sentence.
pub(super) fn told(recorded: &Recorded, terms: &Terms) -> String {
    format!(
        "Released to {}, in force from {} (feed position {}).",
        show_audience(&terms.audience),
        from(terms),
        recorded.last_position
    )
}
