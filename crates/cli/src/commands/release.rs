//! `chablon release`.

use std::path::PathBuf;

use chablon_model::{DocumentContent, LocalTime};
use chablon_sdk::publish::{Draft, Scope, Terms};
use chablon_sdk::{Client, Recorded};
use clap::Args;

use crate::arguments::{AddressArguments, HubArguments, show_audience};
use crate::book::{Checked, documents, folder_or_here};
use crate::confirm::confirmed;
use crate::failure::{Exit, Failure};
use crate::{clock, console, runtime, text};

/// Release what has changed in a book: from then on it is the standard
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The book's folder; the current one if it holds book.toml
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
    #[command(flatten)]
    hub: HubArguments,
    /// What has changed and why, as kitchens read it
    #[arg(long, value_name = "TEXT")]
    note: String,
    #[command(flatten)]
    address: AddressArguments,
    /// The time on each kitchen's own clock from which it holds there
    #[arg(long, value_name = "TIME", conflicts_with = "from")]
    from_local: Option<LocalTime>,
    /// Release the whole book, not what has changed alone: for kitchens that joined
    #[arg(long)]
    everything: bool,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let folder = folder_or_here(arguments.book.as_deref()).ok_or_else(|| {
        Failure::usage("the current folder holds no book.toml, so there is no book to release")
            .hint("name its folder with --book DIR")
    })?;
    let checked = Checked::folder(&folder)?.for_release();
    console::note_if_any(&checked.warnings());
    let book = checked.sound(&folder)?;
    runtime::run(release(arguments, &documents(&book)))
}

async fn release(arguments: &Arguments, documents: &[DocumentContent]) -> Result<Exit, Failure> {
    let client = arguments.hub.client()?;
    let terms = terms(arguments);
    let draft = prepare(&client, documents, &terms).await?;
    if draft.is_empty() {
        console::result(
            "Nothing has changed since the last release, so there is nothing to release.",
        )?;
        return Ok(Exit::Result);
    }
    console::result(&text::draft(&draft, console::width()))?;
    let question = format!("Release this to {}?", show_audience(&terms.audience));
    if confirmed(&arguments.address, &question)? {
        let recorded = send(&client, &draft).await?;
        console::result(&told(&recorded, &terms))?;
    }
    Ok(Exit::Result)
}

fn terms(arguments: &Arguments) -> Terms {
    let address = &arguments.address;
    let scope = if arguments.everything { Scope::Everything } else { Scope::Changed };
    let mut terms = Terms::new(address.holds_from(), &arguments.note, &address.author)
        .to(address.audience())
        .of(scope);
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
    let recorded = client.release(draft).await;
    recorded.map_err(|error| {
        let so = if error.outcome_unknown() {
            "it may have been released or not"
        } else {
            "nothing was released"
        };
        Failure::of(&error, so)
    })
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
