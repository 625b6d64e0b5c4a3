//! `chablon where-used`.

use std::path::PathBuf;

use chablon_model::{IngredientId, Moment, RecipeId, SiteId, SupplierId};
use chablon_sdk::lots::StoredLotNote;
use chablon_sdk::where_used::{Sought, Use};
use chablon_sdk::{Replica, Status};
use clap::Args;
use serde_json::{Value, json};

use crate::arguments::{Format, LineArguments};
use crate::clock::{self, parse_moment};
use crate::failure::{Exit, Failure};
use crate::text::Tongue;
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
    /// What the supplier wrote on a lot: what kitchens noted of it, and what it is a lot of
    #[arg(long, value_name = "TEXT")]
    lot: Option<String>,
    /// What was in force after this moment; if not given since the lot was first noted, or now
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
#[group(multiple = false)]
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
    let Found { mut notes, mut uses, replica } = runtime::run(found(arguments))?;
    let first_noted = notes.iter().map(|one| one.note.at).min();
    let from = arguments.from.or(first_noted).or(arguments.until).unwrap_or(now).min(now);
    let (from, until) = (arguments.from.unwrap_or(from), arguments.until.unwrap_or(now));
    if until < from {
        return Err(Failure::usage("--until lies before --from"));
    }
    // The last moment counts, too.
    let until = Moment(until.0.saturating_add(1));
    uses.retain(|one| one.within(from, until));
    uses.retain(|one| arguments.site.as_ref().is_none_or(|site| one.site == *site));
    notes.retain(|one| arguments.site.as_ref().is_none_or(|site| one.note.site == *site));
    console::result(&printed(arguments, &notes, &uses, replica.as_ref()))?;
    Ok(Exit::Result)
}

fn printed(
    arguments: &Arguments,
    notes: &[StoredLotNote],
    uses: &[Use],
    replica: Option<&Status>,
) -> String {
    match arguments.format {
        Format::Text => {
            let width = console::width();
            let lot = arguments.lot.as_deref();
            let head = lot.map_or_else(String::new, |lot| text::lot(lot, notes, width));
            let sheet = format!("{head}{}", text::uses(uses, width));
            match replica {
                Some(status) => text::with_age(&sheet, status, Tongue::English, width),
                None => sheet,
            }
        }
        Format::Json => {
            let found = json!({
                "lot": arguments.lot,
                "notes": notes.iter().map(note_json).collect::<Value>(),
                "uses": uses.iter().map(json_of).collect::<Value>(),
            });
            console::json(&match replica {
                Some(status) => text::json_with_age(found, status),
                None => found,
            })
        }
    }
}

/// What was found: uses, and what kitchens noted of the lot.
#[derive(Default)]
struct Found {
    notes: Vec<StoredLotNote>,
    uses: Vec<Use>,
    /// How the replica stands, where one was asked.
    replica: Option<Status>,
}

impl Found {
    fn of(uses: Vec<Use>) -> Self {
        Self { uses, ..Self::default() }
    }
}

async fn found(arguments: &Arguments) -> Result<Found, Failure> {
    let failed = |error| Failure::of(&error, "it isn't known where it is used");
    if let Some(file) = &arguments.replica {
        let replica = Replica::reopen(file).await.map_err(failed)?;
        let status = replica.status().await.map_err(failed)?;
        let uses = replica.where_used(&sought(&arguments.what)?).await.map_err(failed)?;
        replica.close().await;
        return Ok(Found { replica: Some(status), ..Found::of(uses) });
    }
    if arguments.hub.is_empty() {
        return Err(Failure::usage("neither a hub nor a replica is named")
            .hint("name the hub with --hub URL, or the kitchen's replica with --replica FILE"));
    }
    let client = arguments.line.connect(&arguments.hub)?;
    match (&arguments.lot, &arguments.what) {
        (Some(lot), What { ingredient, component: None, supplier: None }) => {
            let trace = client.trace_lot(lot, ingredient.as_ref()).await.map_err(failed)?;
            if trace.notes.is_empty() && ingredient.is_none() {
                return Err(nowhere(lot));
            }
            Ok(Found { notes: trace.notes, ..Found::of(trace.uses) })
        }
        (_, what) => Ok(Found::of(client.where_used(&sought(what)?).await.map_err(failed)?)),
    }
}

/// Nothing is known of a lot, which mustn't be read as "nobody has it".
fn nowhere(lot: &str) -> Failure {
    Failure::refused(format!("no kitchen has noted a lot `{lot}`, so it isn't known what it is of"))
        .hint("name what it is of with --ingredient ID, and every use of that is listed")
}

fn note_json(kept: &StoredLotNote) -> Value {
    let note = &kept.note;
    json!({
        "number": kept.number,
        "site": note.site.to_string(),
        "ingredient": note.ingredient.to_string(),
        "supplier": note.supplier.as_ref().map(ToString::to_string),
        "event": note.event.as_str(),
        "at_ms": note.at.0,
        "author": note.author,
    })
}

fn sought(what: &What) -> Result<Sought, Failure> {
    let What { ingredient, component, supplier } = what;
    let ingredient = ingredient.clone().map(Sought::Ingredient);
    let component = component.clone().map(Sought::Component);
    let supplier = supplier.clone().map(Sought::Supplier);
    ingredient.or(component).or(supplier).ok_or_else(|| {
        Failure::usage("nothing is looked for; name an ingredient, a component or, at a hub, a lot")
    })
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
