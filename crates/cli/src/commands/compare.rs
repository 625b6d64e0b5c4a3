//! `chablon compare`.

use std::path::{Path, PathBuf};

use chablon_model::{DocumentContent, DraftId};
use chablon_sdk::InForceAgain;
use chablon_sdk::change::{Comparison, Edition, compare};
use clap::Args;

use crate::arguments::{Format, LineArguments};
use crate::book::{Checked, documents, folder_or_here};
use crate::failure::{Exit, Failure};
use crate::hub::{again_by_book, again_by_draft};
use crate::text::{ComparisonReport, Tongue};
use crate::{clock, console, runtime, text};

/// Show what a change means, the worst first: a book beside the hub's standards, two books, or a
/// draft beside what it was made on
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The book's folder; the current one if it holds book.toml
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
    /// Compare with this book, as it was before
    #[arg(long, value_name = "DIR", conflicts_with = "draft")]
    before: Option<PathBuf>,
    /// Compare this draft with what it was made on
    #[arg(long, value_name = "ID", conflicts_with = "book")]
    draft: Option<DraftId>,
    /// The hub's address, or several that are used in turn
    #[arg(long, value_name = "URL", value_delimiter = ',', env = "CHABLON_HUB")]
    hub: Vec<String>,
    #[command(flatten)]
    line: LineArguments,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let Compared { comparison, again } = match (&arguments.draft, &arguments.before) {
        (Some(draft), _) => runtime::run(of_draft(arguments, draft))?,
        (None, Some(before)) => between(&read(before)?, &book(arguments)?),
        (None, None) => runtime::run(beside_hub(arguments))?,
    };
    let shown = match arguments.format {
        Format::Text => {
            let (tongue, width) = (Tongue::of_group(comparison.language()), console::width());
            let again = text::in_force_again(again.as_deref().unwrap_or_default(), tongue, width);
            text::meaning(&comparison, width) + &again
        }
        Format::Json => console::json(&ComparisonReport::new(&comparison, again.as_deref())),
    };
    console::result(&shown)?;
    Ok(Exit::Result)
}

/// A comparison, with what would be in force again by it where a hub was asked.
struct Compared {
    comparison: Comparison,
    again: Option<Vec<InForceAgain>>,
}

fn between(before: &[DocumentContent], after: &[DocumentContent]) -> Compared {
    let comparison = compare(&Edition::new(before), &Edition::new(after), clock::today());
    Compared { comparison, again: None }
}

async fn of_draft(arguments: &Arguments, draft: &DraftId) -> Result<Compared, Failure> {
    let failed = |error| Failure::of(&error, "nothing can be compared");
    let client = client(arguments)?;
    let proposed = client.proposed(draft).await.map_err(failed)?;
    let comparison = client.comparison(&proposed, clock::today()).await.map_err(failed)?;
    let again = again_by_draft(&client, &proposed, &comparison).await.map_err(failed)?;
    Ok(Compared { comparison, again: Some(again) })
}

/// What the book leaves out stays as it is on the hub, and so isn't told as gone.
async fn beside_hub(arguments: &Arguments) -> Result<Compared, Failure> {
    let failed = |error| Failure::of(&error, "nothing can be compared");
    let book = book(arguments)?;
    let client = client(arguments)?;
    let latest = client.latest().await.map_err(failed)?;
    let before = Edition::new(&latest);
    let after = book.iter().fold(before.clone(), Edition::with);
    let comparison = compare(&before, &after, clock::today());
    let again = again_by_book(&client, &book, &comparison).await.map_err(failed)?;
    Ok(Compared { comparison, again: Some(again) })
}

fn client(arguments: &Arguments) -> Result<chablon_sdk::Client, Failure> {
    if arguments.hub.is_empty() {
        return Err(Failure::usage("there is nothing to compare with")
            .hint("name the hub with --hub URL, or a book as it was before with --before DIR"));
    }
    arguments.line.connect(&arguments.hub)
}

fn book(arguments: &Arguments) -> Result<Vec<DocumentContent>, Failure> {
    let folder = folder_or_here(arguments.book.as_deref()).ok_or_else(|| {
        Failure::usage("the current folder holds no book.toml, so there is no book to compare")
            .hint("name its folder with --book DIR")
    })?;
    read(&folder)
}

fn read(folder: &Path) -> Result<Vec<DocumentContent>, Failure> {
    Ok(documents(&Checked::folder(folder)?.sound(folder)?))
}
