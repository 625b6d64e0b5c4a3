//! `chablon allergens`.

use std::path::{Path, PathBuf};

use chablon_model::{DocumentContent, Language};
use chablon_sdk::declared::{AllergenReach, allergen_reach};
use clap::Args;

use crate::arguments::{Format, LineArguments, parse_language};
use crate::book::{Checked, documents, folder_or_here};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::{runtime, text};

/// Whom changed allergens of ingredients reach: every recipe and every kitchen
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The book's folder; the current one if it holds book.toml
    #[arg(long, value_name = "DIR")]
    book: Option<PathBuf>,
    /// The book as it was, to compare with
    #[arg(long, value_name = "DIR", conflicts_with = "addresses")]
    before: Option<PathBuf>,
    /// The hub to compare with, or several addresses of it that are used in turn
    #[arg(long = "hub", value_name = "URL", value_delimiter = ',', env = "CHABLON_HUB")]
    addresses: Vec<String>,
    #[command(flatten)]
    line: LineArguments,
    /// The language of names
    #[arg(long, value_name = "CODE", value_parser = parse_language)]
    language: Option<Language>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let folder = folder_or_here(arguments.book.as_deref()).ok_or_else(|| {
        Failure::usage("the current folder holds no book.toml, so there is no book to compare")
            .hint("name its folder with --book DIR")
    })?;
    let book = Checked::folder(&folder)?.sound(&folder)?;
    let reached = reached(arguments, &documents(&book))?;
    let printed = match arguments.format {
        Format::Text => {
            let (ingredients, recipes) = (&book.ingredients, &book.recipes);
            let language = arguments.language.as_ref();
            let names = text::Names::new(&book.settings, None, language, ingredients, recipes);
            text::allergen_reach(&reached, &names, console::width())
        }
        Format::Json => console::json(&chablon_sdk::declared::reach_to_json(&reached)),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}

fn reached(
    arguments: &Arguments,
    after: &[DocumentContent],
) -> Result<Vec<AllergenReach>, Failure> {
    if let Some(before) = &arguments.before {
        return Ok(allergen_reach(&book_at(before)?, after));
    }
    if arguments.addresses.is_empty() {
        let message =
            "neither an earlier book nor a hub is named, so there is nothing to compare with";
        return Err(Failure::usage(message).hint("name one with --before DIR or --hub URL"));
    }
    runtime::run(async {
        let reached = arguments.line.connect(&arguments.addresses)?.allergen_reach(after).await;
        reached.map_err(|error| Failure::of(&error, "nothing can be compared"))
    })
}

fn book_at(folder: &Path) -> Result<Vec<DocumentContent>, Failure> {
    Ok(documents(&Checked::folder(folder)?.sound(folder)?))
}
