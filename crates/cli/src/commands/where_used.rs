//! `chablon where-used`.

use std::path::PathBuf;

use chablon_model::{IngredientId, Moment, RecipeId, SiteId, SupplierId};
use chablon_sdk::Replica;
use chablon_sdk::where_used::{Sought, Use};
use clap::Args;
use serde_json::{Value, json};

use crate::arguments::{Format, LineArguments};
use crate::clock::{self, parse_moment};
use crate::failure::{Exit, Failure};
use crate::{console, runtime, text};

/// Where an ingredient or a component is used, who has it and when: what a recalled supply asks
#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// In all kitchens, as the hub at this address, or at several in turn, knows them
    #[arg(long, value_name = "URL", value_delimiter = ',', env = "CHABLON_HUB")]
    hub: Vec<String>,
    /// In one kitchen, by its own replica, which needs no hub
    #[arg(long, value_name = "FILE")]
    replica: Option<PathBuf>,
    /// In one kitchen alone
    #[arg(long, value_name = "ID")]
    site: Option<SiteId>,
    #[command(flatten)]
    what: What,
    /// What the supplier wrote on the lot; it stands above the answer
    #[arg(long, value_name = "TEXT")]
    lot: Option<String>,
    /// What was in force after this moment; now if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment)]
    from: Option<Moment>,
    /// And before this moment; now if not given
    #[arg(long, value_name = "MOMENT", value_parser = parse_moment)]
    until: Option<Moment>,
    /// How to print
    #[arg(long, value_enum, default_value_t)]
    format: Format,
    #[command(flatten)]
    line: LineArguments,
}

#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
struct What {
    /// An ingredient, also as a part of a compound one
    #[arg(long, value_name = "ID")]
    ingredient: Option<IngredientId>,
    /// A recipe that others use
    #[arg(long, value_name = "ID")]
    component: Option<RecipeId>,
    /// Every ingredient that this supplier has a price for
    #[arg(long, value_name = "ID")]
    supplier: Option<SupplierId>,
}

pub(super) fn run(arguments: &Arguments) -> Result<Exit, Failure> {
    let now = clock::now();
    let from = arguments.from.or(arguments.until).unwrap_or(now).min(now);
    let (from, until) = (arguments.from.unwrap_or(from), arguments.until.unwrap_or(now));
    if until < from {
        return Err(Failure::usage("--until lies before --from"));
    }
    // The last moment counts, too.
    let until = Moment(until.0.saturating_add(1));
    let mut uses = runtime::run(found(arguments))?;
    uses.retain(|one| one.within(from, until));
    uses.retain(|one| arguments.site.as_ref().is_none_or(|site| one.site == *site));
    let printed = match arguments.format {
        Format::Text => text::uses(&uses, arguments.lot.as_deref(), console::width()),
        Format::Json => console::json(&json!({
            "lot": arguments.lot,
            "uses": uses.iter().map(json_of).collect::<Value>(),
        })),
    };
    console::result(&printed)?;
    Ok(Exit::Result)
}

async fn found(arguments: &Arguments) -> Result<Vec<Use>, Failure> {
    let sought = sought(&arguments.what)?;
    let failed = |error| Failure::of(&error, "it isn't known where it is used");
    if let Some(file) = &arguments.replica {
        let replica = Replica::reopen(file).await.map_err(failed)?;
        let uses = replica.where_used(&sought).await.map_err(failed)?;
        replica.close().await;
        return Ok(uses);
    }
    if arguments.hub.is_empty() {
        return Err(Failure::usage("neither a hub nor a replica is named")
            .hint("name the hub with --hub URL, or the kitchen's replica with --replica FILE"));
    }
    arguments.line.connect(&arguments.hub)?.where_used(&sought).await.map_err(failed)
}

fn sought(what: &What) -> Result<Sought, Failure> {
    let What { ingredient, component, supplier } = what;
    let ingredient = ingredient.clone().map(Sought::Ingredient);
    let component = component.clone().map(Sought::Component);
    let supplier = supplier.clone().map(Sought::Supplier);
    ingredient
        .or(component)
        .or(supplier)
        .ok_or_else(|| Failure::usage("nothing is looked for; name an ingredient or a component"))
}

fn json_of(one: &Use) -> Value {
    json!({
        "site": one.site.to_string(),
        "recipe": one.recipe().to_string(),
        "revision": one.revision.number,
        "path": one.path.iter().map(ToString::to_string).collect::<Vec<_>>(),
        "deviation": one.deviation.as_ref().map(ToString::to_string),
        "from_ms": one.from.0,
        "until_ms": one.until.map(|until| until.0),
    })
}
