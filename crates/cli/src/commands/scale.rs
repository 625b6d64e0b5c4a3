//! `chablon scale`.

use chablon_model::{Language, SiteId};
use clap::Args;

use crate::arguments::{DemandArguments, Format, SourceArguments, parse_language};
use crate::console;
use crate::failure::{Exit, Failure};
use crate::source::{Asked, Source};
use crate::text;

/// What to weigh for a demand, batch by batch
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    #[command(flatten)]
    source: SourceArguments,
    #[command(flatten)]
    demand: DemandArguments,
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
    let demands = arguments.demand.demands();
    let source = Source::open_for(&arguments.source, &demands)?;
    let site = arguments.site.as_ref();
    let plan = source.scale(&Asked { demands: &demands, site })?;
    let printed = match arguments.format {
        Format::Text => {
            let names = source.names(site, arguments.language.as_ref())?;
            let allergens = demands.iter().map(|one| source.allergens(&one.recipe));
            let allergens: Vec<_> = allergens.collect::<Result<_, _>>()?;
            source.sheet(text::sheet(&plan, &allergens, &names, console::width()), &names)
        }
        Format::Json => source.json(plan.to_json()),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}
