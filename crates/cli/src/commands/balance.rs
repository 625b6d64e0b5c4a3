//! `chablon balance`.

use chablon_model::{Language, RecipeId};
use clap::Args;

use crate::arguments::{Format, SourceArguments, parse_language};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::source::Source;
use crate::text;

/// The balance of a formula: water, fat, sugars, solids, ratios, sweetness, water activity
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    source: SourceArguments,
    /// What to look into
    #[arg(long, value_name = "ID")]
    recipe: RecipeId,
    /// The language of names
    #[arg(long, value_name = "CODE", value_parser = parse_language)]
    language: Option<Language>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let source = Source::open(&arguments.source, &arguments.recipe)?;
    let balanced = source.balance(&arguments.recipe)?;
    let printed = match arguments.format {
        Format::Text => {
            let names = source.names(None, arguments.language.as_ref())?;
            source.sheet(text::balance_sheet(&balanced, &names, console::width()), &names)
        }
        Format::Json => source.json(balanced.to_json()),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}
