//! `chablon scale`.

use chablon_model::{Language, RecipeId, SiteId};
use clap::Args;

use crate::arguments::{Format, SourceArguments, TargetArguments, parse_language};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::source::{Asked, Source};
use crate::text;

/// What to weigh for a demand, batch by batch
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    source: SourceArguments,
    /// What to make
    #[arg(long, value_name = "ID")]
    recipe: RecipeId,
    #[command(flatten)]
    target: TargetArguments,
    /// The kitchen whose bowls and scales count
    #[arg(long, value_name = "ID")]
    site: Option<SiteId>,
    /// The language of titles; the kitchen's own if not given
    #[arg(long, value_name = "CODE", value_parser = parse_language)]
    language: Option<Language>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let source = Source::open(&arguments.source, &arguments.recipe)?;
    let target = arguments.target.target();
    let site = arguments.site.as_ref();
    let plan = source.scale(&Asked { recipe: &arguments.recipe, target: &target, site })?;
    let printed = match arguments.format {
        Format::Text => {
            let names = source.names(site, arguments.language.as_ref())?;
            text::sheet(&plan, &names, console::width())
        }
        Format::Json => console::json(&plan.to_json()),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}
